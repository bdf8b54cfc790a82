"""What may be done now, and every reason why not: the one place where the kernel says no.

Rules kept here:
 1. A safeguard holds only if it is proven, its proof is fresh by both clocks, and the gate's judgement of the stated
    values has nothing against it now. Everything else blocks.
 2. Each check gives all its reasons, in the order in which a person would clear them.
 3. Nothing here changes anything.
Knows nothing of: how events are made (session).
Called by: session, view.
"""

from __future__ import annotations

from dataclasses import dataclass
from datetime import date

from coach.core.attention import question_reasons
from coach.core.gate import Facts, Safeguard, day_of
from coach.core.model import EXPIRY, Check, Step
from coach.core.moment import Moment
from coach.core.numbers import truth
from coach.core.policy import SUPERVISOR, TECHNICIAN
from coach.core.problems import Reason
from coach.core.rules import Rules
from coach.core.state import ENDS, PAUSED, STOPPING, WORKING, State

MINUTE = 60_000
PROVEN, MISSING, LAPSED, WITHDRAWN, UNMET, CLOCK = "proven", "missing", "lapsed", "withdrawn", "unmet", "clock"


@dataclass(frozen=True)
class Status:
    """How a safeguard stands. kind: one of the six above; left: ms for which the proof still holds."""

    safeguard: str
    kind: str
    reasons: tuple[Reason, ...] = ()
    left: int = 0

    @property
    def holds(self) -> bool:
        """Whether it holds now."""
        return self.kind == PROVEN


def safeguard_status(rules: Rules, state: State, id: str, now: Moment) -> Status:
    """How one safeguard stands at `now`."""
    row = rules.safeguards[id]
    proof = state.proofs.get(id)
    if proof is None:
        why = state.withdrawn.get(id)
        if why:
            return Status(id, WITHDRAWN, (_not(row, "G101", "%(name)s: no longer so (%(said)s)", said=why),))
        return Status(id, MISSING, (_not(row, "G102", "%(name)s: not shown yet at this boat"),))
    age = proof.at.age_at(now)
    if age is None or proof.at.run != now.run:
        return Status(id, CLOCK, (_not(row, "G103", "%(name)s: the clock was changed or the tablet started anew since"),))
    left = rules.minutes(id) * MINUTE - age
    if left < 0:
        return Status(
            id, LAPSED, (_not(row, "G104", "%(name)s: shown %(minutes)s minutes ago, too long", minutes=age // MINUTE),)
        )
    facts = Facts(state.fuel_vents, state.boat_place, state.technician)
    reasons = (*row.judge(proof.values, facts, rules.policy, day_of(now.wall)), *rests_on(rules, state, id, now))
    if not reasons and not proof.met:  # a corrected measure makes no proof of what was none when it was stated
        reasons = (_not(row, "G105", "%(name)s: it did not hold when it was stated"),)
    return Status(id, UNMET, reasons) if reasons else Status(id, PROVEN, (), left)


def rests_on(rules: Rules, state: State, id: str, now: Moment) -> tuple[Reason, ...]:
    """What is wrong with the measures that a safeguard rests on: a last good day not known or over, a contradiction."""
    found = [reason for measure in rules.expiries.get(id, ()) for reason in day_reasons(rules, state, measure, now)]
    for check in rules.procedure.checks:
        if id in rules.strict.get(check.id, ()) and _fails(rules, state, check):
            found.append(_disagree(rules, check))
    return tuple(found)


def day_reasons(rules: Rules, state: State, id: str, now: Moment) -> tuple[Reason, ...]:
    """A reason if the last good day of something is not known, or is over. No act but another thing mends it."""
    measure = rules.procedure.measures[id]
    last = state.measures.get(id)
    row = rules.safeguards.get(measure.safeguard)
    why = row.why if row else "the numbers and the gate rest on them"
    if not isinstance(last, str):
        return (Reason("G035", id, "its last good day is not known: %(ask)s", why, "read it, and give the day", {"ask": measure.ask}, act="measure"),)
    if last < day_of(now.wall).isoformat():
        return (Reason("G036", id, "its last good day was %(day)s: %(ask)s", why, "take it out of use and fetch another, then give its day",
                       {"ask": measure.ask, "day": date.fromisoformat(last)}, act="measure"),)
    return ()


def _fails(rules: Rules, state: State, check: Check) -> bool:
    return truth(check.holds, rules.procedure, state.measures, rules.functions) is False


def _disagree(rules: Rules, check: Check) -> Reason:
    why = "true measures of one boat agree with each other"
    if check.id in rules.strict:
        return Reason("G034", check.measures[0], check.says, why, "measure again; no reason keeps them", act="measure")
    return Reason("G030", check.measures[0], check.says, why, "measure again, or keep them and say why", act="measure")


def _not(row: Safeguard, code: str, what: str, **slots: object) -> Reason:
    return Reason(code, row.id, what, row.why, row.mend, {"name": row.name, **slots}, act="observe")


def gate_status(rules: Rules, state: State, now: Moment) -> tuple[Status, ...]:
    """How every safeguard stands, in the gate's order."""
    return tuple(safeguard_status(rules, state, id, now) for id in rules.safeguards)


def gate_reasons(rules: Rules, state: State, now: Moment) -> tuple[Reason, ...]:
    """Every reason why no flame may burn now, from the safeguards alone."""
    return tuple(reason for status in gate_status(rules, state, now) for reason in status.reasons)


def applies(rules: Rules, state: State, step: Step) -> bool | None:
    """Whether a step is asked of this boat; None while a measure it asks about is missing.

    A clearing step is asked exactly while its debt is open or it was already done, whatever its `when` says.
    """
    if step.clears:
        return step.clears in state.debts or step.id in state.done
    if step.when is None:
        return True
    return truth(step.when, rules.procedure, state.measures, rules.functions)


def settled(rules: Rules, state: State, id: str) -> bool:
    """Whether a step stands in nobody's way: done, excused, or not asked of this boat."""
    return id in state.done or id in state.excused or applies(rules, state, rules.steps[id]) is False


def unmet_needs(rules: Rules, state: State, step: Step) -> tuple[str, ...]:
    """The ids of steps that must come first: the nearest unsettled ones on every way back from this step.

    The way goes on through settled steps. So a step that is not asked of this boat never lets those behind it overtake
    those before it, and a step that a correction opens again, or asks of this boat for the first time, comes before
    all that stands behind it and is not yet done.
    """
    before = rules.before[step.id]
    left = (id for id in rules.order if id not in state.done and before >> rules.place[id] & 1)
    if all(settled(rules, state, id) for id in left):
        return ()  # the usual answer, without a walk back through all that is done
    found: list[str] = []
    seen: set[str] = set()
    waiting = list(reversed(rules.needs[step.id]))
    while waiting:
        id = waiting.pop()
        if id in seen:
            continue
        seen.add(id)
        if settled(rules, state, id):
            waiting.extend(reversed(rules.needs[id]))
        else:
            found.append(id)
    return tuple(found)


def current_steps(rules: Rules, state: State) -> tuple[Step, ...]:
    """The steps that a person may be at: not settled, with nothing before them left; in the file's order."""
    open_bits = {id: 1 << rules.place[id] for id in open_steps(rules, state)}
    all_open = sum(open_bits.values())
    return tuple(rules.steps[id] for id in open_bits if not rules.before[id] & all_open)


def open_steps(rules: Rules, state: State) -> tuple[str, ...]:
    """The ids of all steps not settled."""
    return tuple(id for id in rules.order if not settled(rules, state, id))


def missing_asks(rules: Rules, state: State, step: Step) -> tuple[str, ...]:
    """The measures this step asks for, of this boat, that are not in."""
    found = []
    for id in step.asks:
        measure = rules.procedure.measures[id]
        wanted = measure.when is None or truth(measure.when, rules.procedure, state.measures, rules.functions)
        if wanted is not False and id not in state.measures:
            found.append(id)
    return tuple(found)


def failed_checks(rules: Rules, state: State, measures: tuple[str, ...]) -> tuple[Reason, ...]:
    """The checks on these measures that do not hold, as reasons; G034 for one that no typed reason gets round."""
    return tuple(
        _disagree(rules, check) for check in rules.procedure.checks
        if set(check.measures) & set(measures) and _fails(rules, state, check)
    )


def no_excuse(rules: Rules, state: State, step: Step, now: Moment) -> tuple[Reason, ...]:
    """What stands against settling a step, done or left out, whatever reason is typed: strict checks, last good days."""
    days = (reason for id in step.asks if rules.procedure.measures[id].kind == EXPIRY and id in state.measures
            for reason in day_reasons(rules, state, id, now))
    return (*(reason for reason in failed_checks(rules, state, step.asks) if reason.code == "G034"), *days)


def clock_doubt(state: State, now: Moment) -> tuple[Reason, ...]:
    """A reason if time cannot be trusted since the last event, or the program was started anew."""
    if state.last is None:
        return ()
    if state.last.run != now.run or state.last.age_at(now) is None:
        return (
            Reason("G010", "clock", "the clock was changed, or the program was started anew",
                   "no proof can be kept over a gap in time", "resume the job: every safeguard is asked again", act="resume"),
        )
    return ()


def watch_lost(state: State, now: Moment) -> bool:
    """Whether a fire watch is owed whose beginning the clocks can no longer tell. While a flame burns none has begun."""
    if "fire_watch" not in state.debts or state.watch_from is None or state.flame:
        return False
    return state.watch_from.age_at(now) is None


def flame_gone(state: State) -> tuple[Reason, ...]:
    """A reason if a flame may burn: it is lit, or nobody has said since a trip that it is out."""
    if state.trip is not None and not state.trip.out:
        return (Reason("G011", "trip", "a safeguard was lost while the flame was lit", "the flame must be out first",
                       "put the flame out, close the tool, then say so", act="flame_out"),)
    if state.flame:
        return (Reason("G013", "flame", "the flame is lit", "hands on the tool have no other work",
                       "put the flame out first", act="flame_out"),)
    return ()


def calm(state: State) -> tuple[Reason, ...]:
    """Reasons if a flame may burn or a trip is not yet reset."""
    if state.trip is not None and state.trip.out:
        return (Reason("G012", "trip", "the trip is not reset yet", "all safeguards must be asked again",
                       "reset, then show every safeguard again", act="reset"),)
    return flame_gone(state)


def working(state: State) -> tuple[Reason, ...]:
    """A reason if the job is not being worked on."""
    if state.status == WORKING:
        return ()
    if state.status == PAUSED:
        return (Reason("G014", "job", "the job is paused", "nothing is recorded while nobody is at the boat", "resume the job", act="resume"),)
    if state.status == STOPPING:
        return (Reason("G015", "job", "the job is being stopped", "only what makes the boat safe is left to do",
                       "finish the safe stop", act="sign"),)
    if state.status in ENDS:
        return (Reason("G016", "job", "the job has ended", "its record is closed", "ask the supervisor to send it back", act=""),)
    return (Reason("G017", "job", "the job has not been started", "there is no boat yet", "start the job", act="start"),)


def holder(rules: Rules, state: State, by: str) -> tuple[Reason, ...]:
    """A reason if this person is not the technician who has the job."""
    if by == state.technician and rules.policy.has_role(by, TECHNICIAN):
        return ()
    return (Reason("G018", "person", "only the technician of this job may do this", "the record must say who did what",
                   "hand the job over first", act="hand_over"),)


def reviewer(rules: Rules, state: State, by: str) -> tuple[Reason, ...]:
    """A reason if this person may not review this job."""
    if not rules.policy.has_role(by, SUPERVISOR):
        return (Reason("G019", "person", "only a supervisor may do this", "a review needs the yard's trust",
                       "call a supervisor", act=""),)
    if by in state.hands:
        return (Reason("G020", "person", "nobody reviews their own work", "the one who did it sees what they expect",
                       "call another supervisor", act=""),)
    return ()


def steady(rules: Rules, state: State, by: str, now: Moment) -> tuple[Reason, ...]:
    """What every act of the technician needs: clock, job, person."""
    return clock_doubt(state, now) or (*working(state), *holder(rules, state, by))


def may_light(rules: Rules, state: State, step: Step, by: str, now: Moment) -> tuple[Reason, ...]:
    """Every reason why the flame may not be lit for this step now."""
    found = list(steady(rules, state, by, now)) + list(calm(state))
    found += question_reasons(rules, state)
    if not step.heat:
        found.append(Reason("G040", step.id, "this step needs no flame", "a flame is lit for heat steps only", "do it without", {}, act="do"))
    found += order_reasons(rules, state, step)
    found += asked_first(rules, state, step)
    if state.faults:
        found.append(Reason("G041", "record", "the record of this job cannot be read in full", "what cannot be read may matter",
                            "stop the job safely and call the supervisor", act="stop"))
    found += gate_reasons(rules, state, now)
    return tuple(found)


def order_reasons(rules: Rules, state: State, step: Step) -> list[Reason]:
    """Reasons from the order of work: done already, not asked of this boat, waits for a measure, or for other steps."""
    found = []
    if step.id in state.done or step.id in state.excused:
        found.append(Reason("G050", step.id, "this step is settled already", "it is done once", "go on to the next step"))
        return found
    asked = applies(rules, state, step)
    if asked is False:
        found.append(Reason("G051", step.id, "this step is not asked of this boat", "it does not apply here", "go on to the next step"))
    elif asked is None:
        missing = [id for id in sorted(rules.measures_of(step.when.names if step.when else ())) if id not in state.measures]
        if missing:
            found.append(Reason("G052", step.id, "it is not known yet whether this step applies: %(names)s", "an answer is missing",
                                "measure or answer first", {"names": ", ".join(missing)}, act="measure"))
        else:
            found.append(Reason("G033", step.id, "whether this step applies cannot be worked out from the measures",
                                "one of the measures cannot be true", "measure again what does not look right", act="measure"))
    for need in unmet_needs(rules, state, step):
        found.append(Reason("G053", need, "'%(step)s' comes first", "the order of work keeps people and boat safe",
                            "do that step first", {"step": rules.steps[need].do}, act="do"))
    return found


def may_observe(rules: Rules, state: State, id: str, by: str, now: Moment) -> tuple[Reason, ...]:
    """Reasons why nothing may be stated of a safeguard now. While a flame burns, a fresh look is welcome."""
    found = list(steady(rules, state, by, now))
    if state.trip is not None:
        found += calm(state)
    step = rules.proving.get(id)
    if step is not None and step not in state.done:
        found += [r for r in order_reasons(rules, state, rules.steps[step]) if r.code != "G050"]
    return tuple(found)


def at_step(rules: Rules, state: State, step: Step, by: str, now: Moment) -> list[Reason]:
    """Reasons why nobody may be at this step now. While stopping, what undoes an open debt is done in any order."""
    if state.status == STOPPING and step.clears in state.debts:
        return [*clock_doubt(state, now), *holder(rules, state, by), *calm(state)]
    return [*steady(rules, state, by, now), *calm(state), *order_reasons(rules, state, step)]


def may_do(rules: Rules, state: State, step: Step, by: str, now: Moment) -> tuple[Reason, ...]:
    """Reasons why a step may not be called done now, its evidence aside."""
    found = at_step(rules, state, step, by, now)
    if state.status == STOPPING and step.clears in state.debts:
        return tuple(found + debt_time(rules, state, step, now))
    if step.proves:
        found.append(Reason("G054", step.proves, "this step is shown by its safeguard", "the gate needs what was seen, not a tick",
                            "answer the safeguard's questions", act="observe"))
    found += asked_first(rules, state, step)
    found += question_reasons(rules, state)
    if step.heat and step.id not in state.heated:
        found.append(Reason("G056", step.id, "the flame was never lit for this step", "the work cannot have been done",
                            "light the flame, or excuse the step", act="light"))
    return tuple(found + debt_time(rules, state, step, now))


def may_excuse(rules: Rules, state: State, step: Step, by: str, now: Moment) -> tuple[Reason, ...]:
    """Reasons why a step may not be left out now, whatever reason is typed for it."""
    found = [*steady(rules, state, by, now), *calm(state), *order_reasons(rules, state, step), *question_reasons(rules, state)]
    if step.guarded:
        found.append(Reason("G057", step.id, "this step cannot be left out", "it is part of the safety gate, or undoes what was done for safety",
                            "do it, or stop the job safely", act="stop"))
    if missing := missing_asks(rules, state, step):
        found.append(Reason("G058", missing[0], "measures cannot be left out", "the numbers and the gate rest on them", "measure them", act="measure"))
    return (*found, *no_excuse(rules, state, step, now))


def asked_first(rules: Rules, state: State, step: Step) -> list[Reason]:
    """A reason for every measure the step asks for that is not in."""
    return [
        Reason("G055", measure, "not measured yet: %(ask)s", "the numbers rest on it", "measure it",
               {"ask": rules.procedure.measures[measure].ask}, act="measure")
        for measure in missing_asks(rules, state, step)
    ]


def debt_time(rules: Rules, state: State, step: Step, now: Moment) -> list[Reason]:
    """A reason while the fire watch after the last flame is not long enough yet."""
    if step.clears != "fire_watch" or "fire_watch" not in state.debts:
        return []
    need = rules.policy.limit("fire_watch_minutes")
    age = state.watch_from.age_at(now) if state.watch_from else None
    if age is None:
        return [Reason("G060", "fire_watch", "it is not known how long the fire watch was held", "the clock was changed",
                       "resume the job: the fire watch starts anew", act="resume")]
    if age < need * MINUTE:
        left = -(-(need * MINUTE - age) // MINUTE)
        return [Reason("G061", "fire_watch", "the fire watch has %(left)s of %(need)s minutes to go",
                       "film smoulders unseen long after the flame is out", "keep watching", {"left": left, "need": need}, act="wait")]
    return []


def sign_reasons(rules: Rules, state: State, by: str, now: Moment) -> tuple[Reason, ...]:
    """Reasons why the technician may not sign now: the whole job, or the safe stop."""
    stopping = state.status == STOPPING
    found = list(clock_doubt(state, now)) + ([] if stopping else list(working(state)))
    found += [*holder(rules, state, by), *calm(state)]
    for id, debt in state.debts.items():
        if not (stopping and debt.tag):
            row = rules.debts[id]
            found.append(Reason("G070", id, "still to be undone: %(name)s", row.why, row.undo, {"name": row.name}, act="do"))
    if not stopping:
        for id in open_steps(rules, state):
            found.append(Reason("G071", id, "not done yet: %(step)s", "the checklist is not complete", "do it, or excuse it with a reason",
                                {"step": rules.steps[id].do}, act="do"))
    return tuple(found)
