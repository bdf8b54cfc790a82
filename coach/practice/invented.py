"""The invented boat and day of the demonstration: for the demonstration itself, the gallery of screens and the tests.

Knows nothing of: rules of the job, screens.
"""

from __future__ import annotations

from coach.practice.worker import Notes

BOAT = "Dunlin"
# 2026-11-02 07:30 UTC, a Monday in covering season; invented.
START = 1_793_604_600_000
NOTES = Notes(
    measures={
        "boat_length": "19 ft", "beam": "8 ft", "ridge_height": "30 in", "edge_drop": "7 in", "ridge_to_edge": "64 in",
        "windshield": "yes", "windshield_height": "20 in", "bow_to_stern": "22 ft", "bow_rise": "10 in", "stern_rise": "12 in",
        "sole_below": "14 in", "band_to_keel": "30 in", "drive": "outboard", "drive_reach": "24 in", "drive_depth": "28 in",
        "fuel": "petrol", "fuel_vents": "2", "place": "outdoors", "holes": "1", "tools_out": "12",
    }
)
