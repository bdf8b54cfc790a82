"""Random histories of the small job against the slow twin and the monitor.

By default a few thousand histories (about 20 s); `COACH_HISTORIES=100000 pytest tests/core/test_twin.py` runs as many
as it says. Each history is its seed: `History(seed).run()` plays a failing one again.
"""

from __future__ import annotations

import os
from collections import Counter

import pytest

from coach.core import actions as act
from coach.core.checks import may_light, sign_reasons
from coach.core.events import KINDS, Event
from coach.core.monitor import watch_log
from coach.core.session import Refusal, decide, fold, watch
from coach.core.state import State
from tests.core import twin
from tests.helpers.bench import Bench
from tests.helpers.histories import History
from tests.helpers.people import POLICY

HISTORIES = int(os.environ.get("COACH_HISTORIES", "2400"))
CHUNK = 200
WITH_TWIN = 1 if "COACH_HISTORIES" in os.environ else 4  # every nth history is held against the twin at each act
ORDER_CODES = {"G003", "G040", "G050", "G051", "G052", "G053", "G055"}  # of steps, which are no sentence of safety
SEEN: Counter[str] = Counter()


def compare(bench: Bench, action: act.Action) -> None:
    """The twin, reading the log, must take or refuse as decide does; a refusal is a value and changes nothing."""
    before, now = bench.state, bench.clock()
    answer = decide(bench.rules, before, action, now)
    assert bench.state is before and answer == decide(bench.rules, before, action, now)
    taken = not isinstance(answer, Refusal)
    assert taken == twin.takes(bench.events, action, now), (action, answer)
    assert bool(watch(bench.rules, before, now)) == twin.trip_due(bench.events, now)
    if isinstance(answer, Refusal):
        SEEN.update(reason.code for reason in answer.reasons)


def nothing_in_the_flame(bench: Bench) -> None:
    """After every act that leaves a flame lit, the monitor has nothing against the log so far."""
    if bench.state.flame:
        assert [str(finding) for finding in bench.findings()] == []


def same_standing(log: list[Event], state: State) -> None:
    """The twin's account of the job is the fold's."""
    done, excused = twin.settled_by_hand(log)
    assert (set(state.done), set(state.excused)) == (done, excused)
    assert state.status == twin.status(log)
    assert bool(state.flame) == twin.lit(log)
    assert (state.trip is not None) == twin.tripped(log)
    assert {id: debt.amount for id, debt in state.debts.items()} == twin.owed(log)
    assert {id for id, debt in state.debts.items() if debt.tag} == twin.tagged(log)
    assert (state.technician, state.hands) == (twin.technicians(log)[-1], frozenset(twin.technicians(log)))
    assert not state.faults


def forced_flame(bench: Bench) -> list[Event]:
    """The log as a faulty kernel would go on: the flame lit, whatever stands against it."""
    now, by = bench.clock(), bench.state.technician
    proofs = {id: proof.seq for id, proof in bench.state.proofs.items()}
    return [*bench.events, Event("flame_lit", now, by, {"step": "weld", "operator": by, "proofs": proofs})]


def forced_end(bench: Bench, kind: str) -> list[Event]:
    now, by = bench.clock(), bench.state.technician
    signature = {"name": by, "role": "technician", "meaning": "done", "strokes": [[[1, 1], [2, 2]]], "shown": ""}
    return [*bench.events, Event("signed", now, by, signature), Event(kind, now, by, {})]


def monitor_agrees(bench: Bench) -> None:
    """Where the kernel refuses a flame or an end for safety's sake, the monitor notices it if it comes all the same."""
    now, state, rules = bench.clock(), bench.state, bench.rules
    if state.status == "new":
        return
    codes = {reason.code for reason in may_light(rules, state, rules.steps["weld"], state.technician,
        now)} - ORDER_CODES
    noticed = bool(watch_log(forced_flame(bench), POLICY, (), rules.procedure.expiries))
    if codes - {"G010"}:
        assert noticed, codes
        SEEN["forced flames noticed"] += 1
    elif not codes:
        assert not noticed
        SEEN["forced flames in order"] += 1
    codes = {reason.code for reason in sign_reasons(rules, state, state.technician, now)} - {"G071"}
    if state.status in ("working", "stopping"):
        noticed = bool(watch_log(forced_end(bench, "closed" if state.status == "working" else "stopped_safely"),
            POLICY))
        if codes & {"G011", "G013", "G070"}:
            assert noticed, codes
            SEEN["forced ends noticed"] += 1
        elif not codes:
            assert not noticed
            SEEN["forced ends in order"] += 1


def test_so_they_do_where_something_has_a_last_good_day_and_a_cut_is_held_against_its_number() -> None:
    codes: Counter[str] = Counter()
    kinds: Counter[str] = Counter()

    def note(bench: Bench, action: act.Action) -> None:
        compare(bench, action)
        answer = decide(bench.rules, bench.state, action, bench.clock())
        codes.update(reason.code for reason in answer.reasons) if isinstance(answer, Refusal) else None

    for seed in range(240):
        history = History(seed, check=note, after=nothing_in_the_flame, dated=True)
        try:
            bench = history.run()
            monitor_agrees(bench)
            assert bench.findings() == ()
            same_standing(bench.events, bench.state)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}: {error}") from error
        kinds.update(bench.kinds())
    assert {"G035", "G036", "G088", "G099"} <= set(codes)
    assert kinds["flame_lit"] > 100 and kinds["closed"] > 20


@pytest.mark.parametrize("chunk", range(HISTORIES // CHUNK))
def test_random_histories_agree_with_the_twin_and_the_monitor(chunk: int) -> None:
    for seed in range(chunk * CHUNK, (chunk + 1) * CHUNK):
        by_twin = seed % WITH_TWIN == 0
        history = History(seed, check=compare if by_twin else None, after=nothing_in_the_flame)
        try:
            bench = history.run()
            monitor_agrees(bench)
            assert watch_log(bench.events, POLICY) == ()
            assert fold(bench.rules, bench.events) == bench.state
            same_standing(bench.events, bench.state)
        except AssertionError as error:
            raise AssertionError(f"seed {seed}: {error}") from error
        SEEN.update(bench.kinds())
        SEEN["histories"] += 1


def test_the_histories_reach_everything_that_can_happen() -> None:
    """Every kind of event but a timer's and those of attention (these rules are not attentive), and every reason of the kernel's own, on the same seeds each time."""
    kinds: Counter[str] = Counter()
    codes: Counter[str] = Counter()

    def note(bench: Bench, action: act.Action) -> None:
        answer = decide(bench.rules, bench.state, action, bench.clock())
        if isinstance(answer, Refusal):
            codes.update(reason.code for reason in answer.reasons)

    for seed in range(400):
        kinds.update(History(seed, check=note).run().kinds())
    assert set(KINDS) - set(kinds) == {"timer_started", "hurried", "answered"}
    assert kinds["flame_lit"] > 400 and kinds["tripped"] > 150
    assert kinds["closed"] > 100 and kinds["stopped_safely"] > 20
    due = {
        "G001", "G003", "G004", "G005", "G007", "G008", "G009", "G010", "G011", "G012", "G013", "G014", "G015",
        "G016", "G018",
        "G019", "G020", "G021", "G022", "G023", "G024", "G025", "G026", "G027", "G028", "G029", "G040", "G050",
        "G051", "G053",
        "G055", "G056", "G057", "G061", "G070", "G071", "G072", "G073", "G074", "G075", "G080", "G081", "G082", "G083",
        "G101", "G102", "G103", "G104", "G110", "G122", "G143", "G190",
    }
    assert due - set(codes) == set()
