"""The day's load: which boats it is for, what goes on the truck by stage, and what each roll is cut into.

Rules kept here:
 1. A boat is on the list while its film is still to be laid: measured, and no flame lit for it yet.
Knows nothing of: the toolkit, how rolls are chosen (yard.loadlist).
"""

from __future__ import annotations

from collections import Counter
from collections.abc import Iterable
from dataclasses import dataclass

from coach.core.numbers import compute
from coach.core.problems import fill
from coach.core.quantity import Quantity
from coach.core.rules import Rules
from coach.core.state import PAUSED, WORKING, State
from coach.formats import quantity_text
from coach.language import _
from coach.yard.loadlist import LoadList, Requirement, load_list, requirement_of
from coach.yard.loadtext import load_stages
from coach.yard.stock import Stock


@dataclass(frozen=True)
class LoadView:
    """What the list shows. waiting: boats that are not measured far enough. short: whether something is missing."""

    boats: tuple[str, ...]
    stages: tuple[tuple[str, tuple[str, ...]], ...]
    waiting: tuple[str, ...]
    short: bool


def requirement(rules: Rules, state: State) -> Requirement | None:
    """What this boat takes, or None if it is not measured far enough, or its film lies already."""
    if state.status not in (WORKING, PAUSED) or state.heated:
        return None
    found = compute(rules.procedure, state.measures, rules.functions)
    numbers = {id: number.value.value for id, number in found.items() if isinstance(number.value, Quantity)}
    if "film_width" not in numbers or "film_length" not in numbers:
        return None
    return requirement_of(state.boat, numbers)


def day_load(boats: Iterable[tuple[Rules, State]], stock: Stock, system: str = "us") -> LoadView:
    """The load for these open jobs from this stock."""
    needs, waiting = [], []
    for rules, state in boats:
        if state.status not in (WORKING, PAUSED) or state.heated or state.practice:
            continue
        need = requirement(rules, state)
        if need is None:
            waiting.append(state.boat)
        else:
            needs.append(need)
    return load_view(load_list(needs, stock), tuple(waiting), system)


def load_view(load: LoadList, waiting: tuple[str, ...] = (), system: str = "us") -> LoadView:
    """The list in the language in use."""
    stages = tuple(
        (_(stage.title), _counted(fill(_(line.text), line.slots) for line in stage.lines)) for stage in load_stages(load, system, quantity_text)
    )
    return LoadView(load.boats, stages, waiting, bool(load.shortages))


def _counted(lines: Iterable[str]) -> tuple[str, ...]:
    """The same line several times is one line with its count."""
    return tuple(line if count == 1 else f"{count} × {line}" for line, count in Counter(lines).items())


def load_lines(view: LoadView) -> list[str]:
    """The list for a terminal or a printer."""
    names = ", ".join(view.boats)
    lines = [_("Load for %(boats)s") % {"boats": names} if view.boats else _("Nothing to load")]
    for title, items in view.stages:
        lines += ["", title, *(f"  [ ] {item}" for item in items)]
    if view.waiting:
        lines += ["", _("Not measured far enough: %(boats)s") % {"boats": ", ".join(view.waiting)}]
    return lines
