"""Drill files: the shipped ones, the page of the format, and every fault with its place and its words."""

from __future__ import annotations

import re
from collections import Counter
from pathlib import Path

import pytest

from coach import paths
from coach.practice.drill import Drill
from coach.practice.drill_file import DrillError, list_drills, load_drill, read_drill
from coach.reader.load import load_procedure
from coach.yard.skills import SKILLS

FORMAT = (paths.procedures() / "drills" / "FORMAT.md").read_text("utf-8")
EXAMPLE = re.search(r"```yaml\n(.*?)```", FORMAT, re.DOTALL)[1]  # type: ignore[index]


def read(text: str, name: str = "example-gust.yaml") -> Drill:
    return read_drill(text.encode(), name)


def changed(old: str, new: str) -> str:
    assert EXAMPLE.count(old) == 1, old
    return EXAMPLE.replace(old, new)


def problems(text: str) -> list[tuple[str, int, str]]:
    with pytest.raises(DrillError) as caught:
        read(text)
    return [
        (problem.code, problem.place.line if problem.place else 0, str(problem).splitlines()[0].partition(" ")[2])
        for problem in caught.value.problems
    ]


def test_what_is_shipped() -> None:
    """Issue 8: at least 12 drills; five turn on a trip, three on a debt, two on a measure, two on an honest stop."""
    drills = list_drills()
    turns = Counter(drill.turns_on for drill in drills)
    assert len(drills) >= 12
    assert turns["trip"] >= 5
    assert turns["debt"] >= 3
    assert turns["measure"] >= 2
    assert turns["stop"] >= 2
    assert {skill for drill in drills for skill in drill.skills} == set(SKILLS)
    assert len({drill.seed for drill in drills}) == len(drills)


def test_the_page_of_the_format_is_a_drill() -> None:
    drill = read(EXAMPLE)
    assert (drill.id, drill.turns_on, drill.begins, drill.seed) == ("example-gust", "trip", "shrink-sides", 1203)
    assert drill.starts == 1_793_698_200_000
    assert drill.air == pytest.approx(6)
    assert drill.wind == pytest.approx(5 * 0.44704)
    assert drill.pace == 120
    assert drill.truth == {"extinguisher": {"inspected": "2026-10-22"}}
    assert drill.slips["beam"].reads == "7 ft 6 in"
    assert drill.events[0].wind == pytest.approx(13 * 0.44704)
    assert drill.good[0].seconds == 20
    assert len(drill.hash) == 64


def test_every_key_of_the_reader_stands_in_the_format() -> None:
    from coach.practice import drill_file, drill_parts

    keys = {
        *drill_file.KEYS,
        *drill_parts.LOOK_KEYS,
        *drill_parts.DEED_KEYS,
        *drill_parts.EVENT_KEYS,
        *drill_parts.GOOD_KEYS,
    }
    assert [key for key in sorted(keys) if not re.search(rf"\b{key}\b", FORMAT)] == []
    assert [verb for verb in drill_parts.DOES if verb not in FORMAT] == []


@pytest.mark.parametrize(
    ("old", "new", "code", "words"),
    [
        ("turns_on: trip ", "turns_on: trap ", "P208", "unknown word 'trap' for 'turns_on'"),
        ("skills: [shrink, gate]", "skills: [shrink, welding, gate]", "P208", "unknown word 'welding' for 'skills'"),
        ("begins: shrink-sides", "begins: shrink-side", "P208", "unknown word 'shrink-side' for 'begins'"),
        (
            "starts: 2026-11-03 09:30",
            "starts: 2026-02-30 09:30",
            "P204",
            "'starts' is '2026-02-30 09:30', expected a day and time such as 2026-11-03 09:30",
        ),
        ("  beam: 8 ft\n", "  beam: 8 kg\n", "U104", "kg is a mass, a length is due"),
        ("  beam: 8 ft\n", "  boom: 8 ft\n", "P208", "unknown word 'boom' for a measure"),
        (
            "inspected: 12 days ago",
            "inspected: 2026-10-01",
            "P204",
            "'inspected' is '2026-10-01', expected a number of days such as '43 days ago'",
        ),
        (
            "  extinguisher: {inspected: 12 days ago}",
            "  wind: {how: meter}",
            "D301",
            "the wind stands among the truths",
        ),
        ("when: lit shrink-sides", "when: soon", "D306", "'soon' is no moment of this drill"),
        ("when: event gust", "when: event dust", "D306", "'event dust' is no moment of this drill"),
        ("later: 45 s", "later: 2 days", "D303", "'later' is longer than a day, or negative"),
        ("tells: [measure fuel_vents]", "tells: [measure vents]", "D304", "'measure vents' is no fact"),
        ("does: flame out", "does: flame off", "D307", "'flame off' is nothing that can be done well here"),
        ("does: flame out", "does: withdraw rain", "D307", "'withdraw rain' is nothing that can be done well here"),
        ("must: true ", "must: false ", "D312", "no good work must be done here"),
        (
            "skill: shrink ",
            "skill: weld ",
            "D313",
            "'out-at-once' is good work of 'weld', which is none of the drill's skills",
        ),
        ("role: technician", "role: supervisor", "D314", "a supervisor's drill without a job to review"),
        ("about: shrink-sides", "about: nowhere", "P208", "unknown word 'nowhere' for 'about'"),
        (
            "procedure: power-boat-trailer",
            "procedure: power-boat",
            "D311",
            "the procedure 'power-boat' cannot be used: P501",
        ),
        ("  - event: can", "  - event: gust", "D305", "the event 'gust' stands here for the second time"),
        (
            "drill: example-gust",
            "drill: gust",
            "P222",
            "the id is 'gust', expected 'example-gust' as in the file's name",
        ),
        ("boat: Dunlin", "ship: Dunlin", "P201", "a drill has no key 'ship'"),
    ],
)
def test_a_fault_is_named_where_it_stands(old: str, new: str, code: str, words: str) -> None:
    text = changed(old, new)
    line = EXAMPLE[: EXAMPLE.index(old)].count("\n") + 1
    found = problems(text)
    assert (code, words) in [(code_, text_.partition(" ")[2]) for code_, _line, text_ in found]
    if code not in ("D312", "D313", "D314"):  # these stand at what holds the fault
        assert line in [line_ for code_, line_, _text in found if code_ == code]


def test_a_whole_message() -> None:
    with pytest.raises(DrillError) as caught:
        read(changed("skill: shrink ", "skill: shrunk "))
    assert str(caught.value) == (
        "example-gust.yaml:83:12: P208 unknown word 'shrunk' for 'skill'\n"
        "    at    good > item 1 > skill\n"
        "   83 |     skill: shrunk                  # one of the drill's skills\n"
        "      |            ^\n"
        "    why   it means nothing here, and the reader guesses nothing\n"
        "    mend  write 'shrink'"
    )


def test_all_faults_at_once() -> None:
    text = (
        changed("turns_on: trip ", "turns_on: trap ")
        .replace("later: 45 s", "later: soon")
        .replace("concerns: area", "concerns: are")
    )
    assert {code for code, _line, _words in problems(text)} == {"P208", "U102"}
    assert len(problems(text)) == 3


def test_an_unknown_drill_offers_the_nearest() -> None:
    with pytest.raises(DrillError) as caught:
        load_drill("gust-at-the-side")
    assert str(caught.value) == (
        "D310 there is no drill 'gust-at-the-side'\n"
        "    why   no file of that name lies among the drills\n"
        "    mend  take 'gust-at-the-sides'"
    )


def test_a_missing_file_is_said(tmp_path: Path) -> None:
    with pytest.raises(DrillError, match="P502 there is no such file"):
        load_drill(tmp_path / "none.yaml")


@pytest.mark.parametrize("data", [b"", b"\xff\xfe", b"- a\n- b\n", b"drill: [", b"a: &x 1\nb: *x\n"])
def test_any_bytes_give_faults(data: bytes) -> None:
    with pytest.raises(DrillError):
        read_drill(data, "x.yaml")


def test_reasons_come_from_the_procedure() -> None:
    """Every good deed of every shipped drill has a reason in the procedure's or the gate's own words."""
    from coach.core.rules import Rules
    from coach.core.sizing.registry import FUNCTIONS
    from coach.practice.reasons import why_of
    from coach.yard.policy_file import demo_policy

    for drill in list_drills():
        rules = Rules(load_procedure(drill.procedure), demo_policy(), FUNCTIONS)
        for good in drill.good:
            assert why_of(rules, good.about)[0], (drill.id, good.id)
