"""What a right text becomes: every field of the model, parts in their places; the page that tells the format."""

from __future__ import annotations

import re
from fractions import Fraction
from itertools import pairwise

import pytest

from coach import paths
from coach.core.canonical import text_hash
from coach.core.floors import LIMITS
from coach.core.gate import DEBTS, SAFEGUARDS
from coach.core.model import EVIDENCE_KINDS, SIGNAL_WORDS, Caution, Option, Procedure
from coach.core.problems import ProcedureError
from coach.core.quantity import parse_quantity
from coach.reader.draft import MOST
from coach.reader.links import MAX_RINGS, rings
from coach.reader.schema import MAX_PARTS, read_procedure
from coach.reader.steps import EVIDENCE_KEYS, MAX_MINUTES, MAX_SECONDS, STEP_KEYS

FORMAT = paths.procedures() / "FORMAT.md"


def shipped_part(id: str) -> tuple[str, bytes] | None:
    path = paths.procedures() / "parts" / f"{id}.yaml"
    return (f"parts/{id}.yaml", path.read_bytes()) if path.is_file() else None


def example() -> str:
    match = re.search(r"```yaml\n(.*?)```", FORMAT.read_text(encoding="utf-8"), re.DOTALL)
    assert match
    return match[1]


@pytest.fixture(scope="module")
def procedure() -> Procedure:
    return read_procedure(example().encode(), "cover-example.yaml", shipped_part)


def test_the_head(procedure: Procedure) -> None:
    assert (procedure.id, procedure.version, procedure.fits) == ("cover-example", 1, ("outboard", "sterndrive"))
    assert procedure.cautions == (Caution("DANGER", "An open flame near fuel can kill."),)
    assert str(procedure.place) == "cover-example.yaml:1:1"
    assert procedure.files == (
        "cover-example.yaml", "parts/heat-gate.yaml", "parts/flame-out.yaml", "parts/vent-reopened.yaml"
    )


def test_a_measure_has_its_range_its_options_and_its_place(procedure: Procedure) -> None:
    tape = procedure.measures["ridge_to_edge"]
    assert tape.low is not None and tape.high is not None
    assert (tape.low.value, tape.high.value) == (Fraction(6096, 10_000), Fraction(6096, 1_000))  # 2 ft and 20 ft, exact
    assert (tape.kind, tape.how, tape.picture) == ("length", "Where to hold the tape.", "cross-section")
    assert procedure.measures["drive"].options == (Option("outboard", "Outboard"), Option("sterndrive", "Sterndrive"))
    when = procedure.measures["drive_reach"].when
    assert when is not None and when.names == {"drive"}
    assert tape.place.source == "  ridge_to_edge:"


def test_a_number_has_its_formula_and_its_rounding(procedure: Procedure) -> None:
    width = procedure.numbers["film_width"]
    assert width.formula.names == {"ridge_to_edge", "tuck"}
    assert width.rounding is not None and width.rounding.direction == "up"
    assert (width.rounding_text, width.kind) == ("up to 1 ft", "length")
    line = example().splitlines()[width.place.line]  # the line after the id
    assert line.strip() == "title: Film width"


def test_a_formula_knows_its_column_in_the_file(procedure: Procedure) -> None:
    formula = procedure.numbers["film_width"].formula
    assert formula.column_offset == len("    formula: ")


def test_checks_safeguards_and_debts(procedure: Procedure) -> None:
    (check,), (safeguard,), (debt,) = procedure.checks, procedure.safeguards, procedure.debts
    assert (check.id, check.measures) == ("reach_is_short", ("ridge_to_edge", "drive_reach"))
    assert (safeguard.id, safeguard.minutes, safeguard.mend) == ("tarp_wet", 60, "Wet it again.")
    assert (debt.id, debt.undo) == ("scupper_plugs", "Take the plugs out.")


def test_steps_need_the_step_before_them_across_stages_and_parts(procedure: Procedure) -> None:
    steps = procedure.steps
    assert steps[0].needs == ()
    own = {"wet-tarp"}  # says itself what it needs
    for before, step in pairwise(steps):
        assert step.needs == (before.id,) or step.id in own
    assert next(step for step in steps if step.id == "wet-tarp").needs == ("look-over",)
    assert [stage.id for stage in procedure.stages][:3] == ["arrival", "heat-gate", "film"]


def test_a_step_of_a_part_is_placed_in_the_part(procedure: Procedure) -> None:
    gate = next(step for step in procedure.steps if step.proves == "wind")
    assert gate.place.file == "parts/heat-gate.yaml"
    assert gate.stage == "heat-gate"


def test_what_a_step_carries(procedure: Procedure) -> None:
    steps = {step.id: step for step in procedure.steps}
    cut = steps["cut-film"]
    assert (cut.shows, cut.uses, cut.hold, cut.least_seconds) == (("film_width",), ("drive_reach",), True, 20)
    edge, width = cut.evidence
    assert (width.against, width.at_least, width.within) == ("film_width", "film_width", parse_quantity("1 ft", "length"))
    assert edge.low is not None and edge.high is not None
    assert (edge.kind, edge.quantity, edge.low.value) == ("number", "length", Fraction(1524, 10_000))  # 6 in, exact
    assert steps["weld-hem"].heat and not steps["weld-hem"].evidence
    assert steps["hold-fire-watch"].evidence[0].limit == "fire_watch_minutes"
    assert steps["plug-scuppers"].opens == ("scupper_plugs",)
    assert steps["plugs-out"].clears == "scupper_plugs"
    assert steps["wet-tarp"].proves == "tarp_wet"
    when = steps["plug-scuppers"].when
    assert when is not None and when.text == "drive == outboard"


def test_needs_nothing_is_not_needs_the_step_before() -> None:
    text = example().replace("needs: [look-over]", "needs: []        ")
    steps = read_procedure(text.encode(), "cover-example.yaml", shipped_part).steps
    assert next(step for step in steps if step.id == "wet-tarp").needs == ()


def test_a_text_over_several_lines_becomes_one_line() -> None:
    folded = "do: >-\n          Walk once\n          round the boat.\n"
    text = re.sub(r"do: Walk once round the boat.*\n", folded, example())
    steps = read_procedure(text.encode(), "cover-example.yaml", shipped_part).steps
    assert steps[0].do == "Walk once round the boat."


def test_the_page_names_every_key_kind_safeguard_debt_and_bound() -> None:
    page = FORMAT.read_text(encoding="utf-8")
    for word in (*STEP_KEYS, *EVIDENCE_KEYS, *SAFEGUARDS, *DEBTS):
        assert re.search(rf"\b{word}\b", page), word
    assert f"at most {LIMITS['other_minutes'].floor}" in page
    assert f"at most {MAX_SECONDS}" in page and f"(1 to {MAX_MINUTES})" in page
    assert f"at most {MAX_PARTS} parts" in page and f"{MOST['measure or number']} measures and numbers" in page
    for kind in (*EVIDENCE_KINDS, *SIGNAL_WORDS):
        assert kind in page, kind


def test_the_hash_is_that_of_one_text_with_every_file(procedure: Procedure) -> None:
    assert procedure.hash == text_hash(procedure.document)
    assert "proves: leak_test" in procedure.document and "do: Cut the film to its length." in procedure.document
    same = read_procedure(example().encode(), "elsewhere/cover-example.yaml", shipped_part)
    assert same.hash == procedure.hash


def test_a_change_of_one_letter_in_a_part_changes_the_hash(procedure: Procedure) -> None:
    def changed(id: str) -> tuple[str, bytes] | None:
        found = shipped_part(id)
        if found and id == "flame-out":
            return found[0], found[1] + b"# one more remark\n"
        return found

    assert read_procedure(example().encode(), "cover-example.yaml", changed).hash != procedure.hash


def test_texts_for_people_are_the_same_however_their_letters_are_composed(procedure: Procedure) -> None:
    composed = example().replace("Film width", "Fílm width")
    apart = example().replace("Film width", "Fi\u0301lm width")
    hashes = {read_procedure(text.encode(), "cover-example.yaml", shipped_part).hash for text in (composed, apart)}
    assert len(hashes) == 1
    assert procedure.hash not in hashes


def test_a_text_too_long_for_the_screen_is_refused() -> None:
    text = example().replace("purpose: One sentence", "purpose: One sentence" + " and one more" * 200)
    with pytest.raises(ProcedureError) as caught:
        read_procedure(text.encode(), "cover-example.yaml", shipped_part)
    assert str(caught.value).splitlines()[0] == (
        "cover-example.yaml:4:10: P205 'purpose' is 2652 characters long, expected 2000 at most"
    )


def test_more_names_than_any_procedure_has_end_the_reading() -> None:
    many = "".join(f"  n{number}: {{title: N, formula: 1 ft, kind: length, why: N.}}\n" for number in range(600))
    text = example().replace("numbers:\n", "numbers:\n" + many)
    with pytest.raises(ProcedureError, match="P219 more than 500 of a kind: measure or number"):
        read_procedure(text.encode(), "cover-example.yaml", shipped_part)


def test_parts_too_large_together_are_refused() -> None:
    def large(id: str) -> tuple[str, bytes] | None:
        found = shipped_part(id)
        return (found[0], found[1] + b"\n" * 900_000) if found else None

    with pytest.raises(ProcedureError, match="P228 the files of this procedure are larger than 2000000 bytes together"):
        read_procedure(example().encode(), "cover-example.yaml", large)


def test_a_chain_of_parts_without_end_is_refused() -> None:
    def endless(id: str) -> tuple[str, bytes] | None:
        number = int(id.removeprefix("p"))
        return f"parts/{id}.yaml", f"part: {id}\nstages:\n  - use: p{number + 1}\n".encode()

    text = "procedure: a\nversion: 1\ntitle: A\npurpose: A.\nstages:\n  - use: p1\n"
    with pytest.raises(ProcedureError, match="P227 more than 50 parts"):
        read_procedure(text.encode(), "a.yaml", endless)


@pytest.mark.parametrize(
    ("needs", "found"),
    [
        ({}, []),
        ({"a": ["b"], "b": []}, []),
        ({"a": ["a"]}, [("a",)]),
        ({"a": ["b"], "b": ["c"], "c": ["a"]}, [("a", "b", "c")]),
        ({"a": ["b", "c"], "b": ["d"], "c": ["d"], "d": []}, []),  # two ways to one place are no ring
        ({"a": ["b"], "b": ["a"], "c": ["d"], "d": ["c"]}, [("a", "b"), ("c", "d")]),
        ({"a": ["elsewhere"]}, []),
    ],
)
def test_rings(needs: dict[str, list[str]], found: list[tuple[str, ...]]) -> None:
    assert rings(needs) == found


def test_a_long_chain_is_no_ring_and_needs_no_recursion() -> None:
    chain = {f"s{number}": [f"s{number + 1}"] for number in range(20_000)}
    assert rings(chain) == []
    chain["s20000"] = ["s0"]
    assert len(rings(chain)) == 1


def test_rings_beyond_what_an_author_can_untie_are_left_for_the_next_reading() -> None:
    assert len(rings({f"s{number}": [f"s{number}"] for number in range(100)})) == MAX_RINGS


def test_no_part_is_looked_for_by_a_path() -> None:
    asked: list[str] = []

    def find(id: str) -> tuple[str, bytes] | None:
        asked.append(id)
        return None

    uses = "  - use: ../secret\n  - use: /etc/passwd\n  - use: 'b c'\n"
    text = f"procedure: a\nversion: 1\ntitle: A\npurpose: A.\nstages:\n{uses}"
    with pytest.raises(ProcedureError):
        read_procedure(text.encode(), "a.yaml", find)
    assert asked == []
