"""The sizing functions that a procedure's formulas may call, with the kind of each argument and result.

Rules kept here: a name here is part of the procedure language and is never reused for another meaning; only functions
whose arguments all have a kind are here, so that a formula is dimension-checked when its procedure is loaded.
Called by: reader and session, through coach.core.formula.
"""

from __future__ import annotations

from collections.abc import Callable

from coach.core.formula import Function
from coach.core.sizing import air, belly, film, girth, heat, outline, snow, strap, thickness, upright, wind


def _entry(impl: Callable[..., object], arguments: str, result: str, doc: str) -> Function:
    """A function under its own name; `arguments` are written 'label kind, label kind', the label with underscores."""
    pairs = [argument.split() for argument in arguments.split(",")]
    labels, kinds = tuple(label for label, _ in pairs), tuple(kind for _, kind in pairs)
    return Function(impl.__name__, kinds, result, impl, doc, labels)


_ENTRIES: tuple[Function, ...] = (
    _entry(
        girth.tape_low,
        "half_beam length, height length, drop length",
        "length",
        "shortest half tape that geometry allows",
    ),
    _entry(
        girth.tape_high,
        "half_beam length, height length, drop length",
        "length",
        "longest half tape that geometry allows",
    ),
    _entry(girth.triangle_girth, "half_beam length, height length", "length", "straight line from ridge to rail"),
    _entry(girth.slope_angle, "half_beam length, height length", "angle", "slope of the cover from ridge to rail"),
    _entry(girth.rise_for_slope, "half_beam length, slope angle", "length", "ridge height that gives a slope"),
    _entry(film.film_width, "half_tape length, tuck length", "length", "width of film, both sides and both tucks"),
    _entry(film.stocked_width, "width length", "length", "narrowest usual film that is wide enough"),
    _entry(
        film.film_length,
        "over_ridge length, below_each_end length, behind_stern length",
        "length",
        "length of film along the boat",
    ),
    _entry(film.drive_allowance, "reach length, below_band length", "length", "extra film over an outboard or drive"),
    _entry(
        film.pontoon_length,
        "deck length, height length, edge_below length",
        "length",
        "length of film over a square-ended boat",
    ),
    _entry(
        film.mast_down_length,
        "mast length, bow_drop length, stern_drop length, below_each_end length",
        "length",
        "length of film over a lowered mast",
    ),
    _entry(
        film.mast_part_length,
        "along length, below_end length, lap length",
        "length",
        "length of film from one end to a standing mast",
    ),
    _entry(
        film.second_film,
        "width length, first length, lap length",
        "length",
        "width of the second film where one is too narrow, 0 if it is not",
    ),
    _entry(film.joined_width, "first length, second length, lap length", "length", "width of two films welded"),
    _entry(thickness.usual_thickness, "length length", "length", "film thickness usual for a boat of this length"),
    _entry(thickness.film_mass, "width length, length length, thickness length", "mass", "mass of a film"),
    _entry(outline.outline_perimeter, "length length, beam length", "length", "way round a transom power boat"),
    _entry(outline.outline_area, "length length, beam length", "area", "plan area of a transom power boat"),
    _entry(outline.pointed_perimeter, "length length, beam length", "length", "way round a boat pointed at both ends"),
    _entry(outline.pointed_area, "length length, beam length", "area", "plan area of a boat pointed at both ends"),
    _entry(outline.rectangle_perimeter, "length length, beam length", "length", "way round a square-ended boat"),
    _entry(outline.rectangle_area, "length length, beam length", "area", "plan area of a square-ended boat"),
    _entry(strap.cross_strap, "beam length, height length, allowance length", "length", "strap from side to side"),
    _entry(
        strap.ridge_strap,
        "run length, bow_rise length, stern_rise length, allowance length",
        "length",
        "strap from bow to stern over a high point",
    ),
    _entry(strap.perimeter_band, "perimeter length, allowance length", "length", "strap around the hull"),
    _entry(strap.loop_count, "perimeter length", "count", "loops that hang the perimeter band level"),
    _entry(upright.upright_count, "length length", "count", "uprights under the ridge"),
    _entry(upright.cut_length, "ridge length, sole_below length, pads length", "length", "length to cut an upright"),
    _entry(
        upright.windshield_lift,
        "strap length, windshield length, clear length",
        "length",
        "how much the ridge strap must be lifted over a windshield",
    ),
    _entry(belly.belly_band_count, "length length", "count", "belly bands of a power boat"),
    _entry(
        belly.bands_behind_windshield,
        "length length, windshield length",
        "count",
        "belly bands behind a windshield that was measured",
    ),
    _entry(belly.sail_band_count, "length length", "count", "belly bands of a sailing boat"),
    _entry(belly.pontoon_band_count, "length length", "count", "belly bands of a pontoon boat"),
    _entry(belly.belly_band_length, "beam length, depth length, tail length", "length", "strap for one belly band"),
    _entry(air.vent_count, "length length, beam length", "count", "vents of a power boat, four or more"),
    _entry(air.vents_for, "length length, area area", "count", "vents of any boat for its length and plan area"),
    _entry(air.free_area_needed, "area area, share ratio", "area", "free vent area for a covered area"),
    _entry(air.dew_point, "air temperature, humidity ratio", "temperature", "where the air begins to drip"),
    _entry(heat.propane_least, "film_area area", "mass", "propane that no job can do with less than"),
    _entry(heat.propane_expected, "film_area area", "mass", "propane to expect, an order of magnitude"),
    _entry(heat.vapour_pressure, "liquid temperature", "pressure", "pressure in a propane cylinder, absolute"),
    _entry(heat.cylinders_to_load, "propane mass, contents mass", "count", "cylinders to load, one of them spare"),
    _entry(snow.cover_load, "ground pressure, slope angle", "pressure", "snow on the cover by ASCE 7-16, unheated"),
    _entry(upright.upright_load, "load pressure, run length, beam length", "force", "force on an upright"),
    _entry(upright.timber_allowed, "length length", "force", "what a 2x4 upright may carry"),
    _entry(
        strap.parabola_tension,
        "load force_per_length, span length, sag length",
        "force",
        "tension of a strap under an even load",
    ),
    _entry(wind.sheet_force, "area area, gust speed", "force", "pull of the wind on a loose film"),
    _entry(wind.hands_needed, "pull force", "count", "people who hold a film, never fewer than two"),
)
FUNCTIONS: dict[str, Function] = {function.name: function for function in _ENTRIES}
