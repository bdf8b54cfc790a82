"""The walk in a terminal: the same kernel, plain lines, one question at a time. For a desk, a test, a tablet that broke.

Rules kept here:
 1. Nothing is decided here: every answer goes to the kernel, and its reasons are printed whole.
 2. While a flame is lit the only questions are whether it is out and whether a safeguard is lost.
Knows nothing of: Kivy, files.
"""

from __future__ import annotations

from collections.abc import Callable

from coach.core import actions as act
from coach.core.model import EXPIRY
from coach.core.problems import CoachError, QuantityError
from coach.core.session import Refusal
from coach.formats import decimal_mark
from coach.language import _, current, english_of
from coach.sheet.page import STATES
from coach.view.gate import FormField, ProofForm, asked_now, proof_form, proof_values
from coach.view.measures import MeasureField, NumberLine, fields, read_typed
from coach.view.signing import meaning_of
from coach.view.texts import ReasonText, nobody_else, problem_text, reason_text, yes_or_no
from coach.view.walk import (
    ENDED,
    HEAT,
    LIT,
    PROOF,
    QUESTION,
    RESUME,
    SIGN,
    STEP,
    STOP,
    TRIP,
    EvidenceField,
    QuestionView,
    StepView,
    WalkView,
    walk_view,
)
from coach.yard.clock import Clock
from coach.yard.job import Job

Ask = Callable[[str], str]
Say = Callable[[str], None]
Attach = Callable[[str], str]
# What the terminal itself puts into the record; in English there, translated where it is shown.
RECORDED = {"lost": "said at the terminal", "tagged": "stopped before the end"}
# A signature needs a hand; at a terminal the typed name stands for it, drawn as one plain stroke.
TYPED_STROKE = (((1000, 5000), (9000, 5000)),)


class Leave(Exception):
    """The person wants to leave the walk; the job stays as it is."""


class Walk:
    """One job walked at a terminal."""

    def __init__(
        self, job: Job, clock: Clock, ask: Ask, say: Say, system: str = "us", attach: Attach | None = None
    ) -> None:
        """attach: keeps the picture of a file and answers with its hash, or raises CoachError; None: no pictures."""
        self._attach = attach
        self.job = job
        self.now = clock
        self._ask = ask
        self._say = say
        self.system = system
        self._screens: dict[str, Callable[[WalkView], None]] = {
            TRIP: self._trip, LIT: self._lit, RESUME: self._resume, STOP: self._stop, SIGN: self._sign, PROOF: self._proof,
            HEAT: self._heat, STEP: self._step, QUESTION: self._attend,
        }

    def run(self) -> None:
        """Walk until the job has ended or the person leaves with 'quit'."""
        self._say(_("At every question you may type 'pause', 'stop' to stop the job safely, or 'quit' to leave it as it is."))
        try:
            while True:
                self.job.look(self.now())
                view = walk_view(self.job.rules, self.job.state, self.now(), self.system)
                if view.mode == ENDED:
                    self._say(_("The job has ended: %(state)s.") % {"state": _(STATES.get(view.status, view.status))})
                    return
                self._screens[view.mode](view)
        except Leave:
            self._say(_("Left. The job stays as it is; every safeguard is asked again when you resume it."))

    def _question(self, text: str) -> str:
        answer = self._ask(text + " ").strip()
        if answer == "quit":
            raise Leave
        if answer == "stop" and not self.job.state.flame:
            self._send(act.AskStop(self._by, self._ask(_("Why do you stop?") + " ")))
            return ""
        if answer == "pause":
            self._send(act.Pause(self._by, ""))
            return ""
        return answer

    @property
    def _by(self) -> str:
        return self.job.state.technician

    def _send(self, action: act.Action) -> bool:
        refusal = self.job.act(action, self.now())
        if refusal is not None:
            self._refused(refusal)
        return refusal is None

    def _refused(self, refusal: Refusal) -> None:
        self._say(_("Not yet:"))
        self._reasons(tuple(reason_text(reason, self.system) for reason in refusal.reasons))

    def _reasons(self, reasons: tuple[ReasonText, ...]) -> None:
        for reason in reasons:
            self._say(f"  - {reason.what} {reason.mend}")
            self._english(reason.english)

    def _english(self, text: str) -> None:
        """The English beside a safety text, where the language in use is not reviewed."""
        if text:
            self._say(f"    [English: {text}]")

    def _head(self, view: WalkView, step: StepView) -> None:
        done, of = sum(mark.done for mark in view.stages), sum(mark.of for mark in view.stages)
        practice = _("PRACTICE") + "  " if view.practice else ""
        self._say("")
        self._say(f"{practice}[{done}/{of}] {step.stage}")
        if view.gate is not None:
            self._say(_("safeguards: %(held)s of %(needed)s hold") % {"held": view.gate.held, "needed": view.gate.needed})
        for signal, text in step.cautions:
            self._say(f"  {_(signal)}: {text}")
            self._english(english_of(text))
        self._say(f"  {step.do}")
        self._say("  " + _("Why: %(text)s") % {"text": step.why})
        self._say("  " + _("Right: %(text)s") % {"text": step.right})
        self._say("  " + _("Goes wrong: %(text)s") % {"text": step.wrong})
        if step.reopened:
            self._say("  " + _("Opened again: %(text)s") % {"text": step.reopened})
        for number in step.numbers:
            self._number(number)

    def _number(self, number: NumberLine) -> None:
        if number.shown:
            self._say(f"  {number.title}: {number.shown}" + (f"   ({number.explanation})" if number.explanation else ""))
        else:
            self._say(f"  {number.title}: {_('waits for')} {', '.join(number.waits) or number.problem}")

    def _attend(self, view: WalkView) -> None:
        """A question of this boat; where the record is wrong, it is corrected by 'correct'."""
        due = view.question
        assert due is not None
        if due.wrong:
            self._say("  " + _("That is not what the record says.") + " " + _("Go there and look again. Then answer, or correct the record."))
        hint = _options(due.options) or _("number")
        typed = self._question(f"  {due.ask} [{hint}; correct]" if due.wrong else f"  {due.ask} [{hint}]")
        if due.wrong and typed == "correct":
            self._correct(due)
        elif typed:
            self._send(act.Answer(self._by, typed))

    def _correct(self, due: QuestionView) -> None:
        if due.act == "observe":
            self._prove(proof_form(self.job.rules, self.job.state, due.where, self.now(), self.system))
            return
        rules, state = self.job.rules, self.job.state
        for field in fields(rules.procedure, (due.where,), state.measures, state.typed, rules.functions, self.system):
            self._measure(field)

    def _step(self, view: WalkView) -> None:
        assert view.step is not None
        step = view.step
        self._head(view, step)
        while wanted := next((field for field in step.measures if field.wanted), None):
            if not self._measure(wanted):
                return
            fresh = walk_view(self.job.rules, self.job.state, self.now(), self.system)
            if fresh.step is None or fresh.step.id != view.step.id:
                return
            for old, number in zip(step.numbers, fresh.step.numbers, strict=True):
                if number.shown != old.shown:
                    self._number(number)
            step = fresh.step
        self._reasons(step.checks)
        given: dict[str, object] = {}
        for item in step.evidence:
            answer = self._evidence(step.id, item)
            if answer is None:
                return
            if answer != "":
                given[item.id] = answer
        if any(reason.code != "G030" for reason in step.checks):
            for field in step.measures:  # nothing that is typed keeps these
                self._measure(field)
            return
        if step.checks:
            why = self._question(_("The measures disagree. Enter to measure again, or say why you keep them:"))
            if not why:
                for field in step.measures:
                    self._measure(field)
                return
            given["kept"] = why
        self._send(act.Do(self._by, step.id, given, step.do))

    def _measure(self, field: MeasureField) -> bool:
        choices = _options(field.options) or {"yes_no": _("yes / no"), EXPIRY: "YYYY-MM-DD"}.get(field.kind, field.range)
        typed = self._question(_asked(field.ask, choices))
        if not typed:
            return False
        measure = self.job.rules.procedure.measures[field.id]
        try:
            _value, exact = read_typed(measure, typed, self.system)
        except QuantityError as error:
            what, _why, mend = problem_text(error.problems[0])
            self._say(f"  {what} {mend}")
            return False
        return self._send(act.Measure(self._by, field.id, typed, exact))

    def _evidence(self, step: str, item: EvidenceField) -> object | None:
        """The answer as evidence, '' for an optional one left out, None to look at the screen again."""
        if item.kind == "timer":
            self._send(act.StartTimer(self._by, step))
            self._question("  " + _("%(ask)s Enter when the time is up.") % {"ask": item.ask})
            return ""
        if item.kind == "second_person" and not item.options:
            self._say(f"  {nobody_else()}")
        words = {"tick": _("yes"), "photo": _("file of the photo; Enter for none") if item.optional else _("file of the photo")}
        hint = _options(item.options) or item.due or words.get(item.kind, "")
        typed = self._question(_asked(item.ask, hint))
        if not typed:
            return "" if item.optional else None
        if item.kind == "tick":
            return yes_or_no(typed) is True
        if item.kind == "count":
            return int(typed) if typed.isdigit() else typed
        if item.kind == "number":
            return self._number_text(item, typed)
        return self._photo(typed) if item.kind == "photo" else typed

    def _photo(self, file: str) -> str | None:
        """The hash of the picture in this file, or None after saying what is wrong with it."""
        try:
            return self._attach(file) if self._attach else None
        except CoachError as error:
            what, _why, mend = problem_text(error.problems[0])
            self._say(f"  {what} {mend}")
            return None

    def _number_text(self, item: EvidenceField, typed: str) -> str | None:
        from coach.core.quantity import as_text, parse_quantity

        try:
            return as_text(parse_quantity(typed, item.quantity, default_unit=item.unit or None, decimal=decimal_mark()))
        except QuantityError as error:
            what, _why, mend = problem_text(error.problems[0])
            self._say(f"  {what} {mend}")
            return None

    def _proof(self, view: WalkView) -> None:
        assert view.proof is not None and view.step is not None
        self._head(view, view.step)
        self._prove(view.proof)

    def _prove(self, form: ProofForm) -> bool:
        for line in form.limits:
            self._say(f"  {line}")
        self._reasons(form.reasons)
        typed: dict[str, str] = {}
        for field in form.fields:
            if asked_now(field, typed):
                typed[field.id] = self._field(field)
        values, problems = proof_values(self.job.rules, form.id, typed, self.system)
        for problem in problems.values():
            what, _why, mend = problem_text(problem)
            self._say(f"  {what} {mend}")
        if problems:
            return False
        return self._send(act.Observe(self._by, form.id, values, "\n".join(field.ask for field in form.fields)))

    def _field(self, field: FormField) -> str:
        self._reasons(field.nobody)
        hint = _options(field.options) or {"yes_no": _("yes / no"), "date": "YYYY-MM-DD"}.get(field.kind, field.unit)
        if field.optional:
            hint = _("%(answers)s; Enter for none") % {"answers": hint}
        answer = self._question(_asked(field.ask, hint))
        if field.kind == "yes_no":
            return {"y": "yes", "n": "no"}.get(answer.lower(), answer.lower())
        return answer

    def _heat(self, view: WalkView) -> None:
        assert view.step is not None and view.gate is not None
        self._head(view, view.step)
        if view.step.reasons:
            self._say(_("HEAT BLOCKED:"))
            self._reasons(view.step.reasons)
        self._names()
        answer = self._question("  " + _("'light' to light the flame, or the name of a safeguard to show it again:"))
        if answer == "light":
            self._send(act.Light(self._by, view.step.id))
        elif answer in self.job.rules.safeguards:
            self._prove(proof_form(self.job.rules, self.job.state, answer, self.now(), self.system))
        elif self.job.state.status == "working":
            self._unknown(answer)

    def _lit(self, view: WalkView) -> None:
        self._say(_("FLAME LIT. 'out' when the flame is out and the tool is closed, or the name of a safeguard that is lost."))
        self._names()
        answer = self._ask("  ").strip()
        if answer == "out":
            self._send(act.FlameOut(self._by))
        elif answer in self.job.rules.safeguards:
            self._send(act.Withdraw(self._by, answer, RECORDED["lost"]))
        else:
            self._unknown(answer)

    def _names(self) -> None:
        """The safeguards by the words that are typed for them."""
        self._say("  " + ", ".join(f"{id} ({_(row.name)})" for id, row in self.job.rules.safeguards.items()))

    def _unknown(self, answer: str) -> None:
        """Say that an answer means nothing here; an empty one only asks to see the screen again."""
        if answer:
            self._say("  " + _("'%(typed)s' means nothing here.") % {"typed": answer})

    def _trip(self, view: WalkView) -> None:
        """What the hands do stands first, then why; once the flame is out, what comes next."""
        trip = view.trip
        assert trip is not None
        next_ = (_("Mend what was lost. Then reset, and show every safeguard again. A reset does not light anything."),)
        first, *after = next_ if trip.out else trip.hands
        self._say(_("TRIP. %(first)s") % {"first": first})
        self._english(english_of(first))
        for line in after:
            self._say(f"  - {line}")
            self._english(english_of(line))
        self._say("  " + _("What was lost") + ":")
        for line in (trip.first, *trip.reasons):
            self._say(f"  - {line}")
            self._english(trip.english if line == trip.first else "")
        answer = self._ask("  " + (_("'reset'") if trip.out else _("'out' when the flame is out")) + " ").strip()
        if answer == "out":
            self._send(act.FlameOut(self._by))
        elif answer == "reset":
            self._send(act.Reset(self._by))
        elif answer == "quit":
            raise Leave

    def _resume(self, view: WalkView) -> None:
        self._say(_("The job was left at %(boat)s. Every safeguard is asked again.") % {"boat": view.boat})
        if self._ask("  " + _("'resume' or 'quit'") + " ").strip() == "resume":
            self._send(act.Resume(self._by))
        else:
            raise Leave

    def _stop(self, view: WalkView) -> None:
        self._say(_("STOPPING SAFELY. What is still open:"))
        for debt in view.debts:
            if debt.tag:
                continue
            self._say(f"  - {debt.name}: {debt.undo}")
            where = self._ask("  " + _("where does a tag hang for it, or Enter if it is undone now:") + " ").strip()
            if where == "quit":
                raise Leave
            if where:
                self._send(act.Tag(self._by, debt.id, where, RECORDED["tagged"]))
                continue
            step = self.job.rules.steps[debt.step]
            seen = walk_view(self.job.rules, self.job.state, self.now(), self.system, step.id).step
            given = {item.id: answer for item in (seen.evidence if seen else ()) if (answer := self._evidence(step.id, item)) not in (None, "")}
            self._send(act.Do(self._by, step.id, given, seen.do if seen else ""))
        if all(debt.tag for debt in walk_view(self.job.rules, self.job.state, self.now(), self.system).debts):
            self._sign(view)

    def _sign(self, view: WalkView) -> None:
        self._reasons(view.reasons if view.mode == SIGN else ())
        plain = meaning_of(self.job.rules.procedure, view.mode == STOP)
        meaning = _(plain)
        self._say(meaning)
        name = self._question("  " + _("Type your name to sign:"))
        person = self.job.rules.policy.person(self._by)
        if person is None or name != person.name:
            self._say(_("That is not the technician's name; nothing was signed."))
            return
        self._send(act.Sign(self._by, plain, TYPED_STROKE, meaning))


def _asked(question: str, hint: str) -> str:
    """A question with what may be typed, where there is something to say of it."""
    return f"  {question} [{hint}]" if hint else f"  {question}"


def _options(pairs: tuple[tuple[str, str], ...]) -> str:
    """The answers there are: what is typed, and in another language than English what it means."""
    return " / ".join(id if current() == "en" else f"{id} ({label})" for id, label in pairs)
