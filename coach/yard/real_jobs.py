"""What a real job, accepted by a supervisor, shows of the skills of those who did it.

Rules kept here:
 1. Only a job that was accepted counts, and only real ones: practice counts through its drills.
 2. A skill goes to the person whose act shows it, so a job that was handed over counts for both hands.
Knows nothing of: files, the ledger (it is given events), what a skill is needed for.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence

from coach.core.events import Event
from coach.core.gate import day_of
from coach.yard.skills import GATE, JOB, REVIEWING, WATCHING, Shown, skill_of_stage


def shown_by_job(events: Sequence[Event], stages: Mapping[str, str]) -> tuple[Shown, ...]:
    """The skills that an accepted real job shows; none of any other job.

    Args:
        events: of the whole job.
        stages: the stage of each step, by step.
    """
    if not events or events[0].data.get("practice") is not False:
        return ()
    accepted = next((event for event in reversed(events) if event.kind == "accepted"), None)
    if accepted is None:
        return ()
    job, day = str(events[0].data.get("job", "")), day_of(accepted.at.wall)
    found = {(accepted.by, REVIEWING)}
    for event in events:
        if event.kind == "observed" and event.data.get("met") is True:
            found.add((event.by, GATE))
        if event.kind == "step_done":
            skill = skill_of_stage(stages.get(event.data.get("step", ""), ""))
            watcher = event.data.get("evidence", {}).get("watcher")
            if skill == WATCHING and isinstance(watcher, str):
                found.add((watcher, WATCHING))
            elif skill and skill != WATCHING:
                found.add((event.by, skill))
    return tuple(Shown(person, skill, JOB, day, True, job) for person, skill in sorted(found))
