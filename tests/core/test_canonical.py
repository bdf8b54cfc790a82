"""The canonical form against RFC 8785's own samples, against the rfc8785 package, and its refusals word for word."""

from __future__ import annotations

import json
import unicodedata
from typing import Any

import pytest
import rfc8785
from hypothesis import given, settings
from hypothesis import strategies as st

from coach.core.canonical import LARGEST, canonical, composed, parse, text_hash
from coach.core.problems import RecordError

# RFC 8785 section 3.2.3: names in an order that only UTF-16 code units give (the last two swap by code points)
SORTING = {
    "\u20ac": "Euro Sign",
    "\r": "Carriage Return",
    "\ufb33": "Hebrew Letter Dalet With Dagesh",
    "1": "One",
    "\U0001f600": "Emoji: Grinning Face",
    "\u0080": "Control",
    "\u00f6": "Latin Small Letter O With Diaeresis",
}
SORTED = [
    "Carriage Return", "One", "Control", "Latin Small Letter O With Diaeresis", "Euro Sign", "Emoji: Grinning Face",
    "Hebrew Letter Dalet With Dagesh",
]  # fmt: skip


def test_rfc_8785_section_3_2_3_order_of_names() -> None:
    written = canonical(SORTING).decode("utf-8")
    assert list(json.loads(written).values()) == SORTED
    assert written == rfc8785.dumps(SORTING).decode("utf-8")


def test_rfc_8785_sections_3_2_2_and_3_2_4_mixed_sample() -> None:
    # the sample's five numbers are fractions, which this form refuses; the rest is the RFC's, byte for byte
    source = '{"string": "\\u20ac$\\u000F\\u000aA\'\\u0042\\u0022\\u005c\\\\\\"\\/", "literals": [null, true, false]}'
    expected = bytes.fromhex(
        "7b 22 6c 69 74 65 72 61 6c 73 22 3a 5b 6e 75 6c 6c 2c 74 72 75 65 2c 66 61 6c 73 65 5d 2c"
        "22 73 74 72 69 6e 67 22 3a 22 e2 82 ac 24 5c 75 30 30 30 66 5c 6e 41 27 42 5c 22 5c 5c 5c 5c 5c 22 2f 22 7d"
    )
    assert canonical(json.loads(source)) == expected


@pytest.mark.parametrize(
    ("number", "text"),
    [  # RFC 8785 appendix B: the whole numbers among its samples that every reader keeps
        (0, "0"),
        (9007199254740991, "9007199254740991"),
        (-9007199254740991, "-9007199254740991"),
    ],
)
def test_rfc_8785_appendix_b_whole_numbers(number: int, text: str) -> None:
    assert canonical(number).decode() == text


TEXT = st.text(st.characters(exclude_categories=["Cs"]), max_size=12)
VALUES = st.recursive(
    st.none() | st.booleans() | st.integers(-LARGEST, LARGEST) | TEXT,
    lambda inner: st.lists(inner, max_size=4) | st.dictionaries(TEXT, inner, max_size=4),
    max_leaves=20,
)


@settings(max_examples=400, deadline=None)
@given(VALUES)
def test_the_same_bytes_as_the_rfc8785_package_and_back(value: Any) -> None:
    raw = canonical(value)
    assert raw == rfc8785.dumps(value)
    assert parse(raw) == value


def test_every_character_is_escaped_as_the_package_does() -> None:
    for code in [*range(0x300), *range(0x2000, 0x2070), 0xFEFF, 0xFFFD, 0xFFFF, 0x10000, 0x10FFFF]:
        assert canonical({chr(code): chr(code)}) == rfc8785.dumps({chr(code): chr(code)})


def test_a_tuple_is_a_list() -> None:
    assert canonical((1, ("a",))) == canonical([1, ["a"]]) == b'[1,["a"]]'


def nested(depth: int) -> Any:
    value: Any = 1
    for _ in range(depth):
        value = [value]
    return value


def test_depth_has_a_limit() -> None:
    assert parse(canonical(nested(32))) == nested(32)
    with pytest.raises(RecordError, match="R106 lists or maps are nested more than 32 deep"):
        canonical(nested(33))
    for opening in (b"[", b'{"a":'):
        with pytest.raises(RecordError) as caught:
            parse(opening * 100_000)
        assert caught.value.problems[0].code in ("R106", "R107")
    with pytest.raises(RecordError, match="R106"):
        parse(b"[" * 40 + b"]" * 40)


def test_all_faults_are_named_with_their_paths() -> None:
    value = {"a": 1.5, "b": [2**53, "\ud800"], 7: "x", "c": {"d": {1, 2}, "e": b"raw"}, "f": float("nan")}
    with pytest.raises(RecordError) as caught:
        canonical(value)
    assert [str(problem).split("\n")[0] for problem in caught.value.problems] == [
        "R101 the value at $.a is a fraction (1.5)",
        "R102 the number at $.b[0] is too large (9007199254740992)",
        "R103 the text at $.b[1] holds half a character (U+D800)",
        "R105 a name in the map at $ is not text (7)",
        "R104 the value at $.c.d is a set",
        "R104 the value at $.c.e is a bytes",
        "R101 the value at $.f is a fraction (nan)",
    ]
    assert str(caught.value.problems[0]) == (
        "R101 the value at $.a is a fraction (1.5)\n"
        "    why   a record is hashed and signed over its one byte form, and this value has none\n"
        "    mend  write it as text with its unit, such as '1.68 m'"
    )


@pytest.mark.parametrize(
    "value", [{"\ud800": 1}, {"ok": {"\udfff": 1}}, ["\ud83d"], -(2**53), 10**400, {None: 1}, {b"a": 1}, {True: 1}]
)
def test_what_has_no_form_is_refused(value: Any) -> None:
    with pytest.raises(RecordError):
        canonical(value)


@pytest.mark.parametrize(
    ("raw", "code"),
    [
        (b'{"a": 1}', "R108"),
        (b'{"b":1,"a":2}', "R108"),
        (b'"\\u0041"', "R108"),
        (b'"\\/"', "R108"),
        (b'"\\u000A"', "R108"),
        (b'"\\u000F"', "R108"),
        (b"-0", "R108"),
        (b" 1", "R108"),
        (b"1\n", "R108"),
        (b'{"a":1,"a":1}', "R107"),
        (b"1.0", "R101"),
        (b"1e3", "R101"),
        (b"NaN", "R107"),
        (b"Infinity", "R107"),
        (b"9007199254740992", "R102"),
        (b"1" * 5000, "R107"),
        (b"01", "R107"),
        (b"", "R107"),
        (b"\xff", "R107"),
        (b"\xef\xbb\xbf1", "R107"),
        (b'"\\ud800"', "R103"),
        (b'"\n"', "R107"),
        (b"{'a':1}", "R107"),
        (b"[1,]", "R107"),
    ],
)
def test_one_spelling_only(raw: bytes, code: str) -> None:
    with pytest.raises(RecordError) as caught:
        parse(raw)
    assert [problem.code for problem in caught.value.problems] == [code]


@settings(max_examples=300, deadline=None)
@given(st.binary(max_size=40) | VALUES.map(lambda value: json.dumps(value).encode()))
def test_parse_takes_only_what_canonical_writes(raw: bytes) -> None:
    try:
        value = parse(raw)
    except RecordError:
        return
    assert canonical(value) == raw


def test_composed_text() -> None:
    apart = unicodedata.normalize("NFD", "Zoë é")
    assert apart != "Zoë é"
    assert composed({apart: [apart, 3, None]}) == {"Zoë é": ["Zoë é", 3, None]}
    assert canonical(apart) != canonical("Zoë é")  # the form itself changes nothing (RFC 8785 section 3.1)


def test_text_hash_is_sha_256() -> None:
    # FIPS 180-4 (SHA-256 of "abc" and of the empty text)
    assert text_hash("abc") == "ba7816bf8f01cfea414140de5dae2223b00361a396177a9cb410ff61f20015ad"
    assert text_hash("") == "e3b0c44298fc1c149afbf4c8996fb92427ae41e4649b934ca495991b7852b855"
