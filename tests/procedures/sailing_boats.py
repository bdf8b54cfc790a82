"""Sailing boats with their masts down and up, worked by hand."""

from __future__ import annotations

from tests.procedures.boat import Boat

CURLEW = Boat(
    "Curlew, 34 ft sloop, mast down, fin keel, fuel vent in the cockpit",
    "sailing-boat-mast-down",
    {
        "fuel": "diesel", "fuel_vents": "1", "place": "outdoors", "tools_out": "11", "support": "stands",
        "stands": "6",
        "keel": "fin", "vent_inside": "yes", "stanchions": "yes", "mast_length": "44 ft", "mast_ahead": "4 ft",
        "mast_behind": "7 ft", "boat_length": "34 ft", "beam": "11 ft", "edge_drop": "7 in", "ridge_height": "60 in",
        "ridge_to_edge": "98 in", "band_to_hull": "30 in", "bow_to_stern": "41 ft", "holes": "3",
    },
    {
        # 2 x 98 in + 12 in = 208 in = 17 ft 4 in
        "film_width": "18 ft", "roll_width": "20 ft",
        # 41 ft + 12 in + 2 ft = 44 ft; 4 ft + 7 ft + 4 ft for the ends
        "film_length": "44 ft", "end_film": "15 ft",
        # four bays of 34 ft / 5 = 6.8 ft; 2 x 4 + 1 straps; 34 ft / 5 ft = 6.8, so 7 bands
        "crutches": "4", "cross_straps": "9", "belly_bands": "7",
        # 2 x sqrt(66^2 + 67^2) = 188.1 in, + 36 in = 224.1 in = 18.7 ft
        "cross_strap_each": "19 ft",
        # 11 ft + 2 x 30 in + 18 in = 17 ft 6 in
        "belly_band_each": "18 ft",
    },
    frozenset({"main-battery"}),
)

RUFF = Boat(
    "Ruff, 24 ft, mast down and no longer than the deck, cradle, no engine",
    "sailing-boat-mast-down",
    {
        "fuel": "none", "fuel_vents": "0", "place": "outdoors", "tools_out": "8", "support": "cradle",
        "keel": "lifting",
        "vent_inside": "no", "stanchions": "no", "mast_length": "24 ft", "mast_ahead": "0 in", "mast_behind": "0 in",
        "boat_length": "24 ft", "beam": "8 ft", "edge_drop": "6 in", "ridge_height": "40 in",
        "ridge_to_edge": "70 in",
        "band_to_hull": "22 in", "bow_to_stern": "29 ft", "holes": "0",
    },
    # 2 x 70 in + 12 in = 152 in = 12 ft 8 in; 29 ft + 12 in + 2 ft
    {"film_width": "13 ft", "film_length": "32 ft", "crutches": "3", "belly_bands": "5"},
    frozenset({
        "main-battery", "cap-stanchions", "wrap-ends", "patch-holes", "open-fuel-vents",
        "cover-fuel-vents",
        "lead-vent-out",
    }),
)

AVOCET = Boat(
    "Avocet, 30 ft, mast up, boom as the ridge, eleven wires",
    "sailing-boat-mast-up",
    {
        "fuel": "diesel", "fuel_vents": "1", "place": "outdoors", "tools_out": "10", "support": "stands",
        "stands": "5",
        "keel": "long", "vent_inside": "no", "stanchions": "no", "wires": "11", "boom_stays": "yes",
        "boat_length": "30 ft", "beam": "10 ft", "edge_drop": "6 in", "ridge_height": "54 in",
        "ridge_to_edge": "88 in",
        "band_to_hull": "28 in", "bow_to_mast": "15 ft", "mast_to_stern": "20 ft", "deck_below": "50 in",
        "holes": "1",
    },
    {
        # 2 x 88 in + 12 in = 188 in = 15 ft 8 in
        "film_width": "16 ft", "roll_width": "16 ft",
        # 15 ft + 6 in + 12 in = 16 ft 6 in; 20 ft + 18 in = 21 ft 6 in
        "film_fore": "17 ft", "film_aft": "22 ft", "film_length": "39 ft",
        # 30 ft in bays of 8 ft: four bays, three posts; 50 in - 1 in
        "posts": "3", "post_height": "4' 1\"", "cross_straps": "4", "frame_buckles": "6", "belly_bands": "6",
    },
    frozenset({"main-battery", "take-boom-off", "cap-stanchions", "lead-vent-out"}),
)

DOTTEREL = Boat(
    "Dotterel, 27 ft, mast up, boom taken off, twin keels, petrol auxiliary",
    "sailing-boat-mast-up",
    {
        "fuel": "petrol", "fuel_vents": "1", "place": "outdoors", "tools_out": "10", "support": "stands",
        "stands": "4",
        "keel": "twin", "vent_inside": "yes", "stanchions": "yes", "wires": "9", "boom_stays": "no",
        "boat_length": "27 ft", "beam": "9 ft", "edge_drop": "6 in", "ridge_height": "48 in",
        "ridge_to_edge": "80 in",
        "band_to_hull": "24 in", "bow_to_mast": "13 ft", "mast_to_stern": "18 ft", "deck_below": "44 in",
        "holes": "0",
    },
    # 2 x 80 in + 12 in = 172 in = 14 ft 4 in; 13 ft + 18 in; 18 ft + 18 in
    {"film_width": "15 ft", "film_fore": "15 ft", "film_aft": "20 ft"},
    frozenset({"main-battery", "set-boom", "patch-holes"}),
)
