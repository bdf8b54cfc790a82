"""The invented people of every drill, and the yard's policy as it holds in practice.

Rules kept here:
 1. In practice anybody may try: the trainee is a technician (or supervisor) who may hold the tool that day. This
    policy is used for practice rules only and never reaches a real job.
 2. The yard's limits stay as they are; nothing is easier in practice.
Knows nothing of: drills, stores.
"""

from __future__ import annotations

from dataclasses import replace

from coach.core.policy import FIRE_WATCH, SUPERVISOR, TECHNICIAN, Person, Policy

HAND, WATCH, LEAD = "practice-hand", "practice-watch", "practice-lead"
_FOR_EVER = "9999-12-31"
CREW = (
    Person(HAND, "Rosa Lind (practice)", frozenset({TECHNICIAN}), _FOR_EVER),
    Person(WATCH, "Emil Park (practice)", frozenset({FIRE_WATCH})),
    Person(LEAD, "Dora Fenn (practice)", frozenset({SUPERVISOR})),
)


def practice_policy(policy: Policy, trainee: str, role: str, name: str = "") -> Policy:
    """The policy of a drill: the yard's limits, the invented crew, and the trainee in the drill's role.

    Args:
        policy: the yard's.
        trainee: their id; somebody who is not in the crew list may practise too.
        role: technician or supervisor.
        name: of a trainee who is not in the crew list.
    """
    known = policy.person(trainee)
    shown = known.name if known else name or trainee
    until = _FOR_EVER if role == TECHNICIAN else ""
    people = {person.id: person for person in CREW}
    people[trainee] = Person(trainee, shown, frozenset({role}), until)
    return replace(policy, people=people)
