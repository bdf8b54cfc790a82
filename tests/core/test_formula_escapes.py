"""How a formula may not be written: attempts to get out of the language, and slips of the pen, each with its text."""

from __future__ import annotations

import pickle
import time

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.formula import Formula, evaluate, parse_formula
from coach.core.formula_faults import FAULTS
from coach.core.problems import FormulaError
from coach.core.quantity import Quantity
from coach.core.units import UNITS

# Attempts to reach anything but the names and functions of the language, or to use up the machine.
ESCAPES = [
    ("__import__('os').system('true')", "F109", 1), ("__class__", "F109", 1), ("beam.__class__", "F104", 5),
    ("().__class__.__bases__", "F105", 2), ("lambda: 1", "F104", 7), ("lambda x: x", "F105", 8), ("'text'", "F104", 1),
    ('"text"', "F104", 1), ("f'{beam}'", "F104", 2), ("beam[0]", "F105", 5), ("{beam}", "F104", 1),
    ("[beam]", "F105", 1),
    ("beam; beam", "F104", 5), ("beam := 1", "F104", 6), ("beam = 1 in", "F104", 6), ("import os", "F105", 8),
    ("exec(beam)(1)", "F105", 11), ("open(`x`)", "F104", 6), ("beam @ beam", "F104", 6), ("$beam", "F104", 1),
    ("beam\\nbeam", "F104", 5), ("beam # note", "F104", 6), ("beam if length else tuck", "F105", 6),
    ("max(*beam)", "F105", 5), ("max(a=beam)", "F104", 6), ("9^9^9", "F107", 3), ("beam^(9)", "F107", 6),
    ("beam^99999999999999999999", "F110", 6), ("beam^beam", "F107", 6), ("beam ** 2", "F105", 7),
    ("1e400 in", "F106", 2),
    ("1" * 400, "F110", 1), ("(" * 51 + "1" + ")" * 51, "F103", 51), ("-" * 60 + "1", "F103", 51),
    ("not " * 60 + "true", "F103", 201), ("1" + "+1" * 60, "F103", 100), ("max(" * 60 + "1", "F103", 201),
    ("if(true, " * 60 + "1", "F103", 445), ("x" * 2001, "F102", 1), ("(" * 2000, "F103", 51), ("0x10", "F106", 2),
    ("1_000 in", "F106", 2), ("²", "F109", 1), ("٣ in", "F109", 1), ("ＢＥＡＭ", "F109", 1), ("be\u200bam", "F104", 3),
    ("true.real", "F104", 5), ("beam and 'x'", "F104", 10), ("drive == 'outboard'", "F104", 10), ("\x00", "F104", 1),
    ("drive == __class__", "F109", 10), ("drive in [__class__]", "F109", 11), ("drive in [a, b", "F105", 15),
    ("drive in a", "F105", 10), ("drive in [and]", "F112", 11), ("inf", None, 0), ("nan", None, 0),
]


@pytest.mark.parametrize(("text", "code", "column"), [row for row in ESCAPES if row[1]])
def test_every_way_out_is_refused_when_the_formula_is_read(text: str, code: str, column: int) -> None:
    begin = time.perf_counter()
    with pytest.raises(FormulaError) as caught:
        parse_formula(text)
    assert time.perf_counter() - begin < 0.1
    (problem,) = caught.value.problems
    assert problem.place is not None
    assert (problem.code, problem.place.column) == (code, column)


@pytest.mark.parametrize("text", ["inf", "nan", "print", "os", "open", "self"])
def test_words_of_python_are_mere_names(text: str) -> None:
    assert parse_formula(text).names == {text}


def test_powers_of_powers_cannot_fill_the_memory() -> None:
    text = "x"
    for _ in range(20):
        text = f"({text})^6"
    formula = parse_formula(text)
    begin = time.perf_counter()
    with pytest.raises(FormulaError) as caught:
        evaluate(formula, {"x": Quantity(1234567)}, {})
    assert time.perf_counter() - begin < 0.1
    assert caught.value.problems[0].code == "F303"
    small = evaluate(parse_formula("((x^6)^6)^6"), {"x": Quantity(2)}, {})
    assert small == Quantity(2.0**216)


WORDS = "a formula holds only names, numbers with units, + - * / ^, brackets, comparisons, and, or, not, in, if"

# text, code, what, mark (column of the fault), why, mend
SLIPS = [
    (" ", "F101", "the formula is empty", 1, "there is nothing to work out",
     "write a formula such as 2 * beam + 12 in"),
    ("beam + ½", "F109", "'½' is not a name", 8, "names are small letters, digits and _, and begin with a letter",
     "write a name"),
    ("beam = 2 ft", "F104", "'=' has no meaning in a formula", 6, WORDS, "write == to compare"),
    ("beam && mast", "F104", "'&' has no meaning in a formula", 6, WORDS, "write and"),
    ("beam × 2", "F104", "'×' has no meaning in a formula", 6, WORDS, "write *"),
    ("beam + 6\"", "F104", "'\"' has no meaning in a formula", 9, WORDS, "write in for inches and ft for feet"),
    ("beam ? 2", "F104", "'?' has no meaning in a formula", 6, WORDS, "take it out"),
    ("beam +", "F105", "found the end where a number or a name is due", 7, WORDS, "write a number or a name"),
    ("(beam", "F105", "found the end where ')' is due", 6, WORDS, "close the bracket"),
    ("beam)", "F105", "found ')' where an operator or the end is due", 5, WORDS, "take the bracket out"),
    ("1,5 ft", "F105", "found ',' where an operator or the end is due", 2, WORDS, "use a point as the decimal mark"),
    ("6 ft 2 in", "F105", "found '2 in' where an operator or the end is due", 6, WORDS, "write an operator or the end"),
    ("beam not > 2 ft", "F105", "found '>' where 'in' is due", 10, WORDS, "write not before the whole condition"),
    ("2 ft + not mast", "F105", "found 'not' where a number is due", 8, WORDS, "write a number"),
    ("(drive) in [a] + (1 in) in [b]", "F105", "found 'in' where an operator is due", 25, WORDS,
     "write a choice before in"),
    ("if beam > 2 ft", "F105", "found 'beam' where '(' is due", 4, WORDS, "write if(condition, number, number)"),
    ("beam + 6 inchs", "F106", "'inchs' after 6 is not a known unit", 10, "a guess would give a wrong size",
     "write 6 * inchs, or a unit such as 6 inches"),
    ("2 beam", "F106", "'beam' after 2 is not a known unit", 3, "a guess would give a wrong size",
     "write 2 * beam, or a unit such as 2 bar"),
    ("beam^7", "F107", "'7' is not a power this language has", 6, "only small whole powers keep their meaning",
     "write a whole number from -6 to 6 after ^, once"),
    ("a < b < c", "F108", "two comparisons in a row", 7, "it can be read in two ways", "write a < b and b < c"),
    ("Beam + 2 ft", "F109", "'Beam' is not a name", 1, "names are small letters, digits and _, and begin with a letter",
     "write beam"),
    ("1234567890123456 in", "F110", "the number '1234567890123456' has more than 15 digits", 1,
     "no measurement is that exact", "write it with fewer digits"),
    ("beam * 1 / 8 in", "F111", "1 / 8 in divides by 8 in", 10, "an eighth of an inch is written without blanks",
     "write 1/8 in, or put the divisor in brackets"),
    ("drive in [if]", "F112", "'if' is a word of the language", 11, "it cannot be a name as well",
     "choose another name"),
    ("beam + 1/0 in", "F113", "the fraction 1/0 has a zero below the line", 8, "nothing can be divided by zero",
     "correct the fraction"),
    ("air > -300 °C", "F114", "-300 °C is below absolute zero", 7, "no temperature can be that low",
     "correct the number"),
    ("if(beam > 2 ft, 1 ft)", "F208", "if takes 3 values, found 2", 1, "if could not be worked out",
     "give if(condition, number, number)"),
]


@pytest.mark.parametrize(("text", "code", "what", "column", "why", "mend"), SLIPS)
def test_a_slip_is_explained_where_it_stands(
    text: str, code: str, what: str, column: int, why: str, mend: str
) -> None:
    with pytest.raises(FormulaError) as caught:
        parse_formula(text)
    marked = f"    1 | {text}\n      | {' ' * (column - 1)}^\n"
    assert str(caught.value) == f"formula:1:{column}: {code} {what}\n{marked}    why   {why}\n    mend  {mend}"


def test_too_long_and_too_deep_have_their_texts() -> None:
    with pytest.raises(FormulaError) as caught:
        parse_formula("1 + " * 600 + "1")
    assert str(caught.value) == (
        "formula:1:1: F102 the formula is longer than 2000 characters\n"
        "    why   nobody can check so long a formula\n    mend  split it into several numbers"
    )
    with pytest.raises(FormulaError) as caught:
        parse_formula("(" * 160)
    assert str(caught.value) == (
        "formula:1:51: F103 the formula has more than 50 levels of brackets or of operations in a row\n"
        "    why   nobody can check so deep a formula\n    mend  split it into several numbers"
    )


def test_every_code_of_the_writing_is_seen_here() -> None:
    seen = {row[1] for row in SLIPS} | {"F102", "F103"}
    assert seen == {code for code in FAULTS if code.startswith("F1")} | {"F208"}  # F208: if(...) is counted here too


def test_columns_are_those_of_the_line_the_formula_stands_in() -> None:
    with pytest.raises(FormulaError) as caught:
        parse_formula("beam + Tuck", column_offset=20)
    assert str(caught.value).startswith("formula:1:28: F109 'Tuck' is not a name\n    why ")


@given(st.one_of(st.text(max_size=80), st.lists(st.sampled_from([
    *UNITS, "beam", "drive", "if(", "max(", "(", ")", "[", "]", ",", " ", " + ", "-", "*", "/", "^", "<", "==", " in ",
    " and ",
    " or ", "not ", "1", "1/8", "2.5", "true", ".", "=", "_",
]), max_size=25).map("".join)))
def test_any_text_gives_a_formula_or_one_problem(text: str) -> None:
    try:
        formula = parse_formula(text)
    except FormulaError as error:
        (problem,) = error.problems
        assert problem.code in FAULTS and problem.code[1] in "12"
        assert problem.place is not None and 1 <= problem.place.column <= len(text) + 1
        assert str(error)
    else:
        assert isinstance(formula, Formula)
        assert parse_formula(formula.tree.text).tree == formula.tree


@pytest.mark.parametrize(
    "text",
    ["a == (b)", "a != (b)", "a - (b - c)", "(a + b) * c", "-(a + b)", "(-a)^2", "a / (b / c)", "(1 in)^2",
     "2 / (6 in)",
     "not (a > b and c)", "(not a) and b", "drive in [a, b-c]", "drive not in [a, b]", "drive != b-c", "a + -5 °C > b"],
)
def test_a_formula_written_out_keeps_its_brackets(text: str) -> None:
    written = parse_formula(text).tree.text
    assert written == text.replace("(not a) and", "not a and")
    assert parse_formula(written).tree == parse_formula(text).tree


def test_a_formula_can_be_stored_and_copied() -> None:
    formula = parse_formula("2 * beam", column_offset=3)
    again = pickle.loads(pickle.dumps(formula))
    assert again == formula and again.tree == formula.tree and again.column_offset == 3
