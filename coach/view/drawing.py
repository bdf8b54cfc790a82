"""A drawing as a list of things to draw, in metres, with names of styles: no colours, no toolkit, no paper.

Rules kept here:
 1. Places are metres, x to the right, y upwards. Texts, arrowheads, line widths and signs have sizes on paper, so that
    they are as large on a small boat as on a large one.
 2. A part names its style; what the style looks like is the table STYLES, in roles of the palette.
 3. What has not been measured is drawn in style 'unknown' and its dimension shows '?'.
Knows nothing of: Kivy, SVG, language (texts come in translated).
Called by: coach.view.pictures; laid out by coach.view.paper; drawn by coach.tablet.canvas and coach.sheet.svg.
"""

from __future__ import annotations

from collections.abc import Iterator, Mapping
from dataclasses import dataclass, replace
from typing import Literal

Point = tuple[float, float]
Side = Literal["left", "right", "top", "bottom", "middle"]
Size = Literal["note", "body", "lead"]


@dataclass(frozen=True)
class Style:
    """Roles of the palette for line and fill, the line's width and dashes in millimetres of paper."""

    line: str = ""
    width: float = 0.5
    fill: str = ""
    opacity: float = 1.0
    dash: tuple[float, float] | None = None


_PLAIN: Mapping[str, Style] = {
    "hull": Style("ink", 0.5, "hull"),
    "part": Style("soft", 0.4),
    "post": Style("ink", 0.6),
    "grip": Style("ink", 1.6),
    "ink-thin": Style("ink", 0.3),
    "glass": Style("soft", 0.5, "film", 0.18),
    "engine": Style("ink", 0.4, "line"),
    "timber": Style("ink", 0.35, "timber"),
    "film": Style("film", 1.0),
    "cover": Style("film", 0.9, "film", 0.14),
    "done": Style("", 0.0, "film", 0.3),
    "pleat": Style("film", 0.6, "film", 0.4),
    "strap": Style("strap", 0.8),
    "ridge": Style("strap", 1.2),
    "band": Style("band", 1.0),
    "belly": Style("band", 0.7, dash=(2.4, 1.4)),
    "weld": Style("flame", 1.2, dash=(1.6, 1.2)),
    "tape": Style("tape", 0.45),
    "tapeline": Style("tape", 0.9),
    "asked": Style("primary", 1.3),
    "asked-unknown": Style("primary", 1.1, dash=(2.2, 1.6)),
    "ground": Style("ground", 0.7),
    "guide": Style("line", 0.3, dash=(1.6, 1.4)),
    "arrow": Style("ink", 0.9),
    "flame": Style("flame", 0.5, "flame"),
    "unknown": Style("unknown", 0.5, dash=(1.8, 1.4)),
    "unknown-body": Style("unknown", 0.5, "wash"),
    "quiet": Style("line", 0.4),
    "quiet-dashed": Style("line", 0.4, dash=(2.0, 1.4)),
}
# Every style that draws a line, and the same in bold, as 'NAME+'.
STYLES: Mapping[str, Style] = {
    **_PLAIN,
    **{
        f"{name}+": replace(style, width=style.width + (0.25 if style.fill else 0.7 * style.width + 0.3))
        for name, style in _PLAIN.items()
        if style.line
    },
}


@dataclass(frozen=True)
class Line:
    """A straight line."""

    start: Point
    end: Point
    style: str = "part"


@dataclass(frozen=True)
class Polyline:
    """A line through points."""

    points: tuple[Point, ...]
    style: str = "part"


@dataclass(frozen=True)
class Polygon:
    """A closed outline, filled where its style has a fill."""

    points: tuple[Point, ...]
    style: str = "part"


@dataclass(frozen=True)
class Circle:
    """A circle; radius in metres."""

    centre: Point
    radius: float
    style: str = "part"


@dataclass(frozen=True)
class Arc:
    """A part of a circle, from one angle to another in degrees, counter-clockwise from the x axis."""

    centre: Point
    radius: float
    first: float
    last: float
    style: str = "part"


@dataclass(frozen=True)
class Arrow:
    """A line through points with a head at its end."""

    points: tuple[Point, ...]
    style: str = "arrow"


@dataclass(frozen=True)
class Sign:
    """A sign of `coach.view.icons`, so many millimetres of paper large, on a plate or bare, in a role's colour."""

    at: Point
    icon: str
    size: float = 5.0
    role: str = "ink"
    plate: bool = True


@dataclass(frozen=True)
class Text:
    """Words at a place. `side` says on which side of the place they stand; `gap` is the distance in mm of paper; `room`
    is the widest share of the paper that they take in a line, 0 for the usual one."""

    at: Point
    words: str
    side: Side = "middle"
    role: str = "ink"
    size: Size = "note"
    bold: bool = False
    gap: float = 1.5
    plate: str = "card"
    room: float = 0.0


@dataclass(frozen=True)
class Dimension:
    """A measured distance with arrows at both ends and its value.

    `offset` moves it so many millimetres of paper to the left of the way from start to end (negative: right).
    `tape` draws it bold, as the line along which the tape runs; `beside` puts the value past the line, for distances
    that are too short to hold it. `asked` draws it large, its value on a dark tag: the one measure that is asked for.
    """

    start: Point
    end: Point
    words: str
    offset: float = 0.0
    known: bool = True
    tape: bool = False
    beside: bool = False
    asked: bool = False


@dataclass(frozen=True)
class Group:
    """Parts that belong together, under a name that tests and highlights can ask for."""

    name: str
    parts: tuple[Part, ...]


Leaf = Line | Polyline | Polygon | Circle | Arc | Arrow | Sign | Text | Dimension
Part = Leaf | Group


@dataclass(frozen=True)
class Legend:
    """One entry under or beside the picture: a sample of a style, or a sign, and what it is; one to `keep` stays where
    the others find no room."""

    words: str
    style: str = ""
    icon: str = ""
    role: str = "ink"
    keep: bool = False


@dataclass(frozen=True)
class Drawing:
    """A whole picture. `title` says in a sentence what it shows, for people who do not see it. `other` is the same with its
    texts elsewhere, for paper of another form: the one that comes out larger is laid out."""

    name: str
    title: str
    parts: tuple[Part, ...]
    legend: tuple[Legend, ...] = ()
    other: Drawing | None = None


def leaves(parts: tuple[Part, ...]) -> Iterator[Leaf]:
    """Every part that is not a group, in drawing order."""
    for part in parts:
        if isinstance(part, Group):
            yield from leaves(part.parts)
        else:
            yield part


def group(drawing: Drawing, name: str) -> tuple[Part, ...]:
    """The parts of the group of this name, at any depth.

    Raises:
        KeyError: the drawing has no such group.
    """
    found = _group(drawing.parts, name)
    if found is None:
        raise KeyError(name)
    return found


def _group(parts: tuple[Part, ...], name: str) -> tuple[Part, ...] | None:
    for part in parts:
        if isinstance(part, Group):
            inner = part.parts if part.name == name else _group(part.parts, name)
            if inner is not None:
                return inner
    return None


def words_in(drawing: Drawing) -> list[str]:
    """Every text that the drawing shows, in drawing order, its legend last."""
    shown = [part.words for part in leaves(drawing.parts) if isinstance(part, Text | Dimension)]
    return shown + [entry.words for entry in drawing.legend]
