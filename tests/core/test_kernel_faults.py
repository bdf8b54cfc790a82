"""Faults made in the kernel by hand: each is caught by the monitor, by the twin, or by a named example.

A fault is one change of the source. The kernel is loaded again with it, beside an unchanged monitor and twin, and
random histories are played until somebody objects; what no history reaches soon is shown by an example of the other
tests.
"""

from __future__ import annotations

import importlib
import importlib.util
import sys
from collections.abc import Iterator
from contextlib import contextmanager
from dataclasses import dataclass
from types import ModuleType
from typing import Any

import pytest

MONITOR, TWIN = "monitor", "twin"
MOST = 700  # histories until a fault must have shown itself


@dataclass(frozen=True)
class Fault:
    """One change of the kernel's source, and who must catch it: monitor, twin, or an example 'file:function'."""

    name: str
    module: str
    old: str
    new: str
    catcher: str = MONITOR


FAULTS = (
    Fault("a proof never grows old", "checks", "if left < 0:", "if False:"),
    Fault("a proof of another run counts", "checks", "if age is None or proof.at.run != now.run:", "if age is None:"),
    Fault("age by the wall clock only", "checks", "age = proof.at.age_at(now)\n    if age is None",
        "age = max(0, now.wall - proof.at.wall)\n    if age is None"),
    Fault("clocks that disagree are believed", "moment", "if abs(wall - steady) > SLACK_MS + steady // SLACK_SHARE:",
        "if False:"),
    Fault("an equal gust is accepted", "gate", "if value >= top:", "if value > top:"),
    Fault("gas at the limit is accepted", "gate", "reading >= limit", "reading > limit"),
    Fault("an old inspection is accepted", "gate", "if days > limit:", "if False:"),
    Fault("the operator watches the fire too", "gate", "if person == facts.holder:", "if False:"),
    Fault("too few taped vents are accepted", "gate", "if taped != facts.fuel_vents:", "if False:"),
    Fault("a statement that failed counts after a correction", "checks", "if not reasons and not proof.met:",
        "if False:"),
    Fault("handing over keeps the proofs", "state", "changed(state, proofs={}, watch_from=watch, timers=timers)",
        "changed(state, watch_from=watch, timers=timers)"),
    Fault("a withdrawal keeps the proof", "state", "proofs=without(state.proofs, id), withdrawn=",
        "proofs=state.proofs, withdrawn="),
    Fault("tape off keeps the proof", "state", "proofs=without(state.proofs, drops))", "proofs=state.proofs)"),
    Fault("nothing trips", "session_flame", "if not state.flame or state.trip is not None:", "if True:"),
    Fault("a withdrawal does not trip", "session_flame", "return (event, *watch(rules, evolve(rules, state, event), now))",
        "return (event,)"),
    Fault("a bad reading does not trip", "session_flame", "return (*made, *watch(rules, fold(rules, made, state), now))",
        "return tuple(made)"),
    Fault("a lapse is read over", "session",
        "if state.flame and type(action) not in _DURING_FLAME and (due := watch(rules, state, now)):", "if False:"),
    Fault("a reset before the flame is out", "session_flame",
        "return (*clock_doubt(state, now), *flame_gone(state), *holder(rules, state, by))",
        "return (*clock_doubt(state, now), *holder(rules, state, by))"),
    Fault("a trip needs no reset", "checks", "if state.trip is not None and state.trip.out:", "if False:"),
    Fault("tape comes off uncounted", "evidence", "if isinstance(removed, bool) or removed != debt.amount:",
        "if False:"),
    Fault("the fire watch ends at once", "checks", "if age < need * MINUTE:", "if False:"),
    Fault("a flame opens no debt", "session_flame", "for debt in OPENED_BY_FLAME]", "for debt in ()]"),
    Fault("a debt does not hold the signature back", "checks", "if not (stopping and debt.tag):", "if False:"),
    Fault("an open cylinder goes on a tag", "session_end", "elif not rules.debts[debt].taggable:", "elif False:"),
    Fault("a tag covers the next stop too", "state", 'replace(debt, tag="") for id, debt', "debt for id, debt",
          "test_session_end:test_a_tag_of_one_stop_does_not_cover_the_next"),
    Fault("a policy loosens a floor", "floors",
        'return min(value, rule.floor) if rule.sense == "most" else max(value, rule.floor)', "return value",
          "test_floors:test_a_loose_policy_made_by_hand_is_still_bounded"),
    Fault("a correction opens nothing", "session", "if (id in state.done or id in state.excused)", "if False",
        "test_session_order:test_a_correction_opens_every_step_that_relied_on_the_old_value"),
    Fault("a correction that breaks a check opens nothing", "session",
        "broken = failed_checks(rules, state, (measure,))", "broken = ()",
        "test_session_order:test_a_correction_that_breaks_a_check_opens_the_step_that_asked"),
    Fault("the first cause of a trip is forgotten", "session_flame", "if due := watch(rules, state, now):  #",
        "if due := ():  #",
          "test_session_flame:test_what_time_took_is_noted_before_what_a_person_does"),
    Fault("a refused flame hides a clock in doubt", "session",
        'due = any(reason.code == "G001" for reason in refusal.reasons)', "due = False",
          "test_session_flame:test_a_refused_flame_does_not_hide_a_clock_in_doubt"),
    Fault("a flame before its measures are in", "checks",
        "    found += asked_first(rules, state, step)\n    if state.faults:", "    if state.faults:",
          "test_session_flame:test_a_flame_waits_for_the_measures_its_step_asks_for"),
    Fault("an unreadable record lights", "checks", "    if state.faults:", "    if False:",
          "test_session_flame:test_a_record_that_cannot_be_read_lights_no_flame"),
    Fault("no way on after a night", "session", "reasons = (*(() if state.status in (PAUSED, STOPPING)",
        "reasons = (*clock_doubt(state, now), *(() if state.status in (PAUSED, STOPPING)",
          "test_session_end:test_a_job_left_overnight_is_taken_on_by_another"),
    Fault("accepted with a tag hanging", "session_end", '    for id in state.debts:\n        reasons += (Reason("G074"',
        '    for id in ():\n        reasons += (Reason("G074"'),
    Fault("accepted with a step unseen", "session_end", "if set(action.excused) != set(state.excused):", "if False:"),
    Fault("own work is reviewed", "checks", "if by in state.hands:", "if False:"),
    Fault("anybody lights", "checks", "if by == state.technician and rules.policy.has_role(by, TECHNICIAN):",
        "if True:"),
    Fault("a safeguard is left out", "checks", "for status in gate_status(rules, state, now) for reason",
        "for status in gate_status(rules, state, now)[:-1] for reason"),
    Fault("opening a debt does not arm what clears it", "state", "done=without(state.done, clearing),",
        "done=state.done,", TWIN),
    Fault("a debt forces nothing", "checks", "return step.clears in state.debts or step.id in state.done",
        "return False", TWIN),
    Fault("a flame out of turn", "checks", "    found += order_reasons(rules, state, step)\n    found += asked_first",
        "    found += asked_first", TWIN),
    Fault("only the technician puts the flame out", "session_flame", "    if not state.flame and not waiting:",
        "    if action.by != state.technician or (not state.flame and not waiting):", TWIN),
    Fault("a clearing step is left out", "checks", "    if step.guarded:", "    if False:", TWIN),
    Fault("what the fire watch confirms is left out", "model", "bool(self.proves or self.clears) or confirmed",
        "bool(self.proves or self.clears)", "test_session_order:test_what_the_fire_watch_must_confirm_is_never_left_out"),
    Fault("a pause over an unreset trip", "session",
        '*calm(state))\n    return Refusal(reasons) if reasons else (Event("paused"',
        ')\n    return Refusal(reasons) if reasons else (Event("paused"', TWIN),
    Fault("a typed reason keeps a hose past its day", "session", "    reasons += no_excuse(rules, state, step, now)\n    if not str(",
        "    if not str(", "test_no_excuse:test_a_hose_past_its_day_is_kept_by_no_reason_and_left_out_for_none"),
    Fault("a hose past its day is left out", "checks", "    return (*found, *no_excuse(rules, state, step, now))",
        "    return tuple(found)", "test_no_excuse:test_a_hose_past_its_day_is_kept_by_no_reason_and_left_out_for_none"),
    Fault("what the gate judges by is kept with a reason", "rules", "if check.strict or guarded:", "if check.strict:",
        "test_no_excuse:test_a_contradiction_in_what_the_gate_judges_by_is_kept_by_no_reason"),
    Fault("an expired hose does not open its step", "session", "rules.procedure.measures[measure].kind == EXPIRY and", "False and",
        "test_no_excuse:test_a_day_corrected_to_the_past_opens_its_step_and_takes_the_proof"),
    Fault("anybody ends the fire watch", "evidence", 'FIRE_WATCH if step.clears == FIRE_WATCH else ""', '""',
        "test_held_against:test_a_trainee_does_not_end_the_fire_watch"),
    Fault("a correction keeps the count", "rules", "*(item.against for item in step.evidence if item.against)", "",
        "test_held_against:test_a_corrected_measure_opens_the_step_and_the_old_count_does_no_longer"),
    Fault("what is not known is met by anything", "evidence", "    if wanted is None:\n        return [_reason", "    if wanted is None:\n        return [] and [_reason",
        "test_held_against:test_nothing_agrees_while_the_measure_is_not_in"),
    Fault("three posts for ten", "evidence", "(low is None or value >= low or", "(True or",
        "test_held_against:test_three_posts_do_not_pass_for_ten"),
    Fault("who ended the watch is not noted", "session", "    if step.clears == FIRE_WATCH and seconds:", "    if False:",
        "test_held_against:test_the_monitor_reads_who_ended_the_watch"),
)

# The first seed at which a random history shows each fault, so that it is tried first; a later change of the histories
# only makes the search longer.
FIRST: dict[str, int] = {
    "a proof of another run counts": 148,
    "age by the wall clock only": 104,
    "clocks that disagree are believed": 42,
    "an equal gust is accepted": 34,
    "gas at the limit is accepted": 52,
    "an old inspection is accepted": 177,
    "the operator watches the fire too": 9,
    "too few taped vents are accepted": 8,
    "a statement that failed counts after a correction": 8,
    "handing over keeps the proofs": 32,
    "a withdrawal keeps the proof": 24,
    "tape off keeps the proof": 338,
    "a withdrawal does not trip": 52,
    "a lapse is read over": 474,
    "a reset before the flame is out": 289,
    "a trip needs no reset": 69,
    "tape comes off uncounted": 1,
    "the fire watch ends at once": 3,
    "a debt does not hold the signature back": 1,
    "an open cylinder goes on a tag": 3,
    "accepted with a tag hanging": 20,
    "accepted with a step unseen": 238,
    "own work is reviewed": 66,
    "anybody lights": 4,
    "a flame out of turn": 8,
    "only the technician puts the flame out": 12,
    "a clearing step is left out": 4,
    "a pause over an unreset trip": 53,
}


def source_with(fault: Fault) -> tuple[str, str]:
    """The path and the changed source of a fault's module; the change must fit exactly one place."""
    spec = importlib.util.find_spec(f"coach.core.{fault.module}")
    assert spec is not None and spec.origin is not None
    with open(spec.origin, encoding="utf-8") as file:
        source = file.read()
    assert source.count(fault.old) == 1, f"{fault.name}: the place to change is there {source.count(fault.old)} times"
    return spec.origin, source.replace(fault.old, fault.new)


@contextmanager
def kernel_with(fault: Fault | None) -> Iterator[ModuleType]:
    """The module test_twin, loaded anew on a kernel with this fault, or on the kernel as it is."""
    kept = {name: module for name, module in sys.modules.items() if name.split(".")[0] in ("coach", "tests")}
    changed = source_with(fault) if fault else None
    for name in kept:
        del sys.modules[name]
    try:
        if fault and changed:
            name = f"coach.core.{fault.module}"
            importlib.import_module("coach.core")
            spec = importlib.util.spec_from_file_location(name, changed[0])
            assert spec is not None
            module = importlib.util.module_from_spec(spec)
            sys.modules[name] = module
            exec(compile(changed[1], changed[0], "exec"),
                module.__dict__)  # noqa: S102 - our own source, changed on purpose
        yield importlib.import_module("tests.core.test_twin")
    finally:
        for name in [name for name in sys.modules if name.split(".")[0] in ("coach", "tests")]:
            del sys.modules[name]
        sys.modules.update(kept)


def objection(loaded: Any, catcher: str, seed: int) -> str:
    """What the catcher has against one history; '' if nothing."""
    try:
        if ":" in catcher:
            file, function = catcher.split(":")
            getattr(importlib.import_module(f"tests.core.{file}"), function)()
            return ""
        if catcher == MONITOR:
            bench = loaded.History(seed, after=loaded.nothing_in_the_flame).run()
            return "; ".join(str(finding) for finding in loaded.watch_log(bench.events, loaded.POLICY))
        bench = loaded.History(seed, check=loaded.compare).run()
        loaded.same_standing(bench.events, bench.state)
    except AssertionError as error:
        return str(error) or "disagrees"
    return ""


@pytest.mark.parametrize("fault", FAULTS, ids=lambda fault: fault.name)
def test_a_fault_of_the_kernel_is_caught(fault: Fault) -> None:
    with kernel_with(fault) as loaded:
        seeds = [FIRST.get(fault.name, 0), *range(0 if ":" in fault.catcher else MOST)]
        assert any(objection(loaded, fault.catcher, seed) for seed in seeds), "nobody objected"


def test_nobody_objects_to_the_kernel_as_it_is() -> None:
    with kernel_with(None) as loaded:
        assert [objection(loaded, MONITOR, seed) for seed in range(40)] == [""] * 40
        assert [objection(loaded, TWIN, seed) for seed in range(10)] == [""] * 10
