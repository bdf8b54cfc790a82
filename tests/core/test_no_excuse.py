"""What no reason typed gets round: safety items past their day, contradictions in what the gate judges by.

The shipped tool check and the small job are used; each case was a hole once: it was taken, and is refused now.
"""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.core import actions as act
from coach.core.checks import safeguard_status
from coach.core.events import Event
from coach.core.formula import parse_formula
from coach.core.model import Check
from coach.core.monitor import watch_log
from coach.core.rules import Rules
from coach.core.sizing.registry import FUNCTIONS
from coach.reader.load import load_procedure
from tests.helpers.bench import Bench
from tests.helpers.people import POLICY, TODAY, good
from tests.helpers.procedures import HERE, covering, rules_for, step
from tests.helpers.procedures import MEASURES as SMALL

YESTERDAY, SPRING = "2026-11-08", "2027-03-01"
HOSE = "Until which day is the hose good?"
PAST = f"its last good day was {YESTERDAY}: {HOSE} - take it out of use and fetch another, then give its day"


def tool_check() -> Bench:
    """The shipped tool check at the hose, its day not yet given."""
    bench = Bench(Rules(load_procedure("daily-tool-check"), POLICY, FUNCTIONS, proven=True)).start()
    bench.must(act.Do("ana", "look-at-tool", {"tool": "good"}))
    return bench.do("try-trigger")


def dated(hose: str = SPRING) -> Bench:
    """The small job whose leak test rests on the hose's day."""
    return Bench(rules_for(covering(dated=True))).start().measure().measure(hose=hose)


def test_a_hose_past_its_day_is_kept_by_no_reason_and_left_out_for_none() -> None:
    bench = tool_check().measure(hose_until=YESTERDAY)
    assert bench.texts(act.Do("ana", "bend-hose", {"hose": "good", "kept": "it looks like new"})) == [PAST]
    assert bench.texts(act.Excuse("ana", "bend-hose", "the shop is closed today")) == [PAST]
    bench.measure(hose_until=TODAY)  # the last good day itself is good
    bench.must(act.Do("ana", "bend-hose", {"hose": "good"}))


@pytest.mark.parametrize(
    ("measure", "step"),
    [("regulator_until", "look-at-regulator"), ("cylinder_until", "stand-cylinder"), ("extinguisher_until", "read-service")],
)
def test_no_other_safety_item_past_its_day_is_passed(measure: str, step: str) -> None:
    bench = Bench(Rules(load_procedure("daily-tool-check"), POLICY, FUNCTIONS, proven=True)).start()
    bench.measure(**{measure: YESTERDAY})
    assert "G036" in bench.codes(act.Do("ana", step, {"tick": True, "kept": "nobody will know"}))
    assert "G036" in bench.codes(act.Excuse("ana", step, "nobody will know"))


def test_a_cylinder_past_its_test_is_not_connected() -> None:
    bench = Bench(Rules(load_procedure("cylinder-change"), POLICY, FUNCTIONS, proven=True)).start()
    bench.measure(cylinder_until=YESTERDAY)
    assert "G036" in bench.codes(act.Do("ana", "look-at-new", {"state": "good", "kept": "it is full"}))
    assert "G036" in bench.codes(act.Excuse("ana", "look-at-new", "it is full"))


@pytest.mark.parametrize(("hose", "code"), [("", "G035"), (YESTERDAY, "G036")])
def test_no_flame_while_the_day_is_over_or_not_known(hose: str, code: str) -> None:
    bench = Bench(rules_for(covering(dated=True))).start().measure()
    if hose:
        bench.measure(hose=hose)
    for id in bench.rules.safeguards:
        bench.must(act.Observe("ana", id, good(id)))
    status = safeguard_status(bench.rules, bench.state, "leak_test", bench.clock())
    assert (status.kind, [reason.code for reason in status.reasons]) == ("unmet", [code])
    assert code in bench.codes(act.Light("ana", "weld"))


def test_the_day_ends_in_the_flame() -> None:
    bench = dated(TODAY).do("look")
    bench.must(act.Do("ana", "cut", {"cut": "5.5 m"}))
    bench.do("prop")
    bench.clock.pass_minutes(15 * 60 + 50)  # ten minutes to midnight
    bench.prove().lit()
    bench.wait(9)
    assert bench.state.flame == "weld"
    bench.wait(2)
    assert bench.state.trip is not None and bench.state.trip.first["code"] == "G036"
    assert bench.findings() == ()


def test_a_day_corrected_to_the_past_opens_its_step_and_takes_the_proof() -> None:
    bench = dated().do("look")
    bench.must(act.Observe("ana", "leak_test", good("leak_test")))
    made = bench.must(act.Measure("ana", "hose", YESTERDAY, YESTERDAY))
    assert [(event.kind, event.data.get("step")) for event in made] == [("measured", None), ("step_reopened", "look")]
    assert not safeguard_status(bench.rules, bench.state, "leak_test", bench.clock()).holds


@pytest.mark.parametrize("text", ["9 Nov 2026", "2026-13-01", "2026-W46-1", "20261109", "", "yes"])
def test_a_day_is_an_iso_day(text: str) -> None:
    bench = Bench(rules_for(covering(dated=True))).start()
    assert bench.codes(act.Measure("ana", "hose", text, text)) == ["G008"]


def test_the_monitor_sees_a_flame_that_was_lit_after_the_day() -> None:
    bench = dated()
    for id in bench.rules.safeguards:
        bench.must(act.Observe("ana", id, good(id)))
    proofs = {id: proof.seq for id, proof in bench.state.proofs.items()}
    lit = Event("flame_lit", bench.clock(), "ana", {"step": "weld", "operator": "ana", "proofs": proofs})
    expiries = bench.rules.procedure.expiries
    assert watch_log([*bench.events, lit], POLICY, (), expiries) == ()
    late = Event("measured", bench.clock(), "ana", {"measure": "hose", "typed": YESTERDAY, "value": YESTERDAY})
    assert [found.sentence for found in watch_log([*bench.events, late, lit], POLICY, (), expiries)] == ["proven"]


VENTS_AND_BEAM = Check("narrow", parse_formula("fuel_vents == 0 or beam > 2 m"), "They disagree.", ("beam", "fuel_vents"), HERE)


def checked(check: Check) -> Bench:
    return Bench(rules_for(replace(covering(), checks=(check,)))).start().measure(
        fuel_vents="2", place="outdoors", beam="2 m", door="no"
    )


def test_a_contradiction_in_what_the_gate_judges_by_is_kept_by_no_reason() -> None:
    bench = checked(VENTS_AND_BEAM)
    said = "They disagree. - measure again; no reason keeps them"
    assert bench.texts(act.Do("ana", "look", {"tick": True, "kept": "an odd boat"})) == [said]
    assert bench.texts(act.Excuse("ana", "look", "an odd boat"))[-1] == said
    bench.must(act.Observe("ana", "vents_taped", good("vents_taped")))
    assert not safeguard_status(bench.rules, bench.state, "vents_taped", bench.clock()).holds
    bench.measure(beam="2.5 m").do("look")


def test_a_check_on_a_number_that_rests_on_the_vents_is_strict_too() -> None:
    base = covering()
    number = replace(base.numbers["spare"], id="tape", formula=parse_formula("fuel_vents * 1 m"))
    check = Check("tape", parse_formula("tape < beam"), "Too much tape.", ("beam",), HERE)
    rules = rules_for(replace(base, numbers={**base.numbers, "tape": number}, checks=(check,)))
    assert rules.strict == {"tape": frozenset({"vents_taped"})}


def test_an_author_can_make_a_check_strict_and_others_are_kept_with_a_reason() -> None:
    loose = Check("wide", parse_formula("beam > 2 m"), "Too narrow.", ("beam",), HERE)
    bench = checked(loose)
    bench.must(act.Do("ana", "look", {"tick": True, "kept": "a canoe"}))
    bench = checked(replace(loose, strict=True))
    assert bench.codes(act.Do("ana", "look", {"tick": True, "kept": "a canoe"})) == ["G034"]


def test_where_nothing_is_lit_and_no_vent_is_shown_a_check_on_vents_is_as_any_other() -> None:
    cold = replace(covering(), stages=(replace(covering().stages[0], steps=(step("look", asks=tuple(SMALL)),)),), checks=(VENTS_AND_BEAM,))
    assert rules_for(cold).strict == {}
