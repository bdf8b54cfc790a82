"""The pictures of one boat, from the measures that are in and the numbers that follow.

Rules kept here:
 1. What is not measured yet is drawn as a typical boat, greyed, with a question mark; never as if it were known.
 2. A picture's name in a procedure is one of PICTURES; a name that is not is shown without a picture.
Knows nothing of: the toolkit, where the drawing goes.
"""

from __future__ import annotations

from collections.abc import Mapping
from fractions import Fraction

from coach.core.numbers import Value, compute
from coach.core.problems import CoachError
from coach.core.quantity import Quantity, si_number
from coach.core.rules import Rules
from coach.core.sizing.air import vent_positions
from coach.core.sizing.belly import belly_positions
from coach.core.sizing.upright import upright_positions
from coach.core.units import KINDS
from coach.formats import quantity_text
from coach.view.drawing import Drawing
from coach.view.pictures import moves
from coach.view.pictures.cross_section import cross_section
from coach.view.pictures.plan import plan
from coach.view.pictures.side import side

PICTURES = ("cross-section", "plan", "profile", "flame-level", "bottom-up", "door", "pleat", "swing")
_MOVES = {
    "flame-level": moves.flame_level, "bottom-up": moves.bottom_up, "door": moves.u_door, "pleat": moves.pleat, "swing": moves.swing,
}
# The outline of a plan by the function that works out its way round.
OUTLINES = {"outline_perimeter": "transom", "pointed_perimeter": "pointed", "rectangle_perimeter": "rectangle"}
# How far along the boat the windshield and the door stand, as shares of the length: typical, common practice, no source.
WINDSHIELD_SHARE, DOOR_SHARE = 0.38, 0.72


class Known:
    """Measures and numbers by name, in metres or whole numbers, None where not known yet."""

    def __init__(self, rules: Rules, measures: Mapping[str, Value]) -> None:
        self._values: dict[str, Value] = dict(measures)
        computed = compute(rules.procedure, measures, rules.functions)
        self._values.update({id: found.value for id, found in computed.items() if found.value is not None})

    def metres(self, *names: str) -> float | None:
        """The first of these that is known, in metres."""
        for name in names:
            value = self._values.get(name)
            if isinstance(value, Quantity):
                return si_number(value)
        return None

    def whole(self, name: str) -> int | None:
        """A count."""
        value = self.metres(name)
        return None if value is None else int(value)

    def word(self, name: str) -> str | None:
        """A choice."""
        value = self._values.get(name)
        return value if isinstance(value, str) else None

    def yes(self, name: str) -> bool:
        """A yes."""
        return self._values.get(name) is True


def boat_picture(rules: Rules, measures: Mapping[str, Value], name: str, system: str = "us") -> Drawing | None:
    """The picture of this name for this boat, or None for a name that is no picture of ours."""
    if name in _MOVES:
        return _MOVES[name]()
    known = Known(rules, measures)
    if name == "cross-section":
        return _section(known, system)
    if name == "plan":
        return _plan(known, rules, system)
    if name in ("profile", "side"):
        return _side(known, rules, system)
    return None


def typical_picture(name: str) -> Drawing | None:
    """The picture of this name for explaining a word: a 19 ft boat with everything on it and no sizes written."""
    if name in _MOVES:
        return _MOVES[name]()
    if name == "cross-section":
        return cross_section(1.22, 0.76, 0.18, 1.63, 0.15, show=_unsaid)
    if name == "plan":
        return plan(
            5.8, 2.44, uprights=(2.3, 4.0), belly=(3.2, 4.9), vents=((1.2, 0.4), (1.2, -0.4), (5.2, 0.6), (5.2, -0.6)),
            door=(5.8 * DOOR_SHARE, 0.8), show=_unsaid,
        )
    if name == "profile":
        return side(5.8, uprights=((2.3, 0.76), (4.0, 0.7)), ridge_stern=0.45, edge_drop=0.18, show=_unsaid)
    return None


def _unsaid(value: float) -> str:
    return ""


def written(system: str):  # type: ignore[no-untyped-def]
    """A function that writes metres in the reader's units."""
    return lambda value: quantity_text(Quantity(Fraction(value).limit_denominator(10_000), KINDS["length"]), "length", system)


def _section(known: Known, system: str) -> Drawing:
    half = known.metres("half_beam")
    beam = known.metres("beam")
    if half is None and beam is not None:
        half = beam / 2
    return cross_section(
        half, known.metres("ridge_height"), known.metres("edge_drop"), known.metres("ridge_to_edge"), known.metres("tuck"),
        show=written(system),
    )


def uprights_of(known: Known, length: float) -> tuple[float, ...]:
    """Where the uprights stand, m from the bow: as many as the job's number says."""
    glass = length * WINDSHIELD_SHARE if known.yes("windshield") else None
    try:
        places = tuple(float(x) for x in upright_positions(length, windshield=glass))
    except CoachError:
        return ()
    count = known.whole("uprights")
    if count is None and (posts := known.whole("posts")) is not None:
        count = posts // (known.whole("rows") or 1)
    return tuple(length * (i + 1) / (count + 1) for i in range(count)) if count is not None and count != len(places) else places


def _form(rules: Rules) -> str:
    """The outline by which the job's perimeter band is worked out."""
    band = rules.procedure.numbers.get("perimeter_band")
    used = band.formula.functions if band is not None else ()
    return next((form for name, form in OUTLINES.items() if name in used), "transom")


def _plan(known: Known, rules: Rules, system: str) -> Drawing:
    length, beam = known.metres("boat_length"), known.metres("beam")
    if length is None or beam is None or beam > length:
        return plan(length, None, show=written(system))
    count = known.whole("vents")
    vents = vent_positions(length, beam, count) if count and count >= 2 else ()
    return plan(
        length, beam, form=_form(rules), uprights=uprights_of(known, length), belly=_belly(known, length),
        vents=tuple((float(x), float(y)) for x, y in vents), door=(length * DOOR_SHARE, 0.8), show=written(system),
    )


def _belly(known: Known, length: float) -> tuple[float, ...]:
    count = known.whole("belly_bands")
    if not count:
        return ()
    start = length * WINDSHIELD_SHARE
    return tuple(float(x) for x in belly_positions(length, start, (length - start) / count))


def _side(known: Known, rules: Rules, system: str) -> Drawing:
    length, ridge = known.metres("boat_length"), known.metres("ridge_height")
    posts = tuple((x, ridge) for x in uprights_of(known, length)) if length is not None and ridge is not None else ()
    stern = known.metres("stern_rise")
    return side(
        length, uprights=posts, ridge_stern=None if ridge is None or stern is None else max(ridge - stern, 0.05),
        edge_drop=known.metres("edge_drop"), windshield=WINDSHIELD_SHARE if known.yes("windshield") else None,
        outboard=known.word("drive") in (None, "outboard", "sterndrive"), trailer="trailer" in rules.procedure.id,
        show=written(system),
    )
