"""The monitor has nothing against a kernel's log, and something, in words, against each log that breaks a sentence."""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import Any

import pytest

from coach.core.actions import Observe
from coach.core.events import KINDS, Event
from coach.core.moment import Moment
from coach.core.monitor import SENTENCES, Finding, watch_log
from coach.core.monitor_stay import trusted_age
from tests.helpers.bench import Bench
from tests.helpers.people import POLICY, good, policy
from tests.helpers.procedures import LADDER, covering, rules_for
from tests.helpers.stories import STORIES

Log = list[Event]


def log_of(story: str) -> Log:
    return STORIES[story](Bench()).events


def at(log: Log, kind: str, nth: int = 0) -> int:
    """The place of the nth event of a kind."""
    return [place for place, event in enumerate(log) if event.kind == kind][nth]


def changed(event: Event, **data: Any) -> Event:
    """The event with some of its data changed."""
    return replace(event, data={**event.data, **data})


def put(log: Log, place: int, kind: str, by: str = "ana", **data: Any) -> Log:
    """The log with an event put in at a place, at the moment of the one before it."""
    return [*log[:place], Event(kind, log[place - 1].at, by, data), *log[place:]]


def findings(log: Log, own: bool = False) -> list[str]:
    """The sentences that a log breaks."""
    return [finding.sentence for finding in watch_log(log, POLICY, (LADDER,) if own else ())]


@pytest.mark.parametrize("story", STORIES)
def test_nothing_is_found_in_what_the_kernel_did(story: str) -> None:
    log = log_of(story)
    assert [str(finding) for finding in watch_log(log, POLICY)] == []


@pytest.mark.parametrize("story", STORIES)
def test_nothing_is_found_in_any_beginning_that_ends_between_two_acts(story: str) -> None:
    log = log_of(story)
    ends = [place for place in range(1, len(log)) if log[place].at != log[place - 1].at]
    assert [str(finding) for end in ends for finding in watch_log(log[:end], POLICY)] == []


def test_an_empty_log_breaks_nothing() -> None:
    assert watch_log([], POLICY) == ()


# -- one log against each sentence -------------------------------------------------------------------------------


def _lit_without(log: Log) -> Log:
    return [event for event in log if event.data.get("safeguard") != "gas"]


def _stale(log: Log) -> Log:
    """Everything from the flame on is a quarter of an hour and a moment later."""
    first = at(log, "flame_lit")
    return log[:first] + [replace(event, at=event.at.plus(900_001)) for event in log[first:]]


def _another_run(log: Log) -> Log:
    first = at(log, "flame_lit")
    return log[:first] + [replace(e, at=Moment(e.at.wall, e.at.steady, e.at.boot, "run-2")) for e in log[first:]]


def _met_that_is_not(log: Log) -> Log:
    place = next(n for n, event in enumerate(log) if event.data.get("safeguard") == "wind")
    return [*log[:place], changed(log[place], values=good("wind", gust=8_000)), *log[place + 1:]]


def _no_trip(log: Log) -> Log:
    return [event for event in log if event.kind != "tripped"]


def _taped_too_few(log: Log) -> Log:
    place = at(log, "debt_cleared", 2)
    assert log[place].data["debt"] == "taped_vents"
    return [*log[:place], changed(log[place], evidence={"removed": 1}), *log[place + 1:]]


def _watch_cut(log: Log) -> Log:
    """The watch is said to be held an hour after the flame, by a wall clock that was turned."""
    place = [n for n, event in enumerate(log) if event.data.get("debt") == "fire_watch"][-1]
    early = log[at(log, "flame_out", 1)].at.plus(1_800_000)
    return log[:place] + [replace(e, at=Moment(e.at.wall, early.steady, e.at.boot, e.at.run)) for e in log[place:]]


BROKEN: dict[str, tuple[str, Callable[[Log], Log], str, str]] = {
    "lit without a safeguard": ("lit", _lit_without,
        "event 22: lit without gas: nothing in this stay at the boat proves it", "proven"),
    "lit on a reading too old": ("lit", _stale,
        "event 23: lit without wind: event 22 is 900 s old, at most 900 s", "proven"),
    "lit after the program was started anew": (
        "lit", _another_run,
        "event 23: lit without operator: the clock or the program was started anew since event 10", "proven"),
    "lit on the proof of a stay before": (
        "lit", lambda log: put(log, at(log, "flame_lit"), "paused", why=""),
        "event 24: lit without operator: nothing in this stay at the boat proves it", "proven"),
    "called met and is not": ("ready", _met_that_is_not,
        "event 22: wind is called met: the gust of 8000 mm/s is not under 8000", "honest"),
    "a loss that nobody answers": (
        "trip", lambda log: put(_no_trip(log), len(log) - 1, "timer_started", step="weld", seconds=60),
        "event 26: area was lost in the flame: nothing in this stay at the boat proves it", "at_once"),
    "a loss at the very end": (
        "trip", _no_trip,
        "event 26: area was lost in the flame: nothing in this stay at the boat proves it", "at_once"),
    "a reset before the flame is out": (
        "trip, reset", lambda log: [e for e in log if e.kind != "flame_out"],
        "event 28: reset while the flame was not out", "latched"),
    "lit again without a reset": (
        "lit again", lambda log: [e for e in log if e.kind != "trip_reset"],
        "event 40: lit after a trip that nobody had reset", "latched"),
    "a second trip over the first": (
        "trip", lambda log: [*log, log[-1]],
        "event 28: a second trip over the first, whose cause must be kept", "latched"),
    "lit twice": ("lit", lambda log: put(log, len(log), "flame_lit", step="weld", operator="ana",
        proofs=log[at(log, "flame_lit")].data["proofs"]),
                  "event 26: lit while a flame was not out", "one_flame"),
    "lit while stopping": (
        "lit", lambda log: put(log, at(log, "flame_lit"), "stop_asked", reason="rain"),
        "event 24: lit when the job was being stopped or had ended", "one_flame"),
    "lit by another": (
        "lit", lambda log: [changed(e, operator="joel") if e.kind == "flame_lit" else e for e in log],
        "event 23: lit by ana for joel", "one_flame"),
    "paused over the flame": (
        "lit", lambda log: put(log, len(log), "paused", why=""),
        "event 26: 'paused' while the flame was not out", "attended"),
    "a flame that nobody saw go out": (
        "out", lambda log: [changed(e, confirmed=False) if e.kind == "flame_out" else e for e in log],
        "event 26: the flame is called out and nobody confirmed it", "attended"),
    "handed over with the flame": (
        "trip", lambda log: put(log, len(log), "handed_over", "joel", to="joel", name="Joel Baptiste"),
        "event 28: 'handed_over' while the flame was not out", "attended"),
    "a cylinder closed over the flame": (
        "lit", lambda log: put(log, len(log), "debt_cleared", debt="open_cylinder", amount=1, evidence={"tick": True}),
        "event 26: open_cylinder called undone while the flame was not out", "undone"),
    "less tape off than on": ("closed", _taped_too_few,
        "event 38: tape off 1 vents, it was on 2", "undone"),
    "the watch cut short": (
        "closed", _watch_cut, "event 40: the fire watch was not held for 60 min after the last flame", "undone"),
    "a tag in a job that goes on": (
        "ready", lambda log: put(log, len(log), "debt_tagged", debt="taped_vents", where="rail", reason="no light"),
        "event 23: taped_vents was hung on a tag", "tagged"),
    "a tag for a cylinder": (
        "stopping", lambda log: put(log, len(log), "debt_tagged", debt="open_cylinder", where="rail",
            reason="no light"),
        "event 34: open_cylinder was hung on a tag", "tagged"),
    "a tag without a place": (
        "stopping", lambda log: put(log, len(log), "debt_tagged", debt="taped_vents", where=" ", reason="no light"),
        "event 34: the tag of taped_vents names no place or no reason", "tagged"),
    "closed with tape on": (
        "closed", lambda log: [e for e in log if not (e.kind == "debt_cleared" and e.data["debt"] == "taped_vents")],
        "event 42: ended with taped_vents still to be undone", "ended"),
    "closed without a signature": (
        "closed", lambda log: [e for e in log if e.kind != "signed"],
        "event 42: ended without the technician's signature under all that was done", "ended"),
    "signed by another": (
        "closed", lambda log: [replace(e, by="joel") if e.kind == "signed" else e for e in log],
        "event 43: ended without the technician's signature under all that was done", "ended"),
    "worked on after the signature": (
        "closed", lambda log: put(log, len(log) - 1, "measured", measure="beam", typed="3 m", value="3 m"),
        "event 44: ended without the technician's signature under all that was done", "ended"),
    "stopped by nobody's wish": (
        "stopped", lambda log: [e for e in log if e.kind not in ("stop_asked",)],
        "event 40: stopped without anybody having asked to stop", "ended"),
    "stopped with a debt neither undone nor tagged": (
        "stopped", lambda log: [e for e in log if e.data.get("where") is None or e.data["debt"] != "prop"],
        "event 40: ended with prop still to be undone", "ended"),
    "accepted by no supervisor": (
        "accepted", lambda log: [replace(e, by="joel") if e.kind == "accepted" else e for e in log],
        "event 44: joel is no supervisor of this yard", "own_work"),
    "accepted before the end": (
        "undone", lambda log: put(log, len(log), "accepted", "marta", name="Marta Oduya", role="supervisor",
            meaning="seen",
                                  strokes=[[[1, 1], [2, 2]]], excused=[]),
        "event 42: reviewed when there was nothing to review", "own_work"),
    "accepted with a tag hanging": (
        "stopped", lambda log: put(log, len(log), "accepted", "marta", name="Marta Oduya", role="supervisor",
            meaning="seen",
                                   strokes=[[[1, 1], [2, 2]]], excused=[]),
        "event 42: prop, taped_vents still hung on a tag", "accepted"),
    "accepted with a step unseen": (
        "closed", lambda log: put(put(log, at(log, "signed"), "step_excused", step="cut-door", reason="no"),
            len(log) + 1, "accepted",
                                  "marta", name="Marta Oduya", role="supervisor", meaning="seen", strokes=[[[1, 1]]],
                                  excused=[]),
        "event 45: cut-door excused and never seen", "accepted"),
    "accepted without a signature": (
        "accepted", lambda log: [changed(e, strokes=[]) if e.kind == "accepted" else e for e in log],
        "event 44: accepted without a signature", "accepted"),
    "a tag cleared without a word": (
        "stopped", lambda log: put(log, len(log), "tag_cleared", "marta", debt="prop", found=" "),
        "event 42: a tag was cleared without a word of what was found", "accepted"),
    "a job that begins in the middle": (
        "ready", lambda log: log[1:],
        "event 1: 'measured' stands where it cannot be read", "readable"),
    "a word nobody knows": (
        "ready", lambda log: put(log, len(log), "moon_rose"),
        "event 23: 'moon_rose' stands where it cannot be read", "readable"),
    "a job that begins twice": (
        "ready", lambda log: [*log, log[0]],
        "event 23: 'job_started' stands where it cannot be read", "readable"),
}


@pytest.mark.parametrize("name", BROKEN)
def test_a_broken_sentence_is_found_and_named(name: str) -> None:
    story, breaking, text, sentence = BROKEN[name]
    log = log_of(story)
    assert findings(log) == []
    found = watch_log(breaking(log), POLICY)
    assert f"{text} - but {SENTENCES[sentence]}" in [str(finding) for finding in found]


def test_every_sentence_is_broken_by_some_log() -> None:
    assert {sentence for *_, sentence in BROKEN.values()} == set(SENTENCES)


def test_own_work_is_not_reviewed() -> None:
    bench = Bench().start().measure().do("look")
    bench.take([Event("handed_over", bench.clock(), "ivo", {"to": "ivo", "name": "Ivo Brandt"})])
    bench.by = "ivo"
    bench.do("cut", "prop").prove().lit("weld").out().do("weld").lit("shrink").out().do("shrink", "close", "unprop",
        "untape")
    bench.wait(60)
    bench.do("hold", "tidy").must(bench.sign())
    assert bench.findings() == ()
    bench.take([Event("sent_back", bench.clock(), "ivo", {"steps": [], "name": "Ivo Brandt"})])
    assert [str(finding) for finding in bench.findings()] == [
        f"event {len(bench.events)}: ivo worked on this job - but {SENTENCES['own_work']}"
    ]


# -- times in the flame ------------------------------------------------------------------------------------------


@pytest.mark.parametrize("minutes", [15.001, 16, 600])
def test_a_reading_that_ends_in_the_flame_is_a_loss_even_if_it_is_read_again(minutes: float) -> None:
    log = log_of("lit")
    later = log[-1].at.plus(int(minutes * 60_000))
    log += [Event("observed", later, "ana", {"safeguard": "wind", "values": good("wind"), "met": True})]
    assert findings(log) == ["at_once"]
    assert findings([*log[:-1], Event("flame_out", later, "ana", {"step": "weld", "confirmed": True})]) == []
    assert findings([*log[:-1], Event("tripped", later, "ana", {"step": "weld", "first": {}, "reasons": []})]) == []
    assert findings([*log, Event("flame_out", later, "ana", {"step": "weld", "confirmed": True})]) == []


@pytest.mark.parametrize(
    "moment",
    [
        lambda m: Moment(m.wall - 6_000, m.steady + 1, m.boot, m.run),
        lambda m: Moment(m.wall + 6_000, m.steady, m.boot, m.run),
        lambda m: Moment(m.wall, m.steady - 1, m.boot, m.run), lambda m: Moment(m.wall, m.steady, "boot-2", m.run),
        lambda m: Moment(m.wall, m.steady, m.boot, "run-2"),
    ],
    ids=["back", "forward", "steady back", "other start", "other run"],
)
def test_a_clock_in_doubt_during_the_flame_is_a_loss(moment: Callable[[Moment], Moment]) -> None:
    log = log_of("lit")
    now = moment(log[-1].at)
    look = Event("observed", now, "ana", {"safeguard": "gas", "values": good("gas"), "met": True})
    assert findings([*log, look, replace(look, at=now.plus(1))]) == ["at_once"]
    assert findings([*log, Event("tripped", now, "ana", {"step": "weld", "first": {}, "reasons": []})]) == []


def test_a_flame_that_burns_past_midnight_asks_the_day_again() -> None:
    bench = Bench()
    bench.clock.pass_minutes(15 * 60 + 55)
    bench.start().measure().do("look", "cut", "prop").prove()
    bench.must(Observe("ana", "extinguisher", good("extinguisher", inspected="2026-10-10")))
    bench.lit()
    bench.clock.pass_minutes(6)
    look = Event("observed", bench.clock(), "ana", {"safeguard": "gas", "values": good("gas"), "met": True})
    assert findings([*bench.events, look, look]) == ["at_once"]


def test_a_refused_flame_between_loss_and_trip_is_no_act() -> None:
    log = log_of("trip")
    place = at(log, "tripped")
    assert findings(put(log, place, "heat_refused", step="weld", reasons=[])) == []
    assert findings(put(log, place, "debt_opened", debt="prop", amount=1)) == []
    assert findings(put(log, place, "timer_started", step="weld", seconds=60)) == ["at_once"]


def test_one_flame_is_blamed_once() -> None:
    log = log_of("lit")
    for number in range(5):
        log.append(Event("withdrawn", log[-1].at.plus(number), "ana", {"safeguard": "area", "why": "a child"}))
    assert findings(log) == ["at_once"]


def test_proofs_are_those_that_the_flame_names() -> None:
    log = log_of("lit")
    place = at(log, "flame_lit")
    proofs = dict(log[place].data["proofs"])
    wrong = changed(log[place], proofs={**proofs, "wind": proofs["gas"]})
    assert [str(f) for f in watch_log([*log[:place], wrong, *log[place + 1:]], POLICY)] == [
        f"event {place + 1}: wind is said to rest on event {proofs['gas']}, not {proofs['wind']} - but "
        + SENTENCES["proven"]
    ]
    assert findings([*log[:place], changed(log[place], proofs=[]), *log[place + 1:]]) == ["proven"] * 11


def test_an_authors_own_safeguard_is_watched_with_its_minutes() -> None:
    bench = Bench(rules_for(covering(own_safeguard=True))).ready().lit()
    assert findings(bench.events, own=True) == []
    without = [event for event in bench.events if event.data.get("safeguard") != "ladder"]
    assert findings(without, own=True) == ["proven"] and findings(without) == []
    later = bench.events[-1].at.plus(14 * 60_000)
    fresh = [Event("observed", later, "ana", {"safeguard": "wind", "values": good("wind"), "met": True})]
    late = Event("observed", later.plus(6 * 60_000 + 1), "ana",
        {"safeguard": "gas", "values": good("gas"), "met": True})
    assert findings([*bench.events, *fresh, late, late], own=True) == ["at_once"]
    assert findings([*bench.events, *fresh, late, late]) == []


@pytest.mark.parametrize("own", [1, 15, 60])
def test_the_yards_own_times_count_within_the_floor(own: int) -> None:
    log = log_of("lit")
    place = at(log, "flame_lit")
    minutes = min(own, 15)
    for extra, due in ((0, []), (1, ["wind"])):
        late = log[:place] + [replace(e, at=e.at.plus(minutes * 60_000 + extra)) for e in log[place:]]
        found = watch_log(late, policy(wind_minutes=own))
        assert [f.slots["about"] for f in found] == due


def test_what_cannot_be_read_never_breaks_the_reading() -> None:
    junk: list[Any] = [None, 3, "x", [], {}, [[]], {"a": 1}, True]
    log = log_of("accepted")
    for kind in KINDS:
        for value in junk:
            fields = ("safeguard", "values", "debt", "amount", "evidence", "step", "to", "technician", "proofs",
                "excused", "strokes",
                      "measure", "value", "where", "reason", "found", "met", "operator", "name")
            data = dict.fromkeys(fields, value)
            for place in (1, 22, len(log)):
                bent = put(log, place, kind, **data)
                assert all(isinstance(str(finding), str) for finding in watch_log(bent, POLICY))
        watch_log(put(log, 22, kind), POLICY)


def test_a_finding_reads_as_one_line() -> None:
    finding = Finding("ended", 7, "ended with %(debts)s still to be undone", {"debts": "prop"})
    assert str(finding) == f"event 7: ended with prop still to be undone - but {SENTENCES['ended']}"


def test_an_age_is_trusted_by_both_clocks_only() -> None:
    start = Moment(1_000, 2_000, "b", "r")
    assert trusted_age(start, start.plus(500)) == 500
    assert trusted_age(start, Moment(1_500, 2_500, "c", "r")) is None
