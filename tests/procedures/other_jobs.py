"""Looks, patches, removals and tool jobs, worked by hand."""

from __future__ import annotations

from tests.procedures.boat import Boat

DUNLIN_IN_SNOW = Boat(
    "Dunlin in January, 6 in of wet snow, two tears",
    "mid-season-look",
    {
        "cover_length": "19 ft", "cover_width": "8 ft", "hoods_due": "1", "vents_due": "4", "snow": "wet",
        "snow_depth": "6 in", "tears": "2", "longest_tear": "10 in", "inside_temperature": "10 °C",
        "inside_humidity": "80 %",
    },
    {
        # 152 ft2 x 0.5 ft x 400 kg/m3 (24.97 lb/ft3) = 1898 lb
        "cover_area": "152 ft²", "snow_mass": "1900 lb",
        # 2 faces x 2 tears x 18 in
        "patch_tape": "6 ft",
        # 10 C at 80 % drips below 6.7 C (psychrometric tables: 6.71), to the nearest degree 7 C
        "drip_point": "44 °F",
    },
)

TERN_IN_SUN = Boat(
    "Tern in February, no snow, no tear",
    "mid-season-look",
    {
        "cover_length": "17 ft", "cover_width": "7 ft", "hoods_due": "0", "vents_due": "4", "snow": "nothing",
        "tears": "0", "inside_temperature": "5 °C", "inside_humidity": "60 %",
    },
    {"snow_mass": "0 lb", "patch_tape": "0 in"},
    frozenset({"clear-snow", "warm-tape", "dry-film", "tape-tears"}),
)

DUNLIN_PATCHED = Boat(
    "Dunlin in January, two tears by heat, one beside the fuel vent",
    "mid-season-heat-patch",
    {
        "fuel_vents": "1", "place": "outdoors", "tools_out": "5", "tears": "2", "longest_tear": "18 in",
        "near_vent": "yes",
    },
    # 18 in + 12 in; 2 x (30 in + 14 in) x 2 = 176 in, + 36 in = 17 ft 8 in
    {"patch_length": "2' 6\"", "seam_tape": "20 ft"},
)

TERN_PATCHED = Boat(
    "Tern in February, one tear by heat, no tank",
    "mid-season-heat-patch",
    {"fuel_vents": "0", "place": "outdoors", "tools_out": "5", "tears": "1", "longest_tear": "8 in", "near_vent": "no"},
    {"patch_length": "20 in"},
    frozenset({"lift-hoods", "shield-vent", "open-fuel-vents", "hoods-back"}),
)

DUNLIN_BARE = Boat(
    "Dunlin in April",
    "spring-removal",
    {
        "sheet_width": "12 ft", "sheet_length": "31 ft", "film_thickness": "7 mil", "fuel_vents": "1",
        "uprights_due": "2",
        "buckles_due": "6", "plugs_due": "1", "hood_pieces": "6", "tools_out": "8",
    },
    # 372 ft2 x 33.5 lb a thousand ft2 (7 mil at 0.92 g/cm3) = 12.5 lb; three quarters of 12 lb
    {"film_due": "12 lb", "least_film": "9 lb"},
)

SMALL_CYLINDER = Boat(
    "A 20 lb cylinder at 0 degrees",
    "cylinder-change",
    {"cylinder_until": "2031-04-30", "cylinder_full": "37 lb", "cylinder_tare": "17 lb", "outside_temperature": "0 °C"},
    # 37 - 17 lb; saturation pressures 4.74 and 8.36 bar (CoolProp 8.0.0): 0.567
    {"propane_in": "20 lb", "pressure_share": "0.567"},
)

MONDAY = Boat(
    "The cart on a Monday",
    "daily-tool-check",
    {"hose_until": "2028-05-31", "regulator_until": "2031-01-01", "cylinder_until": "2029-04-30", "extinguisher_until": "2027-09-30"},
    {},
)
