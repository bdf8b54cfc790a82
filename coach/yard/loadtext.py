"""The load list in words, by stage: as plain values for a screen or sheet, and as text for a printer.

Rules kept here:
 1. What is short comes first, then the stages in the order of the job: safety, frame, film, heat, finish; a stage that
    takes nothing is left out.
 2. Words are templates with named slots; a front end translates the template, never the slots.
Knows nothing of: how the list was made (loadlist).
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, field

from coach.core.problems import fill
from coach.core.quantity import KINDS, Quantity, show
from coach.core.sizing.constants import Number
from coach.yard.loadlist import LoadList, Shortage

Shown = Callable[[Number, str], str]  # a value and its kind, as the list writes it
Write = Callable[[Quantity, str, str], str]
ALWAYS = (
    "wind meter, gas detector if the policy asks for one",
    "extinguisher 2-A:20-B:C or better",
    "tags and bright tape for the fuel vents",
    "gloves and eye protection for each person",
)
COUNTED = {
    "buckles": "buckles: %(count)s",
    "staples": "staples: %(count)s",
    "vents": "vents: %(count)s",
    "doors": "doors: %(count)s",
}
SHORT = {
    "film": "no roll for %(boat)s, %(width)s wide and %(amount)s long: order one, or move the boat to another day",
    "strap": "%(amount)s of strap too little for %(boat)s: order a coil",
    "timber": "no timber for an upright of %(amount)s for %(boat)s: buy a length",
    "tape": "%(amount)s of tape too little: order a roll",
    "propane": "%(amount)s of propane too little: fill cylinders",
    "spare": "no spare cylinder: fill one more, a cold cylinder starves before it is empty",
    "buckles": "buckles too few: %(amount)s",
    "staples": "staples too few: %(amount)s",
    "vents": "vents too few: %(amount)s",
    "doors": "doors too few: %(amount)s",
    "extinguishers": "no extinguisher: no flame without one",
}
SHORT_KIND = {"film": "length", "strap": "length", "timber": "length", "tape": "length", "propane": "mass"}
HEAT = ("heat tool with hose and regulator", "soapy water for the leak test")


@dataclass(frozen=True)
class Line:
    """One line: a template and its slots."""

    text: str
    slots: dict[str, object] = field(default_factory=dict)

    def __str__(self) -> str:
        return fill(self.text, self.slots)


@dataclass(frozen=True)
class LoadStage:
    """One stage of the job with what it takes."""

    title: str
    lines: tuple[Line, ...]


def load_stages(load: LoadList, system: str = "us", write: Write = show) -> tuple[LoadStage, ...]:
    """The list by stage.

    Args:
        load: of the day.
        system: 'us' or 'metric'.
        write: writes a quantity of a kind in a system; a front end gives its language's own way.

    Returns:
        Stages with a line or more.

    Raises:
        ValueError: an unknown system.
    """

    def shown(value: Number, kind: str) -> str:
        return write(Quantity(value, KINDS[kind]), kind, system)

    stages = (
        LoadStage("Short", tuple(_shortage(shortage, shown) for shortage in load.shortages)),
        LoadStage("Safety", tuple(Line(text) for text in ALWAYS) if load.boats else ()),
        LoadStage("Frame", (*_timber(load, shown), *_strap(load, shown), *_counted(load, "buckles", "staples"))),
        LoadStage("Film", (*_film(load, shown), *_ends(load, shown))),
        LoadStage("Heat", _heat(load, shown)),
        LoadStage("Finish", (*_counted(load, "vents", "doors"), *_tape(load, shown))),
    )
    return tuple(stage for stage in stages if stage.lines)


def load_text(load: LoadList, system: str = "us") -> str:
    """The list as text for a printer.

    Args:
        load: of the day.
        system: 'us' or 'metric'.

    Returns:
        Lines of text, each stage under its title, in English.

    Raises:
        ValueError: an unknown system.
    """
    lines = [f"Load for {', '.join(load.boats)}" if load.boats else "Nothing to load"]
    for stage in load_stages(load, system):
        lines += ["", stage.title, *(f"  [ ] {line}" for line in stage.lines)]
    return "\n".join(lines) + "\n"


def _shortage(shortage: Shortage, shown: Shown) -> Line:
    amount = shown(shortage.amount, SHORT_KIND.get(shortage.thing, "count"))
    width = shown(shortage.width, "length") if shortage.width else ""
    return Line(SHORT[shortage.thing], {"boat": shortage.boat, "amount": amount, "width": width})


def _tape(load: LoadList, shown: Shown) -> Iterable[Line]:
    for id, left in load.tape:
        yield Line("tape %(id)s: %(length)s", {"id": id, "length": shown(left, "length")})


def _film(load: LoadList, shown: Shown) -> Iterable[Line]:
    for cut in load.film:
        text = "roll %(roll)s: %(length)s for %(boat)s, %(width)s wide"
        if cut.part:
            text = "roll %(roll)s: %(length)s for %(boat)s, %(width)s wide, film %(part)s of 2"
        yield Line(
            text,
            {
                "roll": cut.roll,
                "boat": cut.boat,
                "length": shown(cut.length, "length"),
                "width": shown(cut.width, "length"),
                "part": cut.part,
            },
        )


def _ends(load: LoadList, shown: Shown) -> Iterable[Line]:
    rolls = {cut.roll for cut in load.film}
    for end in load.offcuts:
        if end.id in rolls and not end.left:
            yield Line("%(id)s is used up", {"id": end.id})
        elif end.id in rolls:
            text = "keep the end of %(id)s, %(left)s" if end.is_useful else "recycle the end of %(id)s, %(left)s"
            yield Line(text, {"id": end.id, "left": shown(end.left, "length")})
    if load.film:
        text = "film that covers no boat: %(waste)s; no cutting leaves less than %(bound)s"
        if load.is_proven:
            text = "film that covers no boat: %(waste)s, and no cutting leaves less"
        yield Line(text, {"waste": shown(load.waste, "mass"), "bound": shown(load.bound, "mass")})


def _timber(load: LoadList, shown: Shown) -> Iterable[Line]:
    for cut in load.timber:
        pieces = ", ".join(f"{shown(length, 'length')} ({boat})" for boat, length in cut.pieces)
        yield Line("timber %(id)s: cut %(pieces)s", {"id": cut.timber, "pieces": pieces})


def _strap(load: LoadList, shown: Shown) -> Iterable[Line]:
    for cut in load.strap:
        yield Line(
            "strap %(coil)s: %(length)s for %(boat)s",
            {
                "coil": cut.coil,
                "boat": cut.boat,
                "length": shown(cut.length, "length"),
            },
        )


def _heat(load: LoadList, shown: Shown) -> tuple[Line, ...]:
    if not load.cylinders:
        return ()
    lines = [Line(text) for text in HEAT]
    for cylinder in load.cylinders:
        left = shown(cylinder.left, "mass")
        lines.append(Line("cylinder %(id)s, %(left)s in it, upright and tied", {"id": cylinder.id, "left": left}))
    lines.append(Line("propane to expect: %(mass)s, a rough figure", {"mass": shown(load.propane, "mass")}))
    return tuple(lines)


def _counted(load: LoadList, *names: str) -> Iterable[Line]:
    for name in names:
        if load.counts.get(name, 0):
            yield Line(COUNTED[name], {"count": load.counts[name]})
