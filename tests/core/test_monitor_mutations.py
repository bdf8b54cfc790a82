"""Logs bent by hand and by rule: what the monitor must notice in each.

The chain of the record keeps a log from being bent; here a bent log stands for a kernel with a fault.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import replace
from typing import Any

import pytest

from coach.core.events import Event
from coach.core.gate import SAFEGUARDS
from coach.core.moment import Moment
from coach.core.monitor import watch_log
from tests.helpers.bench import Bench
from tests.helpers.gate_cases import FAILING, Case
from tests.helpers.people import POLICY
from tests.helpers.stories import STORIES

Log = list[Event]
LOGS: dict[str, Log] = {name: story(Bench()).events for name, story in STORIES.items()}
FINISHED = ("closed", "stopped", "accepted", "sent back")
WITH_FLAME = [name for name, log in LOGS.items() if any(event.kind == "flame_lit" for event in log)]


def noticed(log: Log) -> bool:
    return bool(watch_log(log, POLICY))


def places(log: Log, kind: str, **data: Any) -> list[int]:
    return [n for n, event in enumerate(log) if event.kind == kind and all(event.data.get(k) == v for k,
        v in data.items())]


def without(log: Log, place: int) -> Log:
    return log[:place] + log[place + 1:]


def bent(log: Log, place: int, **data: Any) -> Log:
    return [*log[:place], replace(log[place], data={**log[place].data, **data}), *log[place + 1:]]


def moved(log: Log, place: int, change: Callable[[Moment], Moment]) -> Log:
    """Everything from a place on at other times."""
    return log[:place] + [replace(event, at=change(event.at)) for event in log[place:]]


# -- one event taken out -----------------------------------------------------------------------------------------

# Taking these out of a finished log breaks no sentence of safety: questions that no proof is judged by, ticks, notes,
# and debts that the monitor knows of itself because it saw the tape, the soap or the flame.
HARMLESS = {
    ("measured", "beam"), ("measured", "door"), ("step_done", ""), ("step_reopened", ""), ("heat_refused", ""),
    ("debt_opened", "taped_vents"), ("debt_opened", "open_cylinder"), ("debt_opened", "fire_watch"),
}
# At the end of a log nothing that comes after can show what is missing.
ENDS = {"closed", "stopped_safely", "accepted", "sent_back"}


def label(event: Event) -> tuple[str, str]:
    return event.kind, str(event.data.get("debt") or event.data.get("measure") or "")


@pytest.mark.parametrize("name", FINISHED)
def test_an_event_taken_out_of_a_finished_log_is_noticed(name: str) -> None:
    log = LOGS[name]
    missed = {label(log[place]) for place in range(len(log)) if not noticed(without(log, place))}
    assert {what for what in missed if what[0] not in ENDS} <= HARMLESS


@pytest.mark.parametrize("id", SAFEGUARDS)
@pytest.mark.parametrize("name", WITH_FLAME)
def test_no_flame_goes_unnoticed_whose_proof_is_taken_out(name: str, id: str) -> None:
    log = LOGS[name]
    flames, proofs = places(log, "flame_lit"), places(log, "observed", safeguard=id)
    for proof in proofs:
        if any(log[flame].data["proofs"][id] == proof + 1 for flame in flames):
            assert noticed(without(log, proof))
            assert noticed(bent(log, proof, met=False))
            assert noticed(bent(log, proof, values={}))
            assert noticed(bent(log, proof, safeguard="something else"))


@pytest.mark.parametrize("case", FAILING, ids=str)
def test_no_statement_that_fails_passes_as_a_proof(case: Case) -> None:
    log = LOGS["closed"]
    (proof,) = places(log, "observed", safeguard=case.safeguard)
    assert noticed(bent(log, proof, values=case.values))


# -- losses and trips --------------------------------------------------------------------------------------------


def losses() -> Iterator[tuple[str, Log]]:
    """A flame, and something that ends it: each log ends with the trip."""
    for id in SAFEGUARDS:
        bench = STORIES["lit"](Bench())
        bench.take([Event("withdrawn", bench.clock(), "pia", {"safeguard": id, "why": "lost"})])
        yield f"{id} withdrawn", bench.events
    for measure, value in (("fuel_vents", "3"), ("place", "indoors")):
        bench = STORIES["lit"](Bench())
        bench.take([Event("measured", bench.clock(), "ana", {"measure": measure, "typed": value, "value": value})])
        yield f"{measure} put right", bench.events
    for debt in ("taped_vents", "open_cylinder", "fire_watch"):
        bench = STORIES["lit"](Bench())
        bench.take([Event("debt_cleared", bench.clock(), "ana",
            {"debt": debt, "amount": 2, "evidence": {"removed": 2}})])
        yield f"{debt} undone", bench.events


LOSSES = dict(losses())
NEXT: dict[str, tuple[str, dict[str, Any]]] = {
    "a look": ("observed", {"safeguard": "wind", "values": {"how": "meter", "mean": 1, "gust": 2}, "met": True}),
    "a tick": ("step_done", {"step": "weld", "evidence": {"tick": True}}),
    "a timer": ("timer_started", {"step": "weld", "seconds": 60}),
    "a stop": ("stop_asked", {"reason": "rain"}),
    "another loss": ("withdrawn", {"safeguard": "gas", "why": "a smell"}),
    "a resumption": ("resumed", {}),
}


@pytest.mark.parametrize("after", NEXT)
@pytest.mark.parametrize("name", LOSSES)
def test_a_loss_is_answered_at_once_or_noticed(name: str, after: str) -> None:
    kind, data = NEXT[after]
    log = LOSSES[name]
    now = log[-1].at.plus(1_000)
    trip = Event("tripped", now, "ana", {"step": "weld", "first": {}, "reasons": []})
    out = Event("flame_out", now, "ana", {"step": "weld", "confirmed": True})
    other = Event(kind, now, "ana", data)
    at_once = [finding.sentence for finding in watch_log([*log, trip, other], POLICY)]
    assert "at_once" not in at_once
    assert "at_once" not in [finding.sentence for finding in watch_log([*log, out, other], POLICY)]
    assert "at_once" in [finding.sentence for finding in watch_log([*log, other, trip], POLICY)]
    assert "at_once" in [finding.sentence for finding in watch_log(log, POLICY)]


@pytest.mark.parametrize("name", ["trip, out", "trip, reset", "lit again"])
def test_a_trip_out_of_order_is_noticed(name: str) -> None:
    log = LOGS[name]
    (trip,), out = places(log, "tripped"), places(log, "flame_out")[0]
    assert noticed([*log[:trip], log[out], log[trip], *without(log[trip + 1:], out - trip - 1)])
    assert noticed(without(log, out)) or out == len(log) - 1


def test_a_reset_that_lights_is_noticed() -> None:
    log = LOGS["lit again"]
    (reset,) = places(log, "trip_reset")
    (light,) = places(log, "flame_lit")[1:]
    assert noticed([*log[:reset + 1], log[light]])


# -- times -------------------------------------------------------------------------------------------------------

TIMES: dict[str, Callable[[Moment], Moment]] = {
    "four hours and a moment later": lambda m: m.plus(4 * 3_600_000 + 1),
    "a quarter of an hour and a moment later": lambda m: m.plus(15 * 60_000 + 1),
    "a day later": lambda m: m.plus(86_400_000),
    "the wall clock turned on": lambda m: Moment(m.wall + 60_000, m.steady, m.boot, m.run),
    "the wall clock turned back": lambda m: Moment(m.wall - 60_000, m.steady, m.boot, m.run),
    "the steady clock stepped back": lambda m: Moment(m.wall, m.steady - 2_000, m.boot, m.run),
    "another start of the device": lambda m: Moment(m.wall, m.steady, "boot-9", m.run),
    "another run of the program": lambda m: Moment(m.wall, m.steady, m.boot, "run-9"),
}


@pytest.mark.parametrize("time", TIMES)
@pytest.mark.parametrize("name", WITH_FLAME)
def test_a_flame_lit_at_another_time_than_its_proofs_is_noticed(name: str, time: str) -> None:
    for flame in places(LOGS[name], "flame_lit"):
        assert noticed(moved(LOGS[name], flame, TIMES[time]))


@pytest.mark.parametrize("time", TIMES)
def test_time_that_does_something_in_the_flame_is_noticed(time: str) -> None:
    log = LOGS["lit"]
    looks = [Event("observed", log[-1].at.plus(n), "ana", log[20].data) for n in (1, 2, 3)]
    assert noticed(moved([*log, *looks], len(log), TIMES[time]))


@pytest.mark.parametrize(("minutes", "seen"), [(59, True), (30, True), (1, True), (60, False)])
def test_a_fire_watch_cut_short_is_noticed(minutes: int, seen: bool) -> None:
    log = LOGS["closed"]
    out = log[places(log, "flame_out")[-1]].at
    (cleared,) = places(log, "debt_cleared", debt="fire_watch")
    late = out.plus(minutes * 60_000)
    assert noticed(moved(log, cleared, lambda m: late)) == seen


@pytest.mark.parametrize("time",
    ["the wall clock turned on", "the wall clock turned back", "another start of the device"])
def test_a_fire_watch_that_the_clocks_cannot_tell_is_noticed(time: str) -> None:
    log = LOGS["closed"]
    (cleared,) = places(log, "debt_cleared", debt="fire_watch")
    assert noticed(moved(log, cleared - 1, TIMES[time]))


# -- counts, persons, places -------------------------------------------------------------------------------------


@pytest.mark.parametrize("name", ["closed", "accepted"])
def test_a_count_that_does_not_fit_is_noticed(name: str) -> None:
    log = LOGS[name]
    (taped,), (off,) = places(log, "observed", safeguard="vents_taped"), places(log, "debt_cleared", debt="taped_vents")
    (vents,) = places(log, "measured", measure="fuel_vents")
    for values in ({"taped": 3, "markers": 3}, {"taped": 2, "markers": 3}, {"taped": 1, "markers": 1}):
        assert noticed(bent(log, taped, values=values))
    for removed in (0, 1, 3, None, True, "2"):
        assert noticed(bent(log, off, evidence={"removed": removed}))
    assert noticed(bent(log, off, amount=1)) and noticed(bent(log, vents, value="3")) and noticed(bent(log, vents,
        value="two"))
    opened = places(log, "debt_opened", debt="taped_vents")[0]
    assert noticed(bent(log, opened, amount=3))  # one more went on than came off


@pytest.mark.parametrize("name", WITH_FLAME)
def test_a_person_who_may_not_is_noticed(name: str) -> None:
    log = LOGS[name]
    flame = places(log, "flame_lit")[0]
    assert noticed(bent(log, flame, operator="joel"))
    assert noticed([*log[:flame], replace(log[flame], by="joel"), *log[flame + 1:]])
    assert noticed(bent(log, 0, technician="joel")) and noticed(bent(log, 0, technician="nobody"))
    watch = places(log, "observed", safeguard="fire_watch")[0]
    assert noticed(bent(log, watch, values={"person": "ana", "at_post": True, "equipped": True}))


@pytest.mark.parametrize("by", ["ana", "joel", "nobody", "ivo"])
def test_a_review_by_the_wrong_person_is_noticed(by: str) -> None:
    log = LOGS["accepted"]
    wrong = [replace(event, by=by) if event.kind == "accepted" else event for event in log]
    if by == "ivo":  # a supervisor, and he worked on this job before it was handed on
        there, back = (Event("handed_over", log[0].at, who, {"to": who, "name": who}) for who in ("ivo", "ana"))
        wrong = [wrong[0], there, back, *(event if event.kind != "flame_lit" else bent([event], 0, proofs={
            id: seq + 2 for id, seq in event.data["proofs"].items()})[0] for event in wrong[1:])]
        assert [finding.sentence for finding in watch_log(wrong, POLICY)] == ["own_work"]
    assert noticed(wrong)


def test_what_ends_a_job_in_another_order_is_noticed() -> None:
    log = LOGS["closed"]
    signed, closed = len(log) - 2, len(log) - 1
    assert noticed([*log[:signed], log[closed], log[signed]])
    for place in places(log, "debt_cleared"):
        assert noticed([*without(log[:closed], place), log[closed], log[place]])
    assert noticed([*log[:places(log, "flame_out")[-1]], *log[signed:]])
