"""What a job's measures and numbers say of its craft: kind, support, drive, keel, mast, and where belly bands lie.

Rules kept here:
 1. The kind follows from what a procedure asks and works out, not from its name: so a yard's own one has its picture.
 2. What is not answered yet is drawn as the commonest of its kind.
Knows nothing of: the toolkit, how a picture looks.
"""

from __future__ import annotations

from collections.abc import Mapping

from coach.core.numbers import Computed, Value, compute
from coach.core.problems import CoachError
from coach.core.quantity import Quantity, si_number
from coach.core.rules import Rules
from coach.core.sizing.belly import belly_positions, clear_of_keel
from coach.view.pictures.craft import Craft, Kind, Support

# The outline of a plan by the function that works out its way round.
OUTLINES = {"outline_perimeter": "transom", "pointed_perimeter": "pointed", "rectangle_perimeter": "rectangle"}
# Where a windshield stands, as a share of the length from the bow: typical, common practice, no source.
WINDSHIELD_SHARE = 0.38
# Where a watercraft's two bands lie: ahead of the seat and behind it, as shares of the length from the bow.
JET_BANDS = (0.37, 0.9)
# No belly band lies across a fin keel: its shares of the length from the bow, as the side view draws it.
FIN = (0.41, 0.6)
_SUPPORTS: Mapping[str, Support] = {
    "trailer": "trailer",
    "stands": "stands",
    "cradle": "cradle",
    "blocks": "blocks",
    "cart": "cart",
}
_LENGTHS = (
    "sole_below",
    "band_to_keel",
    "band_to_hull",
    "deck_to_frame",
    "deck_below",
    "fence_height",
    "canopy_height",
    "fly_height",
    "bar_height",
    "windshield_height",
    "bow_rise",
    "stern_rise",
    "drive_reach",
    "drive_depth",
    "motor_reach",
    "motor_depth",
    "platform_reach",
    "bow_to_stern",
    "bow_to_mast",
    "mast_to_stern",
    "mast_length",
    "mast_ahead",
    "mast_behind",
)


class Known:
    """Measures and numbers by name, in metres or whole numbers, None where not known yet."""

    def __init__(
        self, rules: Rules, measures: Mapping[str, Value], computed: Mapping[str, Computed] | None = None
    ) -> None:
        self._values: dict[str, Value] = dict(measures)
        if computed is None:
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


def outline_of(rules: Rules) -> str:
    """The outline by which the job's perimeter band is worked out."""
    band = rules.procedure.numbers.get("perimeter_band")
    used = band.formula.functions if band is not None else ()
    return next((form for name, form in OUTLINES.items() if name in used), "transom")


def craft_of(known: Known, rules: Rules) -> Craft:
    """The craft of a job."""
    measures, numbers = rules.procedure.measures, rules.procedure.numbers
    kind = _kind(set(measures) | set(numbers), outline_of(rules))
    support = next(
        (_SUPPORTS[word] for name in ("support", "carried_by") if (word := known.word(name) or "") in _SUPPORTS), None
    )
    if support is None:
        asked = measures.get("support")
        options = [option.id for option in asked.options] if asked is not None else []
        support = _SUPPORTS.get(options[0], "trailer") if options else "trailer"
    drive = known.word("drive")
    if drive is None:
        asked = measures.get("drive")
        drive = "outboard" if asked is None or any(option.id == "outboard" for option in asked.options) else ""
    canopy = {"fixed": "fixed"}.get(known.word("canopy") or "", "low")
    return Craft(
        kind,
        support,
        drive if drive in ("outboard", "sterndrive") else "",
        known.word("keel") or "fin",
        _mast(set(measures)),
        known.word("top") or canopy,
        known.whole("rows") or 1,
        known.yes("boom_stays"),
        bool(known.whole("belly_bands")),
        {name: value for name in _LENGTHS if (value := known.metres(name)) is not None},
    )


def _kind(names: set[str], outline: str) -> Kind:
    if "bar_height" in names:
        return "jet"
    if "deck_to_frame" in names or outline == "rectangle":
        return "pontoon"
    return "sail" if "band_to_hull" in names or outline == "pointed" else "power"


def _mast(names: set[str]) -> str:
    if "bow_to_mast" in names:
        return "up"
    return "down" if "mast_length" in names else ""


def belly_of(known: Known, craft: Craft, length: float) -> tuple[float, ...]:
    """Where the belly bands lie, m from the bow: as many as the job's number says, none across a fin keel."""
    count = known.whole("belly_bands")
    if not count:
        return ()
    if craft.kind == "jet":
        return tuple(share * length for share in JET_BANDS[:count])
    start = length * WINDSHIELD_SHARE if craft.kind == "power" else 0.0
    try:
        places = tuple(float(x) for x in belly_positions(length, start, (length - start) / count))
    except CoachError:
        return ()
    if craft.kind == "sail" and craft.keel in ("fin", "twin"):
        return clear_of_keel(places, length, FIN[0] * length, FIN[1] * length)
    return places
