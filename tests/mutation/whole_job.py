"""One safe job with everything in it: conditions, a number, an own safeguard, an own debt, two flames, a further question, a
hold point."""

from __future__ import annotations

from dataclasses import replace

from coach.core.model import Procedure
from tests.prover.build import HOSE, SPOT, VENTS, after_flame, arrival, gate, item, length, number, procedure, step, when
from tests.prover.planted import DRIVE, PLUGS, TARP


def whole_job(timed: bool = True) -> Procedure:
    """The job; timed: the fire watch has a timer of its own, beside the kernel's."""
    beam, deep = length("beam", "4 ft", "16 ft"), replace(length("deep", "1 ft", "4 ft"), when=when("drive == sterndrive"))
    steps = [
        *arrival(), step("ask", asks=["drive", "beam", "hose"]), step("ask-deep", asks=["deep"]), step("plug", opens=["plugs"]),
        step("fold", when="drive == outboard", shows=["width"]), *gate(), step("gate-tarp", proves="tarp_wet"),
        step("read-back", hold=True, evidence=[item("reader", "second_person", role="fire_watch")]),
        step("weld", heat=True), step("belly"), step("shrink", heat=True, when="beam > 6 ft"), *after_flame(),
        step("unplug", clears="plugs", when="drive == outboard"), step("last-walk", uses=["reach"]),
    ]
    numbers = [number("width", "2 * beam + 1 ft", round="up to 1 ft"), number("reach", "if(drive == sterndrive, deep + width, width)")]
    steps = [one if timed or one.id != "hold-watch" else replace(one, evidence=()) for one in steps]
    return procedure(steps, [VENTS, SPOT, DRIVE, beam, deep, HOSE], numbers, [TARP], [PLUGS])
