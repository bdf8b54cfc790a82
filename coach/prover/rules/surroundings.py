"""What the program around a procedure has: the pictures it can draw, and translations.

Knows nothing of: where they come from (the command line fills this in).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator, Mapping
from dataclasses import dataclass, field

from coach.core.model import Caution, Procedure, Step
from coach.core.problems import Place


@dataclass(frozen=True)
class Surroundings:
    """pictures: the names that can be drawn, empty if not known; translations: language -> what translates a text."""

    pictures: frozenset[str] = frozenset()
    translations: Mapping[str, Callable[[str], str]] = field(default_factory=dict)


def step_texts(step: Step) -> Iterator[str]:
    """Every text of a step that a person reads, its cautions last."""
    yield from (step.do, step.why, step.right, step.wrong)
    for item in step.evidence:
        yield item.ask
        yield from (option.label for option in item.options)
    yield from (caution.text for caution in step.cautions)


def texts(procedure: Procedure) -> Iterator[tuple[str, Place]]:
    """Every text of a procedure that a person reads, with the place of what it belongs to."""
    for text in (procedure.title, procedure.purpose, *_cautions(procedure.cautions)):
        yield text, procedure.place
    for measure in procedure.measures.values():
        for text in (measure.ask, measure.how, *(option.label for option in measure.options)):
            yield text, measure.place
    for number in procedure.numbers.values():
        for text in (number.title, number.why):
            yield text, number.place
    for check in procedure.checks:
        yield check.says, check.place
    for row in procedure.safeguards:
        yield from ((text, row.place) for text in (row.name, row.ask, row.why, row.mend))
    for debt in procedure.debts:
        yield from ((text, debt.place) for text in (debt.name, debt.why, debt.undo))
    for stage in procedure.stages:
        yield stage.title, stage.place
        for step in stage.steps:
            yield from ((text, step.place) for text in step_texts(step))


def _cautions(cautions: tuple[Caution, ...]) -> Iterator[str]:
    return (caution.text for caution in cautions)
