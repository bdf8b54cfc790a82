"""A slice: a small procedure cut out of the whole one, with the rules, answers and safeguards that one property needs.

Rules kept here:
 1. A slice runs through the same Rules, decide and evolve as the whole procedure; only its tables are smaller.
 2. Leaving out a step, a need, a `when` or a safeguard's row takes a restriction away and adds none. So whatever may
    be done in the whole procedure may be done in the slice, and what is never reached in the slice is never reached.
    (The other way round, for 'can be reached', the argument stands where such a slice is made.)
 3. Texts and places are taken out (an id stands where a text was) and steps are numbered anew, so that slices of the
    same form are equal and are explored once; `names` leads back from a slice's step to the procedure's.
Knows nothing of: properties.
"""

from __future__ import annotations

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass, field, replace

from coach.core.floors import LIMITS
from coach.core.formula import Formula, Function
from coach.core.model import Evidence, Measure, Procedure, Stage, Step
from coach.core.policy import Policy
from coach.core.problems import Place
from coach.core.rules import Rules
from coach.prover.answers import Answers

NOWHERE = Place("")


@dataclass(frozen=True)
class Slice:
    """One small procedure to explore. free: measures that may be stated at any time; the others only where asked.
    outlasting: milliseconds that outlast every proof, timer and watch of the slice, by one. times_watch: whether the
    beginning of a fire watch is read in the slice: by the step that ends it, or by resuming a job."""

    rules: Rules
    names: Mapping[str, str]
    answers: Mapping[str, tuple[str, ...]]
    safeguards: tuple[str, ...]
    key: tuple[object, ...]
    outlasting: int
    free: frozenset[str] = frozenset()
    closure: Mapping[str, frozenset[str]] = field(default_factory=dict)
    times_watch: bool = True

    def lasting(self, safeguard: str) -> int:
        """How long a proof of this safeguard holds, in ms."""
        return self.rules.minutes(safeguard) * 60_000


def bare(step: Step, **kept: object) -> Step:
    """The step with nothing but its id, and what is given."""
    return replace(_BARE, id=step.id, **kept)  # type: ignore[arg-type]


_BARE = Step("", "slice", "", "", "", "", NOWHERE)


def tick_only(step: Step, **kept: object) -> Step:
    """The step with its links but without its evidence and condition, so that nothing of its own holds it up."""
    return bare(step, heat=step.heat, proves=step.proves, opens=step.opens, clears=step.clears, **kept)


def whole(step: Step, **changed: object) -> Step:
    """The step with everything that the kernel reads, without its texts."""
    cleaned = replace(
        step, stage="slice", do="", why="", right="", wrong="", place=NOWHERE, no_flame="", cautions=(), picture="",
        evidence=tuple(_cleaned(item) for item in step.evidence), hold=False, least_seconds=0,
    )
    return replace(cleaned, **changed) if changed else cleaned  # type: ignore[arg-type]


def _cleaned(item: Evidence) -> Evidence:
    return replace(item, ask=item.id, place=NOWHERE)


def cut(
    procedure: Procedure, policy: Policy, functions: Mapping[str, Function], steps: Iterable[Step], found: Answers,
    safeguards: Iterable[str] = (), free: Iterable[str] | None = None, resumes: bool = False,
) -> Slice:
    """A slice of these steps. Needs that lead out of it are dropped: what they name counts as settled.

    Args:
        found: the answers to use; they name the slice's measures.
        safeguards: the rows of the gate that the slice has.
        free: the measures that may be stated at any time (all of them if not given).
        resumes: whether the job is resumed in the slice.
    """
    chosen = tuple(steps)
    numbered = {step.id: f"s{index}" for index, step in enumerate(chosen)}
    made = tuple(
        replace(step, id=numbered[step.id], do=numbered[step.id], needs=tuple(numbered[need] for need in step.needs if need in numbered))
        for step in chosen
    )
    measures = {id: _plain(procedure.measures[id]) for id in found.values}
    numbers = {id: replace(procedure.numbers[id], title="", why="", place=NOWHERE) for id in _numbers(procedure, made, measures)}
    kept = tuple(safeguards)
    small = Procedure(
        procedure.id, 0, "", "", (Stage("slice", "", made, NOWHERE),), measures, numbers, NOWHERE,
        safeguards=tuple(row for row in procedure.safeguards if row.id in kept),
        debts=procedure.debts, hash="slice",
    )
    rules = Rules(small, policy, functions, proven=True)
    rules.safeguards = {id: rules.safeguards[id] for id in kept}
    own = tuple((row.id, row.minutes) for row in small.safeguards)
    key = (made, tuple(measures.items()), tuple(numbers.items()), tuple(found.values.items()), kept, own, tuple(free or ("*",)), resumes,
           tuple(row.id for row in procedure.debts), *policy_key(policy))
    times = resumes or any(step.clears == "fire_watch" for step in made)
    back = {new: old for old, new in numbered.items()}
    return Slice(rules, back, found.values, kept, key, _outlasting(rules), frozenset(measures if free is None else free), _closures(small), times)


def _outlasting(rules: Rules) -> int:
    minutes = [rules.minutes(id) for id in rules.safeguards]
    for step in rules.steps.values():
        minutes += [rules.policy.limit(i.limit) if i.limit else i.minutes for i in step.evidence if i.kind == "timer"]
        if step.clears == "fire_watch":
            minutes.append(rules.policy.limit("fire_watch_minutes"))
    return max(minutes, default=1) * 60_000 + 1


def policy_key(policy: Policy) -> tuple[object, ...]:
    """All that a slice's kernel reads of the policy; the crew is always the same."""
    limits = tuple(policy.limit(id) for id in LIMITS)
    return (limits, policy.detector_required, policy.indoor_permit, policy.indoor_ventilation)


def _plain(measure: Measure) -> Measure:
    return replace(measure, ask=measure.id, how="", picture="", place=NOWHERE, options=tuple(replace(o, label="") for o in measure.options))


def _numbers(procedure: Procedure, steps: Iterable[Step], measures: Mapping[str, Measure]) -> tuple[str, ...]:
    """The numbers that the steps and measures of a slice read, through any chain, in the order of the file."""
    waiting = [*(name for step in steps for name in names_read(step))]
    waiting += [name for measure in measures.values() if measure.when is not None for name in measure.when.names]
    seen: set[str] = set()
    while waiting:
        name = waiting.pop()
        if name in procedure.numbers and name not in seen:
            seen.add(name)
            waiting.extend(procedure.numbers[name].formula.names)
    return tuple(id for id in procedure.numbers if id in seen)


_NUMBERED = re.compile(r"'(s\d+)'")


def named(slice: Slice, text: str) -> str:
    """A text of the kernel about a slice, with the procedure's own step ids in place of the slice's."""
    return _NUMBERED.sub(lambda match: f"'{slice.names.get(match[1], match[1])}'", text)


def names_read(step: Step) -> tuple[str, ...]:
    """Every measure and number that a step names: in its condition, on its screen, in its evidence."""
    condition: tuple[str, ...] = tuple(sorted(step.when.names)) if step.when is not None else ()
    return (*condition, *step.uses, *step.shows, *(item.against for item in step.evidence if item.against))


def measures_behind(procedure: Procedure, names: Iterable[str]) -> frozenset[str]:
    """The measures that these names rest on; read off the formulas anew, not asked of the kernel's Rules."""
    found: set[str] = set()
    waiting, seen = list(names), set()
    while waiting:
        name = waiting.pop()
        if name in procedure.measures:
            found.add(name)
        elif name in procedure.numbers and name not in seen:
            seen.add(name)
            waiting.extend(procedure.numbers[name].formula.names)
    return frozenset(found)


def asked_conditions(procedure: Procedure, step: Step) -> tuple[Formula, ...]:
    """The conditions under which the measures that a step asks are asked at all."""
    measures = (procedure.measures[id] for id in step.asks)
    return tuple(measure.when for measure in measures if measure.when is not None)


def _closures(procedure: Procedure) -> dict[str, frozenset[str]]:
    """For each step the measures whose correction must open it again."""
    closures = {}
    for step in procedure.steps:
        names = [*names_read(step), *(name for when in asked_conditions(procedure, step) for name in when.names)]
        closures[step.id] = measures_behind(procedure, names)
    return closures
