"""Tells what happened on the way to a fault, in plain sentences.

Rules kept here:
 1. One sentence a line, one act each, in the words of the procedure: what a step asks to do, what a measure asks.
 2. The last line says what is wrong.
Knows nothing of: how the way was found.
"""

from __future__ import annotations

from collections.abc import Iterator

from coach.core.model import EXPIRY, Procedure
from coach.core.problems import QuantityError
from coach.core.quantity import from_text, show
from coach.core.rules import Rules
from coach.prover.explore import Fault
from coach.prover.reduce import Slice
from coach.prover.watchers import CORRECTION, DEAD_END, DEBTS, HEAT, MEASURED, ORDER, REACH, STOP

_PLAIN = {
    "start": "The technician starts the job.",
    "show all": "Every safeguard is shown.",
    "out": "The flame is put out.",
    "look": "The clock is looked at.",
    "reset": "The trip is reset.",
    "pause": "The job is paused.",
    "resume": "The job is resumed.",
    "hand over": "The job is handed to another technician.",
    "clock back": "The tablet's clock is set back by an hour.",
    "program anew": "The program is started anew.",
    "device anew": "The tablet is started anew.",
    "stop": "A safe stop is asked for.",
    "sign": "The technician signs.",
    "accept": "The supervisor accepts the job.",
    "send back": "The supervisor sends the job back.",
}


class Teller:
    """Tells the ways of one slice in the words of the whole procedure."""

    def __init__(self, procedure: Procedure, rules: Rules, slice: Slice) -> None:
        self.procedure = procedure
        self.rules = rules
        self.slice = slice

    def tell(self, way: tuple[tuple[str, ...], ...], fault: Fault) -> Iterator[str]:
        """The way and the fault, sentence by sentence."""
        for said in way:
            yield from self.sentences(said)
        yield self.last(fault)

    def sentences(self, said: tuple[str, ...]) -> Iterator[str]:
        """What was said at one move."""
        word = said[0] if said else ""
        if word in _PLAIN:
            yield _PLAIN[word]
        elif word == "boat":
            for id, text in zip(said[1::2], said[2::2], strict=True):
                yield f"{self.ask(id)} - {self.answer(id, text)}."
        elif word in ("answer", "correct"):
            corrected = "Corrected: " if word == "correct" else ""
            yield f"{corrected}{self.ask(said[1])} - {self.answer(said[1], said[2])}."
        elif word:
            yield self._about(word, said)

    def _about(self, word: str, said: tuple[str, ...]) -> str:
        about = said[1]
        forms = {
            "do": f"{self.step(about)} is done.", "excuse": f"{self.step(about)} is left out.",
            "timer": f"The timer of {self.step(about)} is started.", "light": f"The flame is lit for {self.step(about)}.",
            "show": f"{self.safeguard(about)} is shown.", "withdraw": f"{self.safeguard(about)} is said to be lost.",
            "time": f"More than {about} minutes pass.", "tag": f"{self.debt(about)} is left on a tag.",
            "clear tag": f"The supervisor clears the tag of {self.debt(about)}.",
        }
        if word == "see":
            return f"{self.safeguard(about)} is looked at: {said[2]}."
        return f"{forms[word]} The count is wrong." if said[-1] == "miscounted" else forms[word]

    def last(self, fault: Fault) -> str:
        """What is wrong at the end of the way."""
        about = fault.about
        sentences = {
            (HEAT, "lit"): f"The flame can be lit, though {self.safeguard(about)} does not hold.",
            (HEAT, "burns on"): f"The flame burns on, though {self.safeguard(about)} is lost.",
            (DEAD_END, "closed undone"): f"The job is closed, though {self.step(about)} is not done.",
            (DEBTS, "owed"): f"The job ends, though this is still owed: {self.debt(about)}.",
            (MEASURED, "not measured"): f"{self.step(about)} is due now, and this is not measured: {self.ask(fault.detail)}.",
            (CORRECTION, "kept"): f"{self.step(about)} still counts as done.",
            (HEAT, "settled"): f"{self.step(about)} counts as done, though nothing was shown.",
            (HEAT, "left out"): f"{self.step(about)} is left out.",
            (DEBTS, "left out"): f"{self.step(about)} is left out.",
            (HEAT, "in doubt"): "The work goes on without the job being resumed.",
            (ORDER, "before"): f"{self.step(about)} is done before {self.step(fault.said[0] if fault.said else '')}.",
            (REACH, "never"): f"On no boat is {self.step(about)} asked for.",
        }
        if fault.property == MEASURED and fault.code != "not measured":
            waits = f" without: {self.ask(fault.detail)}" if fault.detail else ""
            return f"{self.step(about)} is next, but whether it applies cannot be told{waits}."
        if fault.property == STOP:
            return f"Now the job cannot be stopped safely: {fault.detail or 'it is refused'}."
        if fault.property == DEAD_END and (fault.property, fault.code) not in sentences:
            return f"From here nothing leads to a closed job: {fault.detail or 'no act helps'}."
        return sentences.get((fault.property, fault.code), "This must not be.")

    def step(self, id: str) -> str:
        """A step by what it asks to do."""
        real = self.slice.names.get(id, id)
        step = self.rules.steps.get(real)
        return f"'{step.do.rstrip('.')}' ({real})" if step is not None and step.do else f"'{real}'"

    def safeguard(self, id: str) -> str:
        """A safeguard by its name."""
        row = self.rules.safeguards.get(id)
        return f"'{row.name}'" if row is not None else f"'{id}'"

    def debt(self, id: str) -> str:
        """A debt by its name."""
        row = self.rules.debts.get(id)
        return f"'{row.name}'" if row is not None else f"'{id}'"

    def ask(self, id: str) -> str:
        """A measure by its question."""
        measure = self.procedure.measures.get(id)
        return measure.ask if measure is not None and measure.ask else f"'{id}'"

    def answer(self, id: str, text: str) -> str:
        """An answer as people read it."""
        measure = self.procedure.measures.get(id)
        if measure is None or measure.kind in ("yes_no", EXPIRY):
            return text
        if measure.kind == "choice":
            return next((option.label for option in measure.options if option.id == text), text)
        try:
            return show(from_text(text), measure.kind)
        except (QuantityError, ValueError):
            return text
