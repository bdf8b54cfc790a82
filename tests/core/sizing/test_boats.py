"""Three boats of different kinds sized by hand, each number with its arithmetic, beside ours.

The boats are invented. The arithmetic is done here with plain numbers in inches and feet and never calls our functions.
"""

from __future__ import annotations

import math
from fractions import Fraction

import pytest

from coach.core.sizing import air, belly, door, film, girth, heat, outline, slip, strap, thickness, upright
from coach.core.sizing.constants import FOOT, INCH, Number


def inches(value: Number) -> float:
    return float(value / INCH)


def feet(value: Number) -> float:
    return float(value / FOOT)


def test_dunlin_a_19_ft_power_boat_with_an_outboard_on_a_trailer() -> None:
    """Dunlin: 19 ft, beam 8 ft, ridge 31 in over the rail, edge 7 in below it, windshield 7 ft 6 in from the bow."""
    # Tape 66 in: straight line sqrt(48^2 + 31^2) = 57.14 in, + 7 = 64.14 in; box 48 + 31 + 7 = 86 in. It stands.
    assert girth.tape_faults(66 * INCH, 48 * INCH, 31 * INCH, 7 * INCH) == ()
    # Width 2 x 66 + 2 x 6 = 144 in = 12 ft exactly, so a 12 ft roll.
    width = film.film_width(66 * INCH)
    assert width == 12 * FOOT == film.stocked_width(width)
    # Length: tape over the ridge 21 ft 4 in; 6 in below the band at both ends; motor reaches 18 in aft and 34 in down:
    # 256 + 12 + 18 + 34 = 320 in = 26 ft 8 in.
    length = film.film_length(256 * INCH, film.BELOW_BAND, film.drive_allowance(18 * INCH, 34 * INCH))
    assert length == 320 * INCH
    # 12 ft x 26.667 ft = 320 ft2 = 29.73 m2 of 7 mil: 29.73 x 0.163576 kg = 4.863 kg = 10.72 lb.
    assert float(thickness.film_mass(width, length, thickness.usual_thickness(19 * FOOT))) == pytest.approx(
        4.863, abs=0.001
    )
    # Perimeter: half parabolas 9.5 ft long and 4 ft deep. a = 4 x 4 / 19 = .8421; arc of both =
    # (19/2)(sqrt(1 + .7091) + asinh(.8421)/.8421) = 9.5 (1.30735 + .90830) = 21.049 ft; + 2 x 9.5 + 8 = 48.05 ft.
    assert feet(outline.outline_perimeter(19 * FOOT, 8 * FOOT)) == pytest.approx(48.05, abs=0.005)
    # Loops every 8 ft: 48.05 / 8 = 6.01, so 7. Band 48.05 + 2 = 50.05 ft.
    band = strap.perimeter_band(outline.outline_perimeter(19 * FOOT, 8 * FOOT))
    assert strap.loop_count(outline.outline_perimeter(19 * FOOT, 8 * FOOT)) == 7
    assert feet(band) == pytest.approx(50.05, abs=0.005)
    # Uprights: bays of 8 ft at most: 19/8 = 2.4, 3 bays, 2 uprights: one behind the windshield at 7.5 ft, then half of
    # the 11.5 ft behind it: 13.25 ft.
    assert upright.upright_count(19 * FOOT) == 2
    assert [feet(x) for x in upright.upright_positions(19 * FOOT, upright.BAY, Fraction(15, 2) * FOOT)] == [7.5, 13.25]
    # The strap passes the windshield at 25 in, its top is 22 in: 22 + 10 - 25 = 7 in of lift.
    assert inches(upright.windshield_lift(25 * INCH, 22 * INCH)) == 7
    # Upright: 38 in over the band, sole 20 in below it, 1 in of pads: 57 in. Cross strap: 2 sqrt(48^2 + 38^2) + 36 =
    # 2 x 61.22 + 36 = 158.4 in.
    assert upright.cut_length(38 * INCH, 20 * INCH, 1 * INCH) == 57 * INCH
    assert inches(strap.cross_strap(96 * INCH, 38 * INCH, 36 * INCH)) == pytest.approx(158.44, abs=0.01)
    # Belly bands: 11.5 ft behind the windshield, bays of 8 ft at most: 2 of 5.75 ft, bands at 10.375 and 16.125 ft.
    bands = belly.belly_positions(19 * FOOT, Fraction(15, 2) * FOOT, belly.SPACINGS["power"])
    assert [feet(x) for x in bands] == [10.375, 16.125]
    # Vents: a pair for each 10 ft: 4. Area 5/6 x 19 x 8 = 126.67 ft2; / 300 = 60.8 in2; 4 vents of 16 in2 are 64.
    assert air.vent_count(19 * FOOT, 8 * FOOT) == 4
    # Propane: 29.73 m2 x 53.98 kJ/m2 = 1604.8 kJ; / 50.01 MJ/kg = 0.0321 kg least; ten times that: 0.321 kg.
    assert float(heat.propane_expected(width * length)) == pytest.approx(0.321, abs=0.001)
    assert heat.cylinders_to_load(0.321, 9.07) == 2


def test_grebe_a_27_ft_sailing_boat_with_its_mast_down() -> None:
    """Grebe: 27 ft, beam 9 ft, mast of 34 ft as the ridge, 6 ft over the rail amidships, lying on stands."""
    # Straight line sqrt(54^2 + 72^2) = 90 in exactly, + 8 = 98 in; box 54 + 72 + 8 = 134 in; tape 104 in.
    assert girth.tape_low(54 * INCH, 72 * INCH, 8 * INCH) == 98 * INCH
    assert girth.tape_faults(104 * INCH, 54 * INCH, 72 * INCH, 8 * INCH) == ()
    # Width 208 + 12 = 220 in = 18 ft 4 in, so 20 ft. Length: mast 34 ft, 5 ft and 4 ft down, 2 x 6 in: 44 ft.
    width = film.film_width(104 * INCH)
    assert width == 220 * INCH and film.stocked_width(width) == 20 * FOOT
    assert film.mast_down_length(34 * FOOT, 5 * FOOT, 4 * FOOT, 6 * INCH) == 44 * FOOT
    # Slope atan(72/54) = 53.1 degrees.
    assert math.degrees(girth.slope_angle(54 * INCH, 72 * INCH)) == pytest.approx(53.13, abs=0.005)
    # Belly bands closer than on a power boat: 27 / 5 = 5.4, so 6 bays of 4.5 ft from 2.25 ft.
    assert [feet(x) for x in belly.belly_positions(27 * FOOT, 0, belly.SPACINGS["sail"])] == [
        2.25,
        6.75,
        11.25,
        15.75,
        20.25,
        24.75,
    ]
    # One band: 9 ft + 2 x 4 ft 6 in + 18 in = 19 ft 6 in.
    assert belly.belly_band_length(9 * FOOT, 54 * INCH) == Fraction(39, 2) * FOOT
    # Pointed outline 2/3 x 27 x 9 = 162 ft2; a pair of vents each 10 ft: 6; 162/300 ft2 = 77.8 in2 < 96 in2.
    assert outline.pointed_area(27 * FOOT, 9 * FOOT) == 162 * FOOT**2
    assert air.vents_for(27 * FOOT, 162 * FOOT**2) == 6
    # The mast standing instead, at 4/10 of a 30 ft tape: 12 + .5 + .5 = 13 ft fore, 18 + .5 + .5 = 19 ft aft.
    fore, aft = film.mast_up_lengths(30 * FOOT, Fraction(2, 5), 6 * INCH)
    assert (fore, aft) == (13 * FOOT, 19 * FOOT)
    assert film.mast_part_length(12 * FOOT, 6 * INCH) == fore
    # Door 30 x 60 in between ridge and rail: 90 in of slope hold 60 + 2 x 6 in. Tape 2 x 90 x 1.1 = 198 in.
    assert door.door_fits(54 * INCH, 72 * INCH, 60 * INCH)
    assert door.door_fits(54 * INCH, 72 * INCH, 78 * INCH)
    assert not door.door_fits(54 * INCH, 72 * INCH, 79 * INCH)
    assert inches(door.door_tape(30 * INCH, 60 * INCH)) == pytest.approx(198)


def test_coot_a_24_ft_pontoon_boat_wider_than_any_roll() -> None:
    """Coot: 24 ft deck, beam 8 ft 6 in, ridge 40 in over the rail, and a 20 ft wide second boat beside it to join."""
    # Straight line sqrt(51^2 + 40^2) = 64.82, + 8 = 72.82 in; tape 80 in; width 160 + 12 = 172 in, so 16 ft.
    assert inches(girth.tape_low(51 * INCH, 40 * INCH, 8 * INCH)) == pytest.approx(72.815, abs=0.005)
    width = film.film_width(80 * INCH)
    assert width == 172 * INCH and film.stocked_width(width) == 16 * FOOT
    # Length 24 ft + 2 x 40 in + 2 x 6 in = 380 in. Rectangle: 2 (24 + 8.5) = 65 ft round, 204 ft2.
    assert film.pontoon_length(24 * FOOT, 40 * INCH, 6 * INCH) == 380 * INCH
    assert outline.rectangle_perimeter(24 * FOOT, Fraction(17, 2) * FOOT) == 65 * FOOT
    assert outline.rectangle_area(24 * FOOT, Fraction(17, 2) * FOOT) == 204 * FOOT**2
    # Bands every 8 ft of 24: 3, at 4, 12, 20 ft. Uprights: 3 bays, 2 posts at 8 and 16 ft.
    assert [feet(x) for x in belly.belly_positions(24 * FOOT, 0, belly.SPACINGS["pontoon"])] == [4, 12, 20]
    assert [feet(x) for x in upright.upright_positions(24 * FOOT)] == [8, 16]
    # Only 10, 12 and 14 ft rolls in the yard: 172 in + 12 in lap = 184 in of 120 + 120 = 240 (the least pair that
    # reaches): joined 228 in.
    pair = film.two_films(width, (10 * FOOT, 12 * FOOT, 14 * FOOT))
    assert pair == (10 * FOOT, 10 * FOOT)
    assert film.joined_width(*pair) == 228 * INCH
    assert film.second_film(width, 10 * FOOT, FOOT) == 64 * INCH  # 172 + 12 - 120
    assert film.second_film(width, 16 * FOOT, FOOT) == 0
    # Three mil-steps: 24 ft takes 7 mil; under heavy snow 8 mil.
    assert thickness.usual_thickness(24 * FOOT) == 7 * INCH / 1000
    assert thickness.usual_thickness(24 * FOOT, 50 * 47.88) == 8 * INCH / 1000


def test_rigid_equipment_is_boxed() -> None:
    """A pump on a pallet, 4 x 5 x 3 ft: width 4 + 6 + 1 = 11 ft, length 5 + 6 + 1 = 12 ft."""
    assert film.box_film(5 * FOOT, 4 * FOOT, 3 * FOOT) == (11 * FOOT, 12 * FOOT)


def test_a_slipped_tape_of_an_inch() -> None:
    """One inch on the half tape is two on the width; on the length's tape it is one; on the beam it is none."""

    def numbers(measures: dict[str, Number]) -> dict[str, Number]:
        if girth.tape_faults(measures["half tape"], measures["half beam"], 31 * INCH, 7 * INCH):
            raise girth.QuantityError()
        return {
            "film width": film.film_width(measures["half tape"]),
            "film length": film.film_length(measures["over ridge"], 6 * INCH, 0),
        }

    effects = slip.slip_effects(numbers, {"half tape": 65 * INCH, "half beam": 48 * INCH, "over ridge": 256 * INCH})
    found = {(effect.measure, effect.number): (effect.less, effect.more) for effect in effects}
    assert found == {
        ("half tape", "film width"): (None, 2 * INCH),  # 64 in is under the straight line of 64.14 in
        ("half tape", "film length"): (None, 0),
        ("over ridge", "film length"): (-INCH, INCH),
    }
