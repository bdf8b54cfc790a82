"""The sizing functions that a procedure's formulas may call, with the kind of each argument and result.

Rules kept here: a name here is part of the procedure language and is never reused for another meaning; only functions
whose arguments all have a kind are here, so that a formula is dimension-checked when its procedure is loaded.
Called by: reader and session, through coach.core.formula.
"""

from __future__ import annotations

from collections.abc import Callable

from coach.core.formula import Function
from coach.core.sizing import air, belly, film, girth, heat, outline, strap, upright


def _entry(impl: Callable[..., object], kinds: str, result: str, doc: str) -> Function:
    """A function under its own name; `kinds` are the arguments' kinds, parted by blanks."""
    return Function(impl.__name__, tuple(kinds.split()), result, impl, doc)


_ENTRIES: tuple[Function, ...] = (
    _entry(girth.tape_low, "length length length", "length", "shortest half tape: half beam, height, drop"),
    _entry(girth.tape_high, "length length length", "length", "longest half tape: half beam, height, drop"),
    _entry(girth.triangle_girth, "length length", "length", "straight line from ridge to rail: half beam, height"),
    _entry(girth.slope_angle, "length length", "angle", "slope of the cover: half beam, height"),
    _entry(girth.rise_for_slope, "length angle", "length", "ridge height for a slope: half beam, slope"),
    _entry(film.film_width, "length length", "length", "film width: half tape, tuck"),
    _entry(film.stocked_width, "length", "length", "narrowest usual film that is wide enough: width"),
    _entry(film.film_length, "length length length", "length", "film length: over ridge, below each end, behind stern"),
    _entry(film.drive_allowance, "length length", "length", "film over a drive: reach, depth below the band"),
    _entry(film.joined_width, "length length length", "length", "two films welded: first, second, lap"),
    _entry(film.film_mass, "length length length", "mass", "mass of a film: width, length, thickness"),
    _entry(film.pontoon_length, "length length length", "length", "film over a pontoon: deck, height, edge below"),
    _entry(outline.outline_perimeter, "length length", "length", "way round a transom power boat: length, beam"),
    _entry(outline.outline_area, "length length", "area", "plan area of a transom power boat: length, beam"),
    _entry(outline.pointed_perimeter, "length length", "length", "way round a boat pointed at both ends: length, beam"),
    _entry(outline.pointed_area, "length length", "area", "plan area of a boat pointed at both ends: length, beam"),
    _entry(outline.rectangle_perimeter, "length length", "length", "way round a square-ended boat: length, beam"),
    _entry(outline.rectangle_area, "length length", "area", "plan area of a square-ended boat: length, beam"),
    _entry(strap.cross_strap, "length length length", "length", "strap from side to side: beam, height, allowance"),
    _entry(strap.ridge_strap, "length length length length", "length", "ridge strap: run, bow and stern rise, allowance"),
    _entry(strap.perimeter_band, "length length", "length", "perimeter band: perimeter, allowance"),
    _entry(strap.loop_count, "length", "count", "loops that hang the perimeter band: perimeter"),
    _entry(upright.upright_count, "length", "count", "uprights under the ridge: length"),
    _entry(upright.cut_length, "length length length", "length", "upright: ridge above band, sole below band, pads"),
    _entry(upright.windshield_lift, "length length length", "length", "lift over a windshield: strap, windshield, clear"),
    _entry(belly.belly_band_count, "length", "count", "belly bands of a power boat: length"),
    _entry(belly.belly_band_length, "length length length", "length", "one belly band: beam, depth, tail"),
    _entry(air.vent_count, "length length", "count", "vents of a power boat: length, beam"),
    _entry(air.free_area_needed, "area ratio", "area", "free vent area: covered area, share"),
    _entry(air.dew_point, "temperature ratio", "temperature", "dew point: temperature, humidity"),
    _entry(heat.propane_least, "area", "mass", "least propane: film area"),
    _entry(heat.propane_expected, "area", "mass", "propane to expect: film area"),
    _entry(heat.vapour_pressure, "temperature", "pressure", "pressure in a propane cylinder, absolute: temperature"),
    _entry(heat.cylinders_to_load, "mass mass", "count", "cylinders to load: propane, contents of one"),
)
FUNCTIONS: dict[str, Function] = {function.name: function for function in _ENTRIES}
