"""Pontoon boats, a watercraft, and what is wrapped for transport, worked by hand."""

from __future__ import annotations

from tests.procedures.boat import Boat

GODWIT = Boat(
    "Godwit, 22 ft pontoon boat, folding canopy",
    "pontoon-boat",
    {
        "fuel": "petrol", "fuel_vents": "1", "place": "outdoors", "tools_out": "9", "support": "trailer",
        "gates": "3",
        "canopy": "folding", "vent_inside": "yes", "boat_length": "22 ft", "beam": "8 ft 6 in", "edge_drop": "6 in",
        "fence_height": "28 in", "ridge_height": "52 in", "end_rise": "40 in", "ridge_to_edge": "84 in",
        "motor_reach": "24 in", "motor_depth": "30 in", "deck_to_frame": "6 in", "holes": "2",
    },
    {
        # 2 x 84 in + 12 in = 180 in
        "film_width": "15 ft", "roll_width": "16 ft",
        # 22 ft + 2 x 46 in + 12 in = 30 ft 8 in, + 54 in over the outboard = 35 ft 2 in
        "motor_extra": "4' 6\"", "film_length": "36 ft",
        # wider than 8 ft: three rows; 22 ft / 5 ft: five bays, four posts a row
        "rows": "3", "posts": "12", "cross_straps": "6",
        # 2 x (22 ft + 8 ft 6 in) + 3 ft = 64 ft
        "perimeter_band": "64 ft", "belly_bands": "3", "belly_band_each": "4 ft", "frame_buckles": "9",
        "buckles": "16",
    },
    frozenset({"main-battery"}),
)

BITTERN = Boat(
    "Bittern, 18 ft electric pontoon boat with a hard top, on blocks",
    "pontoon-boat",
    {
        "fuel": "electric", "fuel_vents": "0", "place": "outdoors", "tools_out": "9", "support": "blocks",
        "gates": "2",
        "canopy": "fixed", "canopy_height": "78 in", "vent_inside": "no", "boat_length": "18 ft", "beam": "8 ft",
        "edge_drop": "6 in", "fence_height": "26 in", "ridge_height": "84 in", "end_rise": "60 in",
        "ridge_to_edge": "112 in", "motor_reach": "18 in", "motor_depth": "26 in", "deck_to_frame": "5 in",
        "holes": "0",
    },
    # 2 x 112 in + 12 in = 236 in = 19 ft 8 in; 8 ft wide: one row of three posts
    {"film_width": "20 ft", "rows": "1", "posts": "3"},
    frozenset({
        "fold-canopy", "patch-holes", "open-fuel-vents", "cover-fuel-vents", "lead-vent-out",
    }),
)

SANDPIPER = Boat(
    "Sandpiper, 10 ft 6 in personal watercraft on a trailer",
    "personal-watercraft",
    {
        "fuel": "petrol", "fuel_vents": "1", "place": "outdoors", "tools_out": "6", "carried_by": "trailer",
        "vent_inside": "yes", "boat_length": "10 ft 6 in", "beam": "4 ft", "edge_drop": "6 in", "bar_height": "20 in",
        "ridge_height": "24 in", "ridge_to_edge": "42 in", "bow_to_stern": "14 ft", "band_to_keel": "12 in",
        "holes": "0",
    },
    {
        # 2 x 42 in + 12 in = 96 in, cut from a 12 ft roll; 14 ft + 12 in
        "film_width": "8 ft", "roll_width": "12 ft", "film_length": "15 ft",
        # 4 ft + 2 x 12 in + 18 in = 7 ft 6 in
        "belly_bands": "2", "belly_band_each": "8 ft", "buckles": "4", "vents": "2",
    },
    frozenset({"main-battery", "patch-holes"}),
)

ENGINE = Boat(
    "A drained diesel engine, into the shed",
    "machine-or-pallet",
    {
        "load": "engine", "fuel": "diesel", "fuel_vents": "0", "place": "outdoors", "tools_out": "7",
        "journey": "shed",
        "lifting_eyes": "2", "item_length": "5 ft", "item_width": "3 ft 6 in", "item_height": "4 ft", "holes": "0",
    },
    {
        # 3 ft 6 in + 2 x 4 ft + 12 in = 12 ft 6 in; 5 ft + 8 ft + 12 in = 14 ft
        "film_width": "13 ft", "roll_width": "14 ft", "film_length": "14 ft", "base_length": "7 ft",
        "base_width": "6 ft",
        # 2 x 8 ft 6 in + 3 ft = 20 ft; 70 cubic feet at 50 a bag
        "perimeter_band": "20 ft", "over_straps": "2", "over_strap_each": "15 ft", "drying_bags": "2",
    },
    frozenset({
        "battery-apart", "patch-holes", "open-fuel-vents", "cover-fuel-vents", "sea-corners", "no-vents-on-road",
    }),
)

CRATES = Boat(
    "Goods on a long pallet, by sea",
    "machine-or-pallet",
    {
        "load": "goods", "fuel": "none", "fuel_vents": "0", "place": "outdoors", "tools_out": "7", "journey": "sea",
        "lifting_eyes": "0", "item_length": "10 ft", "item_width": "4 ft", "item_height": "5 ft", "holes": "1",
    },
    # 4 ft + 10 ft + 12 in; 10 ft / 3 ft; 200 cubic feet at 50 a bag
    {"film_width": "15 ft", "over_straps": "4", "drying_bags": "4"},
    frozenset({
        "drain-fuel", "battery-apart", "open-fuel-vents", "cover-fuel-vents", "open-eyes", "vents-for-shed",
        "no-vents-on-road",
    }),
)

LOADER = Boat(
    "An electric loader on an open truck",
    "machine-or-pallet",
    {
        "load": "machine", "fuel": "electric", "fuel_vents": "0", "place": "outdoors", "tools_out": "7",
        "journey": "open_road", "lifting_eyes": "4", "item_length": "8 ft", "item_width": "4 ft",
        "item_height": "6 ft",
        "holes": "0",
    },
    {"film_width": "17 ft"},  # 4 ft + 12 ft + 12 in
    frozenset({
        "drain-fuel", "patch-holes", "open-fuel-vents", "cover-fuel-vents", "vents-for-shed", "sea-corners",
    }),
)
