"""From a fault of the exploration to a finding for people: what is wrong, why it matters, how to mend it, the story.

Rules kept here:
 1. One finding a property, code, step and thing it is about; of several faults the shortest story is told.
 2. A story names steps by what they ask to do and safeguards by their names, never by numbers of a slice.
Knows nothing of: how faults are found.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coach.core.model import Procedure
from coach.core.problems import Place, Problem
from coach.core.rules import Rules
from coach.prover.explore import Fault, way_to
from coach.prover.reduce import Slice
from coach.prover.story import Teller
from coach.prover.watchers import CORRECTION, DEAD_END, DEBTS, HEAT, MEASURED, ORDER, REACH, STOP


@dataclass(frozen=True)
class Finding:
    """One thing that is not safe. property: one of watchers' nine; story: what happens, one plain sentence a line."""

    property: str
    about: str
    problem: Problem
    story: tuple[str, ...] = ()


# property, code -> number of the problem, what, why, mend. Slots: step (or what it is about), other, detail.
_TEXTS: dict[tuple[str, str], tuple[str, str, str, str]] = {
    (HEAT, "lit"): ("V201", "a flame can be lit while %(safeguard)s does not hold", "a flame that nothing guards burns people and boats", "the kernel is at fault: tell those who keep it"),
    (HEAT, "lit wrongly"): ("V202", "a flame is lit by something else than lighting it in a calm job", "nobody would expect it", "the kernel is at fault: tell those who keep it"),
    (HEAT, "burns on"): ("V203", "the flame burns on after %(safeguard)s is lost", "a flame that nothing guards burns people and boats", "the kernel is at fault: tell those who keep it"),
    (HEAT, "held"): ("V204", "%(safeguard)s still counts as shown after it was lost", "the next flame would be lit on it", "the kernel is at fault: tell those who keep it"),
    (HEAT, "settled"): ("V205", "'%(step)s' counts as done though its safeguard was not shown", "the next step would be offered too early", "the kernel is at fault: tell those who keep it"),
    (HEAT, "left out"): ("V206", "'%(step)s' can be left out", "a step of the gate is never left out", "the kernel is at fault: tell those who keep it"),
    (HEAT, "in doubt"): ("V207", "work goes on though the clock was changed or the program started anew", "no proof can be kept over a gap in time", "the kernel is at fault: tell those who keep it"),
    (HEAT, "started unproven"): ("V209", "a job can be started for real without a proof of its procedure", "an unproven procedure may let a flame burn unguarded", "the kernel is at fault: tell those who keep it"),
    (ORDER, "before"): ("V208", "'%(step)s' can be done before '%(other)s'", "the order of work keeps people and boat safe", "the kernel is at fault: tell those who keep it"),
    (DEBTS, "left out"): ("V213", "'%(step)s' can be left out", "what was done for safety would stay undone", "the kernel is at fault: tell those who keep it"),
    (DEBTS, "owed"): ("V211", "the job can end as %(detail)s while it is still owed: %(debt)s", "what was done for safety would stay undone", "the kernel is at fault: tell those who keep it"),
    (DEBTS, "not in full"): ("V212", "'%(step)s' counts as undone though it is not: %(detail)s", "what was done for safety would stay undone", "the kernel is at fault: tell those who keep it"),
    (DEAD_END, "stuck"): ("V221", "'%(step)s' can never be done: %(detail)s", "the job could only be stopped, never closed", "ask for evidence and answers that can be given on every boat"),
    (DEAD_END, "never again"): ("V229", "'%(step)s' can never be lit again once %(safeguard)s is lost: %(detail)s", "the job could only be stopped, never closed", "the kernel is at fault: tell those who keep it"),
    (DEAD_END, "stuck debt"): ("V222", "once it is owed, it can never be undone: %(debt)s: %(detail)s", "the job could only be stopped, never closed", "let the step that undoes it ask only for what can be given on every boat"),
    (DEAD_END, "circle"): ("V223", "steps wait for each other: %(others)s", "none of them could ever be begun, and the job could never be closed", "take one of the needs out, or put the steps in another order: the whole gate comes before every heat step"),
    (DEAD_END, "spoilt"): ("V224", "'%(step)s' can never be lit on some boats: '%(other)s' comes before it and undoes what %(safeguard)s needs", "showing the safeguard again makes the debt again, and the job goes round for ever", "put '%(other)s' after the last flame"),
    (DEAD_END, "again"): ("V225", "undoing makes owed again, for ever: %(others)s", "the job could never be closed", "let a step that undoes a debt open no other"),
    (DEAD_END, "closed undone"): ("V226", "the job can be closed with '%(step)s' not done", "the record would say that it is complete", "the kernel is at fault: tell those who keep it"),
    (DEAD_END, "offer"): ("V227", "'%(step)s' is offered otherwise than it is decided", "a person would be told one thing and answered another", "the kernel is at fault: tell those who keep it"),
    (DEAD_END, "walk"): ("V228", "a whole job cannot be walked to its end: %(detail)s", "the job could only be stopped, never closed", "look at the steps named"),
    (REACH, "never"): ("V231", "'%(step)s' is asked of no boat", "a step that nobody can reach helps nobody, or hides a slip in its condition", "correct its 'when', or take the step out"),
    (MEASURED, "condition waits"): ("V241", "whether '%(step)s' applies is asked before '%(detail)s' is measured", "nobody could tell whether the step is due", "ask for it in an earlier step that every such boat comes to"),
    (MEASURED, "question waits"): ("V242", "whether '%(step)s' asks a question depends on '%(detail)s', which is not measured yet", "nobody could tell what to ask", "ask for it in an earlier step that every such boat comes to"),
    (MEASURED, "not measured"): ("V243", "'%(step)s' uses '%(detail)s' before it is measured", "its numbers cannot be worked out", "ask for it in an earlier step that every such boat comes to"),
    (MEASURED, "condition fails"): ("V244", "whether '%(step)s' applies cannot be worked out for some answers", "nobody could tell whether the step is due", "correct the formula, or the range of the measures"),
    (STOP, "refused"): ("V251", "putting the flame out, telling a loss or stopping is refused", "the way to safety must always be open", "the kernel is at fault: tell those who keep it"),
    (STOP, "unreadable"): ("V252", "the kernel makes an event that it cannot read: %(detail)s", "the record could not be trusted", "the kernel is at fault: tell those who keep it"),
    (STOP, "flame at the end"): ("V253", "the job can end with a flame lit or a trip open", "nobody would put it out", "the kernel is at fault: tell those who keep it"),
    (STOP, "outside"): ("V259", "work is taken down in a job that has not begun, or has ended", "its record would say what nobody may have done", "the kernel is at fault: tell those who keep it"),
    (STOP, "breaks"): ("V258", "the kernel gives no answer to an act: %(detail)s", "nobody could go on, or put the flame out", "the kernel is at fault: tell those who keep it"),
    (STOP, "cannot stop"): ("V254", "the job cannot be stopped: %(detail)s", "the way to safety must always be open", "the kernel is at fault: tell those who keep it"),
    (STOP, "cannot undo"): ("V255", "while stopping, it cannot be undone: %(debt)s: %(detail)s", "a job that is stopped must leave a safe boat", "let the step that undoes it ask only for what can be given at any time"),
    (STOP, "cannot tag"): ("V256", "while stopping, it cannot be left on a tag: %(debt)s: %(detail)s", "a job that is stopped must leave a safe boat", "the kernel is at fault: tell those who keep it"),
    (STOP, "cannot sign"): ("V257", "a safe stop cannot be signed: %(detail)s", "a job that is stopped must leave a safe boat", "let what is owed be undone or tagged"),
    (CORRECTION, "kept"): ("V261", "'%(step)s' stays done after '%(detail)s' is corrected", "the work would rest on an old number", "the kernel is at fault: tell those who keep it"),
}


def findings(procedure: Procedure, rules: Rules, faults: Iterable[tuple[Fault, Slice]]) -> list[Finding]:
    """The findings of all faults, in the order of their properties' first appearance, each once."""
    best: dict[tuple[str, str, str, str], Finding] = {}
    for fault, slice in faults:
        teller = Teller(procedure, rules, slice)
        slots = _slots(fault, slice, teller)
        code, what, why, mend = _TEXTS[fault.property, fault.code]
        detail = fault.detail if fault.property in (MEASURED, CORRECTION) else ""
        mark = (fault.property, fault.code, str(slots["step"]), detail)
        story = tuple(teller.tell(way_to(fault.node), fault))
        about = slice.names.get(fault.about, fault.about)
        problem = Problem(code, what, why, mend, _place(procedure, rules, about), slots)
        known = best.get(mark)
        if known is None or len(story) < len(known.story):
            best[mark] = Finding(fault.property, about, problem, story)
    return list(best.values())


def _slots(fault: Fault, slice: Slice, teller: Teller) -> dict[str, object]:
    about = slice.names.get(fault.about, fault.about)
    others = [slice.names.get(word, word) for word in fault.said]
    row = next((word for word in others if word in teller.rules.safeguards), about)
    return {
        "step": about, "detail": fault.detail or "its answers do not allow it", "others": ", ".join(f"'{word}'" for word in others),
        "other": others[0] if others else "", "safeguard": teller.safeguard(row), "debt": teller.debt(about),
    }


def _place(procedure: Procedure, rules: Rules, about: str) -> Place:
    if about in rules.steps:
        return rules.steps[about].place
    for table in (rules.proving, rules.clearing):
        if about in table:
            return rules.steps[table[about]].place
    measure = procedure.measures.get(about)
    return measure.place if measure is not None else procedure.place
