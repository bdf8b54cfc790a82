"""The pictures of one boat, from the measures that are in and the numbers that follow.

Rules kept here:
 1. What is not measured yet is drawn as a typical boat, greyed, with a question mark; never as if it were known.
 2. A picture's name in a procedure is one of PICTURES; a name that is not is shown without a picture.
Knows nothing of: the toolkit, where the drawing goes.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace
from fractions import Fraction

from coach.core.numbers import Computed, Value
from coach.core.problems import CoachError
from coach.core.quantity import Quantity
from coach.core.rules import Rules
from coach.core.sizing.air import vent_positions
from coach.core.sizing.upright import upright_positions
from coach.core.units import KINDS
from coach.formats import quantity_text
from coach.language import _
from coach.view.craft import WINDSHIELD_SHARE, Known, belly_of, craft_of, outline_of
from coach.view.drawing import Drawing, Legend
from coach.view.pictures import moves
from coach.view.pictures.craft import Craft
from coach.view.pictures.cross_section import SHOWS as SECTION_SHOWS
from coach.view.pictures.cross_section import cross_section
from coach.view.pictures.load import SHOWS as LOAD_SHOWS
from coach.view.pictures.load import load
from coach.view.pictures.plan import plan
from coach.view.pictures.side import side
from coach.view.pictures.side_asked import SHOWS as SIDE_SHOWS

PICTURES = ("cross-section", "plan", "profile", "flame-level", "bottom-up", "door", "pleat", "swing")
_MOVES = {
    "flame-level": moves.flame_level, "bottom-up": moves.bottom_up, "door": moves.u_door, "pleat": moves.pleat, "swing": moves.swing,
}
# The names that a cross-section's arguments have for measures of the procedures.
_ARGUMENT = {"edge_drop": "film_drop"}
_BOAT = ("cross-section", "plan", "profile", "side")
_SECTION_NEEDS = ("ridge_height", "edge_drop", "ridge_to_edge")
# How far along the boat the door stands, as a share of the length: typical, common practice, no source.
DOOR_SHARE = 0.72
DOOR_WIDE = 0.8  # m, typical, common practice, no source
DOOR_CLEAR = 0.25  # m between the door and a strap or the middle of a vent, where there is room; ours, no source


def boat_picture(rules: Rules, measures: Mapping[str, Value], name: str, system: str = "us", asked: str = "",
                 computed: Mapping[str, Computed] | None = None) -> Drawing | None:
    """The picture of this name for this boat, or None for a name that is no picture of ours.

    Args:
        asked: the measure that is asked for just now; where the picture can show it, it is drawn large and alone.
        computed: the numbers, if they are worked already.
    """
    if name in _MOVES:
        return _MOVES[name]()
    known = Known(rules, measures, computed)
    if name in _BOAT and "item_length" in rules.procedure.measures:
        return _load(known, system, asked)
    if name == "cross-section":
        return _missing(_section(known, rules, system, _ARGUMENT.get(asked, asked)), known, rules, "beam", *_SECTION_NEEDS)
    if name == "plan":
        return _missing(_plan(known, rules, system, asked), known, rules, "boat_length", "beam")
    if name in ("profile", "side"):
        return _missing(_side(known, rules, system, asked), known, rules, "boat_length", "ridge_height", "edge_drop")
    return None


def _load(known: Known, system: str, asked: str) -> Drawing:
    return load(
        known.metres("item_length"), known.metres("item_width"), known.metres("item_height"), straps=known.whole("over_straps") or 0,
        only=asked if asked in LOAD_SHOWS else "", show=written(system),
    )


def _missing(drawing: Drawing, known: Known, rules: Rules, *needs: str) -> Drawing:
    """The picture with a line that says what of it was not measured yet; one that shows a single measure has no such line."""
    names = {
        "boat_length": _("length"), "beam": _("beam"), "ridge_height": _("ridge height"), "edge_drop": _("film edge"),
        "ridge_to_edge": _("ridge to film edge"),
    }
    wanted = [names[id] for id in needs if id in rules.procedure.measures and known.metres(id) is None]
    if not wanted or not drawing.legend:
        return drawing
    words = _("Not measured yet: %(names)s") % {"names": ", ".join(wanted)}
    legend = (Legend(words, icon="question", keep=True), *drawing.legend)
    other = None if drawing.other is None else replace(drawing.other, legend=legend)
    return replace(drawing, legend=legend, other=other)


def typical_picture(name: str) -> Drawing | None:
    """The picture of this name for explaining a word: a 19 ft boat with everything on it and no sizes written."""
    if name in _MOVES:
        return _MOVES[name]()
    if name == "cross-section":
        return cross_section(1.22, 0.76, 0.18, 1.63, 0.15, craft=Craft(belly=True), show=_unsaid)
    if name == "plan":
        return plan(
            5.8, 2.44, uprights=(2.3, 4.0), belly=(3.2, 4.9), vents=((1.2, 0.4), (1.2, -0.4), (5.2, 0.6), (5.2, -0.6)),
            door=(door_place(5.8, (2.3, 4.0, 1.2, 5.2)), DOOR_WIDE), loops=7, show=_unsaid,
        )
    if name == "profile":
        return side(5.8, uprights=((2.3, 0.76), (4.0, 0.7)), ridge_stern=0.45, edge_drop=0.18, show=_unsaid)
    return None


def _unsaid(value: float) -> str:
    return ""


def written(system: str):  # type: ignore[no-untyped-def]
    """A function that writes metres in the reader's units."""
    return lambda value: quantity_text(Quantity(Fraction(value).limit_denominator(10_000), KINDS["length"]), "length", system)


def door_place(length: float, taken: Sequence[float]) -> float:
    """Where the door stands, m from the bow to its middle: near its usual place, clear of straps and vents.

    Where no place is clear, the one with the most room. Straps behind a door bar it: common practice, no source.

    Args:
        length: of the boat, m.
        taken: the straps over the cover and the vents, m from the bow.
    """
    side = DOOR_WIDE / 2
    places = [length * percent / 100 for percent in range(40, 100)]
    places = [x for x in places if x + side <= length] or [length * DOOR_SHARE]

    def fit(x: float) -> tuple[float, float]:
        room = min((abs(x - other) for other in taken), default=length) - side
        return min(room, DOOR_CLEAR), -abs(x - length * DOOR_SHARE)

    return max(places, key=fit)


def _section(known: Known, rules: Rules, system: str, asked: str) -> Drawing:
    half = known.metres("half_beam")
    beam = known.metres("beam")
    if half is None and beam is not None:
        half = beam / 2
    return cross_section(
        half, known.metres("ridge_height"), known.metres("edge_drop"), known.metres("ridge_to_edge"), known.metres("tuck"),
        craft=craft_of(known, rules), only=asked if asked in SECTION_SHOWS else "", show=written(system),
    )


def uprights_of(known: Known, length: float) -> tuple[float, ...]:
    """Where the uprights stand, m from the bow: as many as the job's number says."""
    glass = length * WINDSHIELD_SHARE if known.yes("windshield") else None
    try:
        places = tuple(float(x) for x in upright_positions(length, windshield=glass))
    except CoachError:
        return ()
    count = next((count for name in ("uprights", "crutches") if (count := known.whole(name)) is not None), None)
    if count is None and (posts := known.whole("posts")) is not None:
        count = posts // (known.whole("rows") or 1)
    return tuple(length * (i + 1) / (count + 1) for i in range(count)) if count is not None and count != len(places) else places


def _plan(known: Known, rules: Rules, system: str, asked: str) -> Drawing:
    length, beam = known.metres("boat_length"), known.metres("beam")
    craft = craft_of(known, rules)
    if length is not None and beam is not None and beam > length:
        beam = None  # one of the two is wrong, and a check says so
    if length is None or beam is None:
        return plan(length, beam, form=outline_of(rules), craft=craft, only=asked, show=written(system))
    count = known.whole("vents")
    vents = vent_positions(length, beam, count) if count and count >= 2 else ()
    posts = () if craft.kind == "jet" else uprights_of(known, length)
    return plan(
        length, beam, form=outline_of(rules), uprights=posts,
        belly=belly_of(known, craft, length), vents=tuple((float(x), float(y)) for x, y in vents),
        door=(door_place(length, (*posts, *(float(x) for x, _y in vents))), DOOR_WIDE) if craft.kind != "jet" else None,
        loops=known.whole("band_loops") or 0, craft=craft, only=asked, show=written(system),
    )


def _side(known: Known, rules: Rules, system: str, asked: str) -> Drawing:
    length, ridge, craft = known.metres("boat_length"), known.metres("ridge_height"), craft_of(known, rules)
    posts: tuple[tuple[float, float], ...] = ()
    if length is not None and ridge is not None and craft.kind != "jet":
        posts = tuple((x, ridge) for x in uprights_of(known, length))
    stern = known.metres("stern_rise")
    count = known.whole("vents") or 0
    vents = () if length is None else tuple(length * (2 * i + 1) / (count + count % 2) for i in range((count + 1) // 2))
    return side(
        length, uprights=posts, ridge_stern=known.metres("end_rise") if ridge is None or stern is None else max(ridge - stern, 0.05),
        edge_drop=known.metres("edge_drop"), windshield=WINDSHIELD_SHARE if known.yes("windshield") else None, ridge=ridge, craft=craft,
        belly=() if length is None else belly_of(known, craft, length),
        vents=vents,
        door=None if length is None or craft.kind == "jet" else door_place(length, (*(x for x, _high in posts), *vents)),
        only=asked if asked in SIDE_SHOWS else "", show=written(system),
    )
