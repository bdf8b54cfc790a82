"""Power boats on trailers and stands, worked by hand."""

from __future__ import annotations

from tests.procedures.boat import Boat

SECTION_19 = {
    "boat_length": "19 ft", "beam": "8 ft", "edge_drop": "7 in", "ridge_height": "30 in", "windshield": "yes",
    "windshield_height": "18 in", "ridge_to_edge": "66 in", "bow_to_stern": "24 ft", "bow_rise": "20 in",
    "stern_rise": "34 in", "sole_below": "18 in", "band_to_keel": "30 in",
}

DUNLIN = Boat(
    "Dunlin, 19 ft, petrol outboard, one fuel vent",
    "power-boat-trailer",
    {
        "fuel": "petrol", "fuel_vents": "1", "place": "outdoors", "tools_out": "9", "drive": "outboard",
        "guide_posts": "no", **SECTION_19, "drive_reach": "30 in", "drive_depth": "36 in", "holes": "2",
    },
    {
        # 2 x 66 in + 2 x 6 in = 144 in
        "film_width": "12 ft", "roll_width": "12 ft",
        # 30 in + 36 in = 66 in; 24 ft + 2 x 6 in + 5 ft 6 in = 30 ft 6 in
        "drive_extra": "5' 6\"", "film_length": "31 ft",
        # atan(30/48) = 32.0 degrees
        "ridge_slope": "32°",
        # 37 in + 18 in - 1 in = 54 in; two uprights at 19 ft
        "uprights": "2", "upright_height": "4' 6\"",
        # 2 x sqrt(48^2 + 37^2) = 121.2 in, + 36 in = 157.2 in
        "cross_strap_each": "14 ft",
        # sqrt(114^2 + 20^2) + sqrt(114^2 + 34^2) = 115.7 + 119.0 in, + 36 in = 270.7 in = 22.6 ft
        "ridge_strap": "23 ft",
        # 8 ft + 2 x 30 in + 18 in = 14 ft 6 in
        "belly_bands": "2", "belly_band_each": "15 ft",
        # 2 cross straps and the ridge: 3; the band: 1; belly bands: 2
        "frame_buckles": "3", "buckles": "6", "staples": "8", "vents": "4",
    },
    frozenset({"main-battery", "shift-guide-posts"}),
)

TERN = Boat(
    "Tern, 17 ft, electric sterndrive with lithium batteries, no fuel tank, no windshield",
    "power-boat-trailer",
    {
        "fuel": "electric", "fuel_vents": "0", "place": "outdoors", "tools_out": "7", "drive": "sterndrive",
        "guide_posts": "yes", "boat_length": "17 ft", "beam": "7 ft", "edge_drop": "6 in", "ridge_height": "24 in",
        "windshield": "no", "ridge_to_edge": "56 in", "bow_to_stern": "21 ft", "bow_rise": "14 in",
        "stern_rise": "28 in", "sole_below": "16 in", "band_to_keel": "28 in", "drive_reach": "24 in",
        "drive_depth": "30 in", "holes": "0",
    },
    # 2 x 56 in + 12 in = 124 in, up to 11 ft; the narrowest roll is 12 ft; atan(24/42) = 29.7 degrees
    {"film_width": "11 ft", "roll_width": "12 ft", "ridge_slope": "30°", "film_length": "27 ft"},
    frozenset({
        "first-upright", "wrap-cowl", "patch-holes", "open-fuel-vents", "cover-fuel-vents",
    }),
)

SANDERLING = {
    "fuel": "petrol", "fuel_vents": "2", "place": "outdoors", "tools_out": "12", "support": "stands", "stands": "7",
    "outlets": "4", "boat_length": "32 ft", "beam": "11 ft", "edge_drop": "8 in", "bow_rise": "36 in",
    "stern_rise": "60 in", "sole_below": "20 in", "band_to_keel": "54 in", "windshield": "yes",
}

PLOVER = Boat(
    "Plover, 32 ft, shaft, flybridge and swim platform",
    "power-boat-stands",
    {
        **SANDERLING, "drive": "shaft", "top": "flybridge", "fly_height": "84 in", "windshield_height": "40 in",
        "ridge_height": "96 in", "ridge_to_edge": "140 in", "bow_to_stern": "47 ft", "platform": "yes",
        "platform_reach": "36 in", "holes": "1",
    },
    # 2 x 140 in + 12 in = 292 in = 24 ft 4 in; 36 in + 6 in over the platform; 47 ft + 12 in + 42 in = 51 ft 6 in
    {"film_width": "25 ft", "roll_width": "26 ft", "drive_extra": "3' 6\"", "film_length": "52 ft", "uprights": "3"},
    frozenset({
        "main-battery", "lower-sterndrive", "fold-tower", "measure-drive", "tower-legs", "slit-for-legs",
        "cover-sterndrive",
        "close-legs", "tape-legs",
    }),
)

WHIMBREL = Boat(
    "Whimbrel, 28 ft, sterndrive, fixed tower with four legs, cradle",
    "power-boat-stands",
    {
        **SANDERLING, "support": "cradle", "stands": "", "drive": "sterndrive", "top": "tower", "tower_folds": "no",
        "tower_legs": "4", "drive_reach": "26 in", "drive_depth": "34 in", "boat_length": "28 ft",
        "beam": "9 ft 6 in",
        "ridge_height": "48 in", "windshield_height": "30 in", "ridge_to_edge": "84 in", "bow_to_stern": "36 ft",
        "platform": "no", "holes": "0",
    },
    # 26 in + 34 in = 60 in over the drive; 36 ft + 12 in + 60 in = 42 ft; 2 x 84 in + 12 in = 15 ft
    {"film_width": "15 ft", "roll_width": "16 ft", "drive_extra": "5 ft", "film_length": "42 ft"},
    frozenset({
        "main-battery", "fold-tower", "strip-flybridge", "measure-flybridge", "fly-uprights", "fly-corners",
        "fit-platform",
        "shrink-fly-sides", "patch-holes",
    }),
)

KNOT = Boat(
    "Knot, 30 ft, diesel jet, tower that folds",
    "power-boat-stands",
    {
        **SANDERLING, "fuel": "diesel", "fuel_vents": "1", "drive": "jet", "top": "tower", "tower_folds": "yes",
        "boat_length": "30 ft", "beam": "10 ft", "ridge_height": "50 in", "windshield_height": "36 in",
        "ridge_to_edge": "88 in", "bow_to_stern": "40 ft", "platform": "no", "holes": "0",
    },
    {"film_width": "16 ft", "drive_extra": "0 in", "film_length": "41 ft"},
    frozenset({
        "main-battery", "lower-sterndrive", "strip-flybridge", "measure-drive", "measure-flybridge",
        "fly-uprights", "fly-corners", "tower-legs", "slit-for-legs", "cover-sterndrive", "fit-platform",
        "close-legs",
        "shrink-fly-sides", "patch-holes", "tape-legs",
    }),
)
