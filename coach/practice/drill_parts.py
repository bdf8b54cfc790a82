"""Reads what happens in a drill and what may be done: looks, deeds, events, and what good work does.

Rules kept here:
 1. Whatever is named must exist: a step, a measure, a safeguard, a look, an event that comes before.
 2. Good work gives its reason from the procedure's or the gate's own text: `about` names a step, safeguard or debt.
Knows nothing of: how a run goes.
"""

from __future__ import annotations

from coach.practice.drill import BAND, Deed, Good, Happening, Look, When
from coach.practice.drill_values import Names, read_answers, read_truth
from coach.reader.faults import Faults, clip
from coach.reader.fields import Fields, unknown_word
from coach.reader.nodes import Node, Scalar
from coach.reader.scalars import read_quantity
from coach.yard.skills import SKILLS

LOOK_KEYS = ("look", "ask", "finds", "takes", "tells", "after")
DEED_KEYS = ("act", "do", "takes", "sets", "answers", "after", "mends", "says", "clears_tag", "band")
EVENT_KEYS = ("event", "when", "later", "sees", "concerns", "sets", "answers", "wind", "gust")
GOOD_KEYS = ("good", "does", "after", "within", "about", "says", "skill", "must")
MOST_SECONDS = 24 * 3600

# What good work may do -> what its target is.
DOES: dict[str, str] = {
    "flame out": "",
    "withdraw": "safeguard",
    "look": "look",
    "act": "act",
    "measure": "measure",
    "answer": "answer",
    "stop": "",
    "close": "",
    "clear": "debt",
    "tag": "debt",
    "send back": "step",
    "accept": "",
    "film": "",
    "clear tag": "debt",
}
_WHEN = {"start": "", "lit": "step", "out": "step", "done": "step", "event": "event"}


def seconds(fields: Fields, key: str, otherwise: int) -> int:
    """A duration in whole seconds, `otherwise` if it is not there."""
    if not fields.has(key):
        return otherwise
    quantity = read_quantity(fields.faults, fields.scalar(key, due="a duration such as 2 min"), "duration")
    if quantity is None:
        return otherwise
    if not 0 <= quantity.value <= MOST_SECONDS:
        fields.faults.add(
            "D303",
            "'%(key)s' is longer than a day, or negative",
            "a drill is over within a day",
            "write a time up to 24 h",
            fields.place_of(key),
            key=key,
        )
        return otherwise
    return int(quantity.value)


def _speed(fields: Fields, key: str) -> float | None:
    if not fields.has(key):
        return None
    quantity = read_quantity(fields.faults, fields.scalar(key, due="a speed such as 12 mph"), "speed")
    return float(quantity.value) if quantity is not None else None


def length(fields: Fields, key: str) -> float | None:
    """A length in metres, None if it is not there."""
    if not fields.has(key):
        return None
    quantity = read_quantity(fields.faults, fields.scalar(key, due="a length such as 8 in"), "length")
    return float(quantity.value) if quantity is not None else None


def _named(faults: Faults, scalar: Scalar | None, about: str, known: tuple[str, ...]) -> str:
    """The text of a scalar that must be one of the known words; '' if it is missing; an unknown one is noted."""
    if scalar is None:
        return ""
    if scalar.text not in known:
        unknown_word(faults, scalar, about, known)
    return scalar.text


def _after(fields: Fields, names: Names) -> str:
    return _named(fields.faults, fields.scalar("after", due="an event"), "'after'", tuple(names.events))


def read_look(faults: Faults, node: Node, names: Names) -> Look:
    """One look."""
    fields = Fields(node, faults, "a look", LOOK_KEYS)
    id = fields.id("look", required=True)
    tells = []
    for item in fields.list("tells", "facts"):
        if isinstance(item, Scalar) and _is_fact(item.text, names):
            tells.append(item.text)
        elif isinstance(item, Scalar):
            faults.add(
                "D304",
                "'%(fact)s' is no fact",
                "after the look nothing would be known",
                "write a safeguard, 'measure NAME' or 'answer STEP.ITEM'",
                item.place,
                fact=clip(item.text),
            )
        else:
            fields.wrong("tells", item, "a list of facts")
    return Look(
        id.text if id else "",
        fields.text("ask", required=True),
        fields.text("finds", required=True),
        seconds(fields, "takes", 60),
        tuple(tells),
        fields.place,
        _after(fields, names),
    )


def _is_fact(text: str, names: Names) -> bool:
    kind, _space, rest = text.partition(" ")
    if text == BAND:
        return True
    if kind == "measure":
        return rest in names.procedure.measures
    if kind == "answer":
        step, _dot, item = rest.partition(".")
        return item in names.items(step)
    safeguard, _dot, field = text.partition(".")
    row = names.safeguards.get(safeguard)
    return row is not None and (not field or field in [each.id for each in row.fields])


def read_deed(faults: Faults, node: Node, names: Names) -> Deed:
    """One deed in the world."""
    fields = Fields(node, faults, "an act", DEED_KEYS)
    id = fields.id("act", required=True)
    mends = _named(faults, fields.scalar("mends", due="a safeguard"), "'mends'", tuple(names.safeguards))
    clears = _named(faults, fields.scalar("clears_tag", due="a debt"), "'clears_tag'", names.debts)
    return Deed(
        id.text if id else "",
        fields.text("do", required=True),
        seconds(fields, "takes", 60),
        fields.place,
        read_truth(fields, "sets", names),
        read_answers(fields, "answers", names),
        _after(fields, names),
        mends,
        fields.text("says"),
        clears,
        length(fields, "band"),
    )


def read_event(faults: Faults, node: Node, names: Names) -> Happening:
    """One event of the time line. Events before it in the file may be named in `when`."""
    fields = Fields(node, faults, "an event", EVENT_KEYS)
    id = fields.id("event", required=True)
    concerns = _named(faults, fields.scalar("concerns", due="a safeguard"), "'concerns'", tuple(names.safeguards))
    event = Happening(
        id.text if id else "",
        _when(fields, names),
        seconds(fields, "later", 0),
        fields.place,
        fields.text("sees"),
        concerns,
        read_truth(fields, "sets", names),
        read_answers(fields, "answers", names),
        _speed(fields, "wind"),
        _speed(fields, "gust"),
    )
    if id is not None:
        if id.text in names.events:
            faults.add(
                "D305",
                "the event '%(id)s' stands here for the second time",
                "good work could mean either",
                "choose another id",
                id.place,
                id=clip(id.text),
            )
        names.events.append(id.text)
    return event


def _when(fields: Fields, names: Names) -> When:
    scalar = fields.scalar("when", required=True, due="a moment such as 'lit weld-hem'")
    if scalar is None:
        return When()
    kind, _space, about = scalar.text.partition(" ")
    wants = _WHEN.get(kind)
    known = {"step": names.steps, "event": tuple(names.events)}.get(wants or "", ())
    if wants is None or (about if not wants else about not in known):
        fields.faults.add(
            "D306",
            "'%(found)s' is no moment of this drill",
            "the event would never come",
            "write 'start', 'lit STEP', 'out STEP', 'done STEP' or 'event ID' of an event before this one",
            scalar.place,
            found=clip(scalar.text),
        )
        return When()
    return When(kind, about)


def read_good(faults: Faults, node: Node, names: Names) -> Good:
    """One thing that good work does."""
    fields = Fields(node, faults, "good work", GOOD_KEYS)
    id = fields.id("good", required=True)
    does, target = _does(fields, names)
    about = _named(
        faults,
        fields.scalar("about", required=True, due="a step, safeguard or debt"),
        "'about'",
        (*names.steps, *names.safeguards, *names.debts),
    )
    must = fields.flag("must") if fields.has("must") else True
    return Good(
        id.text if id else "",
        fields.text("says", required=True),
        does,
        target,
        about,
        fields.word("skill", SKILLS, required=True),
        fields.place,
        _after(fields, names),
        seconds(fields, "within", 0),
        must,
    )


def _does(fields: Fields, names: Names) -> tuple[str, str]:
    scalar = fields.scalar("does", required=True, due="what good work does")
    if scalar is None:
        return "", ""
    verb = max(
        (each for each in DOES if scalar.text == each or scalar.text.startswith(each + " ")), key=len, default=""
    )
    target = scalar.text[len(verb) :].strip() if verb else ""
    wants = DOES.get(verb, "")
    known: dict[str, tuple[str, ...]] = {
        "safeguard": tuple(names.safeguards),
        "look": tuple(names.looks),
        "act": tuple(names.deeds),
        "debt": names.debts,
        "measure": tuple(names.procedure.measures),
        "step": names.steps,
    }
    if wants == "answer":
        step, _dot, item = target.partition(".")
        fits = item in names.items(step)
    elif wants == "look":
        fits = target in known["look"] or _is_fact(target, names)
    else:
        fits = target in known[wants] if wants else not target
    if not verb or not fits:
        fields.faults.add(
            "D307",
            "'%(found)s' is nothing that can be done well here",
            "nobody could ever meet it",
            "write one of: %(known)s, each with what it is done to",
            scalar.place,
            found=clip(scalar.text),
            known=", ".join(DOES),
        )
    return verb, target
