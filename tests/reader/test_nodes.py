"""The tree of a file: what stays text, where things are, and that size and depth end the reading at once."""

from __future__ import annotations

import time

import pytest

from coach.core.problems import ProcedureError
from coach.reader.faults import MAX_FAULTS, Faults
from coach.reader.nodes import MAX_NODES, Mapping, Node, Scalar, Sequence, Unusable, read_tree
from coach.reader.text import MAX_BYTES


def tree_of(text: str | bytes) -> Node:
    data = text if isinstance(text, bytes) else text.encode()
    faults = Faults()
    tree = read_tree(data, "a.yaml", faults)
    faults.stop_if_any()
    assert tree is not None
    return tree


def plain(node: Node) -> object:
    if isinstance(node, Scalar):
        return node.text
    if isinstance(node, Sequence):
        return [plain(item) for item in node.items]
    if isinstance(node, Mapping):
        return {key: plain(value) for key, (_, value) in node.entries.items()}
    assert isinstance(node, Unusable)
    return None


def codes_of(data: bytes) -> list[str]:
    with pytest.raises(ProcedureError) as caught:
        tree_of(data)
    return [problem.code for problem in caught.value.problems]


def scalar(text: str, key: str = "a") -> Scalar:
    tree = tree_of(text)
    assert isinstance(tree, Mapping)
    value = tree.entries[key][1]
    assert isinstance(value, Scalar)
    return value


def test_words_that_yaml_1_1_turns_into_something_else_stay_words() -> None:
    text = "no: on\nyes: 12:30\n010: 0x1F\n~: null\n1e3: 2026-01-02\n'=': 1_000\ntrue: .inf\n"
    assert plain(tree_of(text)) == {
        "no": "on", "yes": "12:30", "010": "0x1F", "~": "null", "1e3": "2026-01-02", "=": "1_000", "true": ".inf",
    }


def test_a_byte_order_mark_and_windows_lines_are_read_and_counted() -> None:
    tree = tree_of(b"\xef\xbb\xbfa: b\r\nc:\r\n  - d\r\n")
    assert plain(tree) == {"a": "b", "c": ["d"]}
    assert isinstance(tree, Mapping)
    item = tree.entries["c"][1]
    assert isinstance(item, Sequence)
    assert str(item.items[0].place) == "a.yaml:3:5"
    assert item.items[0].place.source == "  - d"
    assert item.items[0].place.path == "c > item 1"


@pytest.mark.parametrize(
    ("text", "word", "place"),
    [
        ("a: beam + 3", "3", "a.yaml:1:11"),
        ("a: 'beam + 3'", "3", "a.yaml:1:12"),
        ('a: "beam + 3"', "3", "a.yaml:1:12"),
        ("a: beam\n  + 3", "3", "a.yaml:2:5"),
        ("a: >-\n  beam\n\n    + 3\n", "3", "a.yaml:4:7"),
        ("a: |\n  beam\n  + 3\n", "3", "a.yaml:3:5"),
        ("é: x\na: é + 3", "3", "a.yaml:2:8"),
        ("a: '🛶 + 3'", "3", "a.yaml:1:9"),
        ('a: "\\x62eam + 3"', "3", "a.yaml:1:4"),  # an escape: only the beginning can be told
        ("a: 'it''s + 3'", "3", "a.yaml:1:4"),
    ],
)
def test_a_character_of_a_text_is_found_in_the_file(text: str, word: str, place: str) -> None:
    value = scalar(text)
    assert str(value.at(value.text.index(word))) == place


def test_the_place_behind_the_end_of_a_text() -> None:
    value = scalar("a: beam +  # why")
    assert str(value.at(len(value.text))) == "a.yaml:1:10"


def test_a_missing_value_is_placed_at_its_key() -> None:
    value = scalar("b: c\na:\n\n\n")
    assert value.is_nothing
    assert str(value.place) == "a.yaml:2:1"
    assert not scalar("a: ''").is_nothing


@pytest.mark.parametrize(
    ("data", "code"),
    [
        (b"x" * (MAX_BYTES + 1), "P101"),
        (b"[" * MAX_BYTES, "P120"),  # the C scanner gives up by itself
        (b"{a: " * (MAX_BYTES // 4), "P109"),
        (b"- " * (MAX_BYTES // 2), "P109"),
        (b"? " * (MAX_BYTES // 2), "P109"),
        (b"- a\n" * (MAX_BYTES // 4), "P110"),
        (b"".join(b"k%d: v\n" % number for number in range(MAX_NODES)), "P110"),
        (b"a:" * (MAX_BYTES // 2), "P120"),
        (b"\n" * MAX_BYTES, "P106"),
        (b"#" * MAX_BYTES, "P106"),
        (b"*a " * (MAX_BYTES // 3), "P111"),
        (b"&a " * (MAX_BYTES // 3), "P112"),
        (b"\t" * MAX_BYTES, "P103"),
        (b"\xff" * MAX_BYTES, "P102"),
    ],
    ids=["too-large", "brackets", "braces", "dashes", "questions", "items", "keys", "colons", "blank", "comment",
         "aliases", "anchors", "tabs", "not-utf8"],
)
def test_a_megabyte_of_anything_ends_soon_with_a_fault(data: bytes, code: str) -> None:
    begin = time.perf_counter()
    assert code in codes_of(data)
    assert time.perf_counter() - begin < 20  # it takes under a second; this only tells an endless reading apart


def test_reading_stops_when_the_faults_are_too_many_to_help() -> None:
    codes = codes_of(b"a: b\n" * 5_000)
    assert codes == ["P116"] * MAX_FAULTS + ["P100"]


def test_a_very_long_line_makes_a_short_message() -> None:
    with pytest.raises(ProcedureError) as caught:
        tree_of("a: " + "b " * 200_000 + "*c\n" + "x" * 300_000 + ": &y z\n" + "'" + "k" * 100_000 + "': 1\n" * 2)
    assert len(str(caught.value)) < 2_000


@pytest.mark.parametrize("char", ["\u00a0", "\u2007", "\u3000", "\u2003"])
def test_spaces_that_are_none_are_named(char: str) -> None:
    assert codes_of(f"a: b{char}c\n".encode()) == ["P104"]


@pytest.mark.parametrize(
    "char",
    ["\u0000", "\u0007", "\u001b", "\u007f", "\u0085", "\u200b", "\u200e", "\u202e", "\u2028", "\u2066", "\ufeff",
     "\ufffe", "\U000e0041"],
)
def test_characters_that_cannot_be_seen_are_named_plain_and_escaped(char: str) -> None:
    assert codes_of(f"a: b{char}c\n".encode()) == ["P105"]
    assert codes_of(f'a: "b\\U{ord(char):08x}c"\n'.encode()) == ["P105"]


def test_letters_of_every_language_are_read() -> None:
    text = "a: größer, niño, naïve, Œuvre, 日本, ½ in, 5′ 6″, −3 °C\n"
    assert plain(tree_of(text)) == {"a": text[3:-1]}
