"""Marks what a step is about on a picture of the boat: that part bold with its name, the other parts quiet.

Rules kept here:
 1. What the step is about is read from the numbers that it shows, then from the words of its id. A step that says
    neither has the plain picture with its legend.
 2. Fuel vents are no vents of the cover: nothing but the cover's own number marks those.
 3. The hull stays as it is; measures and legend give way to the name.
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import replace

from coach.language import _
from coach.view.drawing import (
    STYLES,
    Arrow,
    Circle,
    Dimension,
    Drawing,
    Group,
    Leaf,
    Line,
    Part,
    Point,
    Polygon,
    Polyline,
    Sign,
    Text,
    group,
    leaves,
)

# A part by the beginning of the number's name, and by a word of the step's id.
BY_NUMBER: Mapping[str, str] = {
    "belly_band": "belly",
    "vents": "vents",
    "upright": "uprights",
    "post": "uprights",
    "crutches": "uprights",
    "cross_strap": "straps",
    "ridge_strap": "ridge",
    "ridge_each": "ridge",
    "perimeter_band": "band",
    "band_loops": "band",
    "film_": "film",
}
BY_WORD: Mapping[str, str] = {
    "door": "door",
    "loops": "band",
    "band": "band",
    "film": "film",
    "drape": "film",
    "upright": "uprights",
    "uprights": "uprights",
    "crutches": "uprights",
    "posts": "uprights",
    "ridge": "ridge",
}
# Where a part is drawn: the group, and the style within it where the group holds more.
PLACES: Mapping[str, tuple[tuple[str, str], ...]] = {
    "belly": (("belly", ""),),
    "vents": (("vents", ""),),
    "door": (("door", ""),),
    "straps": (("straps", ""),),
    "uprights": (("uprights", ""), ("frame", "timber")),
    "ridge": (("ridge", ""), ("frame", "ridge")),
    "band": (("outline", "band"), ("film", "band"), ("loops", "")),
    "film": (("film", "film"), ("film", "cover")),
}
# The same for the words of the trade; `marked_word` finds rub rail, beam, transom and tuck by itself.
BY_TRADE: Mapping[str, tuple[tuple[str, str], ...]] = {
    "ridge": PLACES["ridge"],
    "upright": PLACES["uprights"],
    "ridge-strap": PLACES["ridge"],
    "cross-strap": PLACES["straps"],
    "perimeter-band": PLACES["band"],
    "loop": (("loops", ""),),
    "belly-band": PLACES["belly"],
    "film": PLACES["film"],
    "hatch-vent": PLACES["vents"],
}
RING = 0.11  # of the half beam: the ring round the rub rail
# The pictures of the boat, by their drawings' names: a hand move is marked already.
BOAT = ("cross-section", "plan", "side")
# What stays as it is, and what gives way to the name.
KEPT, GONE = ("hull", "outline", "craft", "ground", "bow"), ("measures", "tape", "marks")


def name_of(part: str) -> str:
    """A part's name in the language in use."""
    return {
        "belly": _("belly band"),
        "vents": _("vent"),
        "door": _("door"),
        "straps": _("cross strap"),
        "uprights": _("upright"),
        "ridge": _("ridge strap"),
        "band": _("perimeter band"),
        "film": _("film"),
    }[part]


def about(step: str, numbers: Sequence[str]) -> str:
    """The part that a step is about, or ''. step: its id; numbers: the ids of the numbers that it shows."""
    for number in numbers:
        for start, part in BY_NUMBER.items():
            if number.startswith(start):
                return part
    words = step.split("-")
    if "belly" in words or "fuel" in words:
        return "belly" if "belly" in words else ""
    return next((BY_WORD[word] for word in words if word in BY_WORD), "")


def focused(drawing: Drawing, part: str) -> Drawing:
    """The picture with one part marked; as it is where it does not show that part."""
    places = PLACES.get(part, ()) if drawing.name in BOAT else ()
    return _marked(drawing, places, name_of(part)) if places else drawing


def marked_word(drawing: Drawing, word: str, name: str) -> Drawing:
    """The picture with what a word of the trade names marked; as it is where nothing in it can be.

    Args:
        drawing: a picture of a typical boat, or of a hand move, which is marked already.
        word: the word's id; name: the word in the language in use.
    """
    if drawing.name not in BOAT:
        return drawing
    if word in BY_TRADE:
        return _marked(drawing, BY_TRADE[word], name)
    own = {"rub-rail": _rails, "beam": _beam, "transom": _transom, "tuck": _tucks}.get(word)
    if own is None:
        return drawing
    parts = own(drawing)
    return _marked(drawing, (), name, parts) if parts else drawing


def _rails(drawing: Drawing) -> tuple[Leaf, ...]:
    """The rub rails of a section, each in a ring."""
    rails = [part for part in group(drawing, "hull") if isinstance(part, Polygon) and part.style == "timber"]
    middles = [(sum(x for x, _y in rail.points) / 4, sum(y for _x, y in rail.points) / 4) for rail in rails]
    return (*rails, *(Circle(middle, RING * abs(middle[0]), "asked") for middle in middles))


def _beam(drawing: Drawing) -> tuple[Leaf, ...]:
    """The width of a section from rail to rail."""
    rails = [part for part in _rails(drawing) if isinstance(part, Circle)]
    return tuple(Arrow(((0.0, each.centre[1]), each.centre), "asked") for each in rails)


def _transom(drawing: Drawing) -> tuple[Leaf, ...]:
    """The back edge of a plan's outline."""
    points = [place for part in leaves(group(drawing, "outline")) for place in _points(part)]
    stern = min((x for x, _y in points), default=0.0)
    across = [y for x, y in points if x < stern + 0.02]
    return (Line((stern, min(across)), (stern, max(across)), "asked"),) if len(across) > 1 else ()


def _tucks(drawing: Drawing) -> tuple[Leaf, ...]:
    """The folds of the film round the band, on either side of a section."""
    lines = [part for part in group(drawing, "film") if isinstance(part, Polyline)]
    return tuple(part for part in lines if len({x > 0 for x, _y in part.points}) == 1)


def _marked(drawing: Drawing, places: Sequence[tuple[str, str]], words: str, parts: Sequence[Leaf] = ()) -> Drawing:
    """The picture with the parts at these places, or these parts, bold under a name, and the rest quiet."""
    marked: list[Leaf] = list(parts)
    rest: list[Part] = []
    for top in drawing.parts:
        name = top.name if isinstance(top, Group) else ""
        own = [style for where, style in places if where == name]
        inner = list(leaves((top,)))
        mine = [each for each in inner if own and ("" in own or getattr(each, "style", "") in own)]
        others = tuple(each for each in inner if each not in mine and each not in parts)
        marked += mine
        if name not in GONE:
            rest.append(Group(name, others if name in KEPT else tuple(_quiet(each) for each in others)))
    if not marked:
        return drawing
    tag = Text(_top(marked), words, "top", "primary_ink", "note", bold=True, gap=3.0, plate="primary")
    bold = Group("focus", tuple(_bold(each) for each in marked))
    kept = tuple(entry for entry in drawing.legend if entry.keep)
    return replace(drawing, parts=(*rest, bold, Group("name", (tag,))), legend=kept, other=None)


def _top(parts: Sequence[Leaf]) -> Point:
    """The highest place of the parts, in the middle of those that are as high."""
    places = [place for part in parts for place in _points(part)]
    high = max(y for _x, y in places)
    level = [x for x, y in places if y > high - 1e-6]
    middle = sum(level) / len(level)
    alone = abs(middle) < 1e-9 and min(abs(x) for x, _y in places) > 1e-6  # a pair: the name stands over one of them
    return max(level) if alone else middle, high


def _points(part: Leaf) -> Sequence[Point]:
    if isinstance(part, Line | Dimension):
        return (part.start, part.end)
    if isinstance(part, Polyline | Polygon | Arrow):
        return part.points
    if isinstance(part, Sign | Text):
        return (part.at,)
    return ((part.centre[0], part.centre[1] + part.radius),)


def _bold(part: Leaf) -> Leaf:
    if isinstance(part, Line | Polyline | Polygon | Circle) and f"{part.style}+" in STYLES:
        return replace(part, style=f"{part.style}+")
    return part


def _quiet(part: Leaf) -> Leaf:
    if isinstance(part, Sign):
        return replace(part, role="line")
    if isinstance(part, Line | Polyline | Polygon | Circle):
        dash = STYLES[part.style].dash is not None
        return replace(part, style="quiet-dashed" if dash else "quiet")
    return part
