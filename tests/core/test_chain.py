"""The chain: what link makes, verify accepts; and whatever was done to it, verify says where."""

from __future__ import annotations

import hashlib
from dataclasses import replace

import pytest

from coach.core.canonical import canonical
from coach.core.chain import ZEROS, Entry, extend, head_message, is_job_id, link, seal_message, verify
from coach.core.events import Event
from coach.core.moment import Moment
from coach.core.problems import RecordError
from tests.record.jobs import event, started, story


def chain(job: str = "dunlin-1") -> list[Entry]:
    return extend(job, 0, ZEROS, story(job))


def codes(entries: list[Entry]) -> list[str]:
    return [problem.code for problem in verify(entries)]


def firsts(entries: list[Entry]) -> list[str]:
    return [str(problem).split("\n")[0] for problem in verify(entries)]


def test_a_true_chain_verifies() -> None:
    assert verify(chain()) == []
    assert [entry.event for entry in chain()] == story("dunlin-1")


def test_the_hash_is_what_the_docstring_says() -> None:
    plain = {"a": 1}
    by_hand = hashlib.sha256(b"coach entry 1\ndunlin-1\n1\n" + b"0" * 64 + b"\n" + b'{"a":1}').hexdigest()
    assert link(ZEROS, "dunlin-1", 1, plain) == by_hand


def test_hash_head_and_seal_never_share_a_text() -> None:
    texts = {head_message("j", 1, ZEROS, "k"), seal_message("j", 1, ZEROS, "k"), b"coach entry 1\nj\n1\n"}
    assert len({text.split(b"\n")[0] for text in texts}) == 3


def test_an_empty_record_proves_nothing() -> None:
    assert firsts([]) == ["R207 the record holds no entries"]


def test_a_changed_entry_is_named() -> None:
    told = chain()
    told[6] = replace(told[6], body=told[6].body.replace(b"22 km/h", b"12 km/h"))
    (problem,) = verify(told)
    assert problem.code == "R204"
    assert str(problem).startswith(
        f"R204 the content of entry 7 does not fit its hash: hash expected {told[6].hash[:12]},"
    )


def test_a_changed_entry_with_its_hash_made_anew_breaks_the_next() -> None:
    told = chain()
    body = told[6].body.replace(b"22 km/h", b"12 km/h")
    told[6] = replace(told[6], body=body, hash=hashlib.sha256(
        f"coach entry 1\ndunlin-1\n7\n{told[6].prev}\n".encode() + body).hexdigest())  # fmt: skip
    assert firsts(told) == [
        (
            f"R203 entry 8 does not follow the entry before it: previous hash expected {told[6].hash[:12]}, "
            f"found {told[7].prev[:12]}"
        )
    ]


@pytest.mark.parametrize("place", range(16))
def test_each_deletion_shows_except_at_the_tail(place: int) -> None:
    told = chain()
    del told[place]
    found = codes(told)
    if place == 15:  # a shorter chain is a chain; signatures, the promised count and other devices show it
        assert found == []
    else:
        assert found[:2] == ["R201", "R203"]


@pytest.mark.parametrize("place", range(16))
def test_each_duplication_shows(place: int) -> None:
    told = chain()
    told.insert(place, told[place])
    assert codes(told)[:2] == ["R201", "R203"]


@pytest.mark.parametrize("place", range(15))
def test_each_exchange_of_neighbours_shows(place: int) -> None:
    told = chain()
    told[place], told[place + 1] = told[place + 1], told[place]
    assert {"R201", "R203"} <= set(codes(told))


def test_a_splice_from_another_job_shows() -> None:
    told, other = chain(), extend("dunlin-2", 0, ZEROS, story("dunlin-2"))
    told[4] = other[4]
    assert codes(told) == ["R202", "R203", "R203"]
    told[4] = replace(other[4], job="dunlin-1")
    assert codes(told) == ["R203", "R204", "R203"]


def test_the_first_event_starts_the_job() -> None:
    assert firsts(extend("dunlin-1", 0, ZEROS, [event("paused", 1)])) == [
        "R206 the first event is 'paused', not 'job_started'"
    ]


@pytest.mark.parametrize(
    ("change", "detail"),
    [
        ({"wall": "noon"}, "'wall' is a str, not a int"),
        ({"wall": True}, "'wall' is a bool, not a int"),
        ({"data": []}, "'data' is a list, not a dict"),
        ({"colour": "red"}, "'colour' is unknown"),
        ({"by": None}, "'by' is a NoneType, not a str"),
    ],
)
def test_an_entry_that_is_no_event_is_named(change: dict[str, object], detail: str) -> None:
    plain = started("dunlin-1").as_dict() | change
    entry = Entry("dunlin-1", 1, ZEROS, link(ZEROS, "dunlin-1", 1, plain), canonical(plain))
    assert firsts([entry]) == [f"R205 entry 1 cannot be read as an event: {detail}"]
    with pytest.raises(RecordError, match=f"R205 entry 1 cannot be read as an event: {detail}"):
        entry.event  # noqa: B018


def test_a_missing_field_and_other_bytes_are_named() -> None:
    plain = started("dunlin-1").as_dict()
    del plain["by"]
    body = canonical(plain)
    for raw, detail in ((body, "'by' is missing"), (body + b" ", "the bytes are not in canonical form (R108)"),
                        (b"[]", "it is no map")):  # fmt: skip
        hash = hashlib.sha256(b"coach entry 1\ndunlin-1\n1\n" + ZEROS.encode() + b"\n" + raw).hexdigest()
        assert firsts([Entry("dunlin-1", 1, ZEROS, hash, raw)]) == [
            f"R205 entry 1 cannot be read as an event: {detail}"
        ]


def test_a_fault_hides_no_later_one() -> None:
    told = chain()
    for place in (2, 9):
        told[place] = replace(told[place], body=told[place].body[:-1] + b" }")
    assert codes(told) == ["R204", "R205", "R204", "R205"]


def test_a_fraction_never_enters() -> None:
    with pytest.raises(RecordError, match=r"R101 the value at \$.data.gust is a fraction \(7.5\)"):
        extend("dunlin-1", 0, ZEROS, [Event("observed", Moment(1, 1), "ana", {"gust": 7.5})])


@pytest.mark.parametrize("text", ["a", "dunlin-1", "A.b_c-9", "x" * 64])
def test_job_ids(text: str) -> None:
    assert is_job_id(text)


@pytest.mark.parametrize(
    "text", ["", ".", "..", "a..b", "-a", ".a", "a/b", "a\\b", "a\n", "a b", "é", "x" * 65, "a\0", "٣"]
)
def test_no_job_ids(text: str) -> None:
    assert not is_job_id(text)
