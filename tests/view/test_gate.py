"""Who is offered where the gate asks for a person: those whom the kernel takes, and why nobody where there is none."""

from __future__ import annotations

from dataclasses import replace

import pytest

from coach.core import actions as act
from coach.core.checks import safeguard_status
from coach.core.policy import FIRE_WATCH
from coach.view.gate import FormField, proof_form
from tests.helpers.bench import Bench
from tests.helpers.people import POLICY, good
from tests.helpers.procedures import rules_for


def asked(bench: Bench, safeguard: str) -> FormField:
    """The question for the person, as it is shown now."""
    form = proof_form(bench.rules, bench.state, safeguard, bench.clock())
    return next(field for field in form.fields if field.kind == "person")


def taken(bench: Bench, safeguard: str, person: str) -> bool:
    """Whether the kernel takes this person, with all else as it should be."""
    bench.must(act.Observe(bench.by, safeguard, good(safeguard, person=person)))
    return safeguard_status(bench.rules, bench.state, safeguard, bench.clock()).holds


@pytest.mark.parametrize("by", ["ana", "joel", "sam", "ivo"])
@pytest.mark.parametrize("safeguard", ["operator", "fire_watch"])
def test_those_are_offered_whom_the_kernel_takes(by: str, safeguard: str) -> None:
    bench = Bench(by=by).start().measure()
    offered = [id for id, _name in asked(bench, safeguard).options]
    assert offered == [id for id in POLICY.people if taken(bench, safeguard, id)]
    assert bool(offered) != bool(asked(bench, safeguard).nobody)


def test_who_is_not_cleared_today_reads_why_nobody_is_offered() -> None:
    field = asked(Bench(by="sam").start(), "operator")
    assert field.options == ()
    assert [(reason.what, reason.mend) for reason in field.nobody] == [
        ("The yard does not let Sam Okafor hold the tool today.", "Let a person hold it whom the yard has cleared this season.")
    ]


def test_a_yard_without_a_second_fire_watch_reads_whom_to_ask() -> None:
    alone = {id: replace(person, roles=person.roles - {FIRE_WATCH}) for id, person in POLICY.people.items() if id != "joel"}
    field = asked(Bench(rules_for(policy=replace(POLICY, people=alone))).start(), "fire_watch")
    assert [reason.what for reason in field.nobody] == ["Nobody else of the crew is listed for this. Ask the office."]
    assert field.options == ()
