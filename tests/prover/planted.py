"""Whole jobs with one fault planted in each, by kind: what is planted, and which finding must name it.

The kinds are faults that an author makes in a file, or would make if the reader let it through. `clean` holds jobs that
look odd and are safe: none of them may be blamed.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass, replace

from coach.core.formula import parse_formula
from coach.core.gate import SAFEGUARDS
from coach.core.model import Check, OwnDebt, OwnSafeguard, Procedure, Step
from coach.core.quantity import Quantity, parse_quantity
from tests.prover.build import (
    HERE, HOSE, SPOT, VENTS, after_flame, arrival, choice, gate, heating, item, length, number, procedure, step,
)


@dataclass(frozen=True)
class Planted:
    """make: the faulty procedure; codes: the problems that must be found, and no others; about: what is named."""

    kind: str
    make: Callable[[], Procedure]
    codes: frozenset[str]
    about: str


PLUGS = OwnDebt("plugs", "Plugs in the scuppers", "Rain must run off.", "Take the plugs out.", HERE)
TARP = OwnSafeguard("tarp_wet", "Tarp is wet", "Is the tarp wet?", "A dry tarp burns.", "Wet it again.", 60, HERE)
FUEL = choice("fuel", "petrol", "diesel", "none")
DRIVE = choice("drive", "outboard", "sterndrive")
BEAM = length("beam", "4 ft", "16 ft")


def changed(made: Procedure, id: str, **new: object) -> Procedure:
    """The procedure with one step changed."""
    stages = tuple(
        replace(stage, steps=tuple(replace(s, **new) if s.id == id else s for s in stage.steps)) for stage in made.stages
    )
    return replace(made, stages=stages)


def without_step(made: Procedure, id: str) -> Procedure:
    """The procedure without one step; what needed it needs what it needed."""
    gone = next(s for s in made.steps if s.id == id)
    steps = []
    for s in made.steps:
        if s.id != id:
            needs = tuple(dict.fromkeys(n for need in s.needs for n in (gone.needs if need == id else (need,))))
            steps.append(replace(s, needs=needs))
    return replace(made, stages=(replace(made.stages[0], steps=tuple(steps)),))


def moved(made: Procedure, id: str, after: str) -> Procedure:
    """The procedure with one step put after another, everything in one chain again."""
    one = next(s for s in made.steps if s.id == id)
    rest = [s for s in made.steps if s.id != id]
    at = next(i for i, s in enumerate(rest) if s.id == after) + 1
    return chained(made, [*rest[:at], one, *rest[at:]])


def chained(made: Procedure, steps: list[Step]) -> Procedure:
    """These steps in one chain."""
    linked = [replace(s, needs=(steps[i - 1].id,) if i else ()) for i, s in enumerate(steps)]
    return replace(made, stages=(replace(made.stages[0], steps=tuple(linked)),))


def _plugged(*undoing: Step) -> Procedure:
    before = [step("plug", opens=["plugs"])]
    return heating(before=before, after=undoing, debts=[PLUGS])


def _count(number: int) -> Quantity:
    return parse_quantity(str(number), "count")


PLANTED: tuple[Planted, ...] = (
    Planted("gate step missing", lambda: without_step(heating(), "gate-wind"), frozenset({"V106"}), "wind"),
    Planted("gate step on some boats only", lambda: changed(heating(before=[step("ask", asks=["drive"])], measures=[DRIVE]), "gate-gas",
            when=step("x", when="drive == outboard").when), frozenset({"V221"}), "shrink"),
    Planted("gate after the flame", lambda: moved(heating(), "gate-area", "shrink"), frozenset({"V223"}), "shrink"),
    Planted("two steps show one safeguard", lambda: heating(before=[step("again", proves="wind")]), frozenset({"V107"}), "wind"),
    Planted("own safeguard never shown", lambda: heating(safeguards=[TARP]), frozenset({"V106"}), "tarp_wet"),
    Planted("debt without undoing", lambda: _plugged(), frozenset({"V108"}), "plugs"),
    Planted("kernel's debt without undoing", lambda: without_step(heating(), "close-cylinder"), frozenset({"V108"}), "open_cylinder"),
    Planted("debt undone on one branch only", lambda: heating(
        before=[step("ask", asks=["drive"]), step("plug", opens=["plugs"]), step("count", when="drive == outboard", asks=["plugs_in"])],
        after=[step("unplug", clears="plugs", evidence=[item("out", "count", equals="plugs_in")])], debts=[PLUGS],
        measures=[DRIVE, replace(VENTS, id="plugs_in")]), frozenset({"V243", "V255"}), "unplug"),
    Planted("tape count tied to the vents", lambda: changed(heating(), "untape", evidence=(item("removed", "count", equals="fuel_vents"),)),
            frozenset({"V222", "V255"}), "taped_vents"),
    Planted("cylinder closed before the last flame", lambda: heating(step("weld", heat=True), step("close-early", clears="open_cylinder"), step("shrink", heat=True)),
            frozenset({"V109"}), "open_cylinder"),
    Planted("tape off before the flame", lambda: moved(heating(step("weld", heat=True), step("shrink", heat=True)), "untape", "weld"),
            frozenset({"V224"}), "shrink"),
    Planted("cylinder closed between two flames", lambda: moved(heating(step("weld", heat=True), step("shrink", heat=True)), "close-cylinder", "weld"),
            frozenset({"V224"}), "shrink"),
    Planted("circle in needs", lambda: changed(heating(before=[step("a"), step("b")]), "a", needs=("arrive", "b")), frozenset({"V223"}), "a"),
    Planted("circle over two branches", lambda: heating(
        before=[step("ask", asks=["drive"]), step("a", when="drive == outboard", needs=["ask", "b"]), step("b", when="drive == sterndrive", needs=["ask", "a"])],
        measures=[DRIVE]), frozenset({"V223"}), "a"),
    Planted("a step needs itself", lambda: changed(heating(before=[step("a")]), "a", needs=("arrive", "a")), frozenset({"V223"}), "a"),
    Planted("need names no step", lambda: changed(heating(), "last-walk", needs=("nothing",)), frozenset({"V101"}), "last-walk"),
    Planted("condition reads a later answer", lambda: heating(before=[step("loose", when="fuel == petrol")], after=[step("ask", asks=["fuel"])], measures=[FUEL]),
            frozenset({"V241"}), "loose"),
    Planted("condition reads an answer nobody asks", lambda: heating(before=[step("loose", when="fuel == petrol")], measures=[FUEL]),
            frozenset({"V241"}), "loose"),
    Planted("number uses a later measure", lambda: heating(before=[step("cut", shows=["width"]), step("tape", asks=["beam"])], measures=[BEAM],
            numbers=[number("width", "2 * beam")]), frozenset({"V243"}), "cut"),
    Planted("measure asked on one branch, used on all", lambda: heating(
        before=[step("ask", asks=["drive"]), step("deep", when="drive == sterndrive", asks=["beam"]), step("cut", shows=["width"])],
        measures=[DRIVE, BEAM], numbers=[number("width", "2 * beam")]), frozenset({"V243"}), "cut"),
    Planted("question of some boats used on all", lambda: heating(
        before=[step("ask", asks=["drive", "beam"]), step("cut", shows=["width"])],
        measures=[DRIVE, replace(BEAM, when=step("x", when="drive == sterndrive").when)], numbers=[number("width", "2 * beam")]),
        frozenset({"V243"}), "cut"),
    Planted("question whose condition is asked later", lambda: heating(
        before=[step("first", asks=["beam"]), step("ask", asks=["drive"])],
        measures=[DRIVE, replace(BEAM, when=step("x", when="drive == sterndrive").when)]), frozenset({"V242"}), "first"),
    Planted("unit slip", lambda: heating(before=[step("tape", asks=["beam"]), step("cut", shows=["width"])], measures=[BEAM],
            numbers=[number("width", "beam * beam")]), frozenset({"F213"}), "width"),
    Planted("step of no boat", lambda: heating(before=[step("tape", asks=["beam"]), step("never", when="beam > 20 ft")], measures=[BEAM]),
            frozenset({"V231"}), "never"),
    Planted("step against itself", lambda: heating(before=[step("ask", asks=["fuel"]), step("never", when="fuel == petrol and fuel == diesel")], measures=[FUEL]),
            frozenset({"V231"}), "never"),
    Planted("evidence nothing can meet", lambda: heating(after=[step("measure", evidence=[item("drop", "number", quantity="length",
            low=parse_quantity("8 in", "length"), high=parse_quantity("6 in", "length"))])]), frozenset({"V221"}), "measure"),
    Planted("answer that is never accepted", lambda: heating(after=[step("look", evidence=[item("cover", "choice", options=DRIVE.options, accept=("tight",))])]),
            frozenset({"V221"}), "look"),
    Planted("evidence nothing can meet on boats of three vents", lambda: heating(
        before=[step("look", when="pieces == 6", evidence=[item("cut", "count", low=_count(3), high=_count(2))])],
        numbers=[number("pieces", "2 * fuel_vents", "count")]), frozenset({"V221"}), "look"),
    Planted("fewer tapes than a boat may have", lambda: changed(heating(), "untape", evidence=(item("removed", "count", high=_count(6)),)),
            frozenset({"V222", "V255"}), "taped_vents"),
    Planted("more tapes than a boat may have", lambda: changed(heating(), "untape", evidence=(item("removed", "count", low=_count(2)),)),
            frozenset({"V222", "V255"}), "taped_vents"),
    Planted("a count held against a measure and a limit", lambda: heating(
        before=[step("look", asks=["plugs_in"], evidence=[item("out", "count", equals="plugs_in", high=_count(5))])],
        measures=[replace(VENTS, id="plugs_in")]), frozenset({"V114"}), "look"),
    Planted("a fire watch that no flame begins", lambda: heating(before=[step("spark", opens=["fire_watch"])]), frozenset({"V222", "V255"}), "fire_watch"),
    Planted("undoing makes owed again", lambda: _plugged(step("unplug", clears="plugs", opens=["plugs"])), frozenset({"V222", "V225", "V257"}), "unplug"),
    Planted("undoes what nothing opens", lambda: heating(after=[step("unplug", clears="plugs")], debts=[PLUGS]), frozenset({"V111"}), "unplug"),
    Planted("a last good day that is asked after its gate step", lambda: heating(after=[step("ask", asks=["hose"])], measures=[HOSE]),
            frozenset({"V243"}), "gate-leak_test"),
    Planted("a last good day that nobody asks", lambda: heating(measures=[HOSE]), frozenset({"V243"}), "gate-leak_test"),
    Planted("a last good day of some boats", lambda: heating(before=[step("ask", asks=["drive", "hose"])],
            measures=[DRIVE, replace(HOSE, when=step("x", when="drive == outboard").when)]), frozenset({"V115"}), "hose"),
    Planted("a condition that reads a day", lambda: heating(before=[step("ask", asks=["hose"]), step("cut", when="hose == beam")], measures=[HOSE, BEAM]),
            frozenset({"V119"}), "cut"),
    Planted("a count held against a length", lambda: heating(before=[step("ask", asks=["beam"], evidence=[item("n", "count", at_least="beam")])], measures=[BEAM]),
            frozenset({"V116"}), "ask"),
    Planted("a length that is to be equal to the last digit", lambda: heating(
            before=[step("ask", asks=["beam"], evidence=[item("cut", "number", quantity="length", equals="beam")])], measures=[BEAM]), frozenset({"V117"}), "ask"),
    Planted("evidence held against a number that is known later", lambda: heating(
            before=[step("cut", evidence=[item("cut", "number", quantity="length", at_least="width")]), step("ask", asks=["beam"])], measures=[BEAM],
            numbers=[number("width", "2 * beam")]), frozenset({"V243"}), "cut"),
    Planted("evidence held against what no boat gives", lambda: heating(
            before=[step("ask", asks=["beam"]), step("cut", evidence=[item("cut", "number", quantity="length", at_least="width")])], measures=[BEAM],
            numbers=[number("width", "beam * (beam / (beam - beam))")]), frozenset({"V221"}), "cut"),
    Planted("the fire watch ended by a supervisor", lambda: changed(heating(), "hold-watch", evidence=(item("who", "second_person", role="supervisor"),)),
            frozenset({"V118"}), "hold-watch"),
    Planted("a strict check that no boat meets", lambda: replace(heating(before=[step("ask", asks=["beam"])], measures=[BEAM]),
            checks=(Check("never", parse_formula("beam > 90 ft"), "Too long.", ("beam",), HERE, strict=True),)), frozenset({"V232"}), "never"),
    Planted("number that cannot be worked out", lambda: heating(
        before=[step("tape", asks=["beam"]), step("cut", when="ratio > 2")], measures=[BEAM],
        numbers=[number("ratio", "beam / (beam - 4 ft)", "ratio")]), frozenset({"V221"}), "cut"),
)

CLEAN: dict[str, Callable[[], Procedure]] = {
    "plain": heating,
    "a last good day": lambda: heating(before=[step("ask", asks=["hose"])], measures=[HOSE]),
    "held against numbers": lambda: heating(
        before=[step("ask", asks=["beam"]), step("cut", evidence=[
            item("cut", "number", quantity="length", equals="width", within=parse_quantity("1 in", "length")), item("n", "count", at_least="posts"),
            item("most", "count", at_most="posts"), item("who", "second_person", role="supervisor")])],
        measures=[BEAM], numbers=[number("width", "2 * beam"), number("posts", "beam / 30 in", "count")]),
    "confirmed by a technician when the job has changed hands": lambda: heating(
        before=[step("plug", opens=["plugs"])], debts=[PLUGS],
        after=[step("unplug", clears="plugs", evidence=[item("who", "second_person", role="technician")])]),
    "strict check": lambda: replace(heating(before=[step("ask", asks=["beam"])], measures=[BEAM]),
        checks=(Check("long", parse_formula("beam > 5 ft or fuel_vents == 0"), "Too short.", ("beam", "fuel_vents"), HERE),)),
    "two flames": lambda: heating(step("weld", heat=True), step("belly"), step("shrink", heat=True)),
    "own safeguard": lambda: procedure([*arrival(), *gate(), step("gate-tarp", proves="tarp_wet"), step("shrink", heat=True), *after_flame()],
                                       [VENTS, SPOT], safeguards=[TARP]),
    "own debt": lambda: _plugged(step("unplug", clears="plugs")),
    "undone by a count that is asked before": lambda: heating(
        before=[step("count", asks=["plugs_in"]), step("plug", opens=["plugs"])],
        after=[step("unplug", clears="plugs", evidence=[item("out", "count", equals="plugs_in")])], debts=[PLUGS],
        measures=[replace(VENTS, id="plugs_in")]),
    "undone before it is owed": lambda: heating(before=[step("unplug", clears="plugs"), step("plug", opens=["plugs"])], debts=[PLUGS]),
    "undone only on some boats, says its condition": lambda: heating(
        before=[step("ask", asks=["drive"]), step("plug", opens=["plugs"])], after=[step("unplug", clears="plugs", when="drive == outboard")],
        debts=[PLUGS], measures=[DRIVE]),
    "used only where asked": lambda: heating(
        before=[step("ask", asks=["drive"]), step("deep", when="drive == sterndrive", asks=["beam"]),
                step("cut", shows=["width"], needs=["deep"])],
        measures=[DRIVE, BEAM], numbers=[number("width", "if(drive == sterndrive, beam, 1 ft)")]),
    "no flame at all": lambda: procedure([step("ask", asks=["fuel"]), step("loose", when="fuel == petrol"), step("end")], [FUEL]),
    "watch held between two flames": lambda: moved(heating(step("weld", heat=True), step("shrink", heat=True)), "hold-watch", "weld"),
    "watch held between two flames, by the kernel's minutes": lambda: changed(
        moved(heating(step("weld", heat=True), step("shrink", heat=True)), "hold-watch", "weld"), "hold-watch", evidence=()),
    "undoing makes something else owed": lambda: heating(
        before=[step("plug", opens=["plugs"])], after=[step("unplug", clears="plugs", opens=["rags"]), step("fetch", clears="rags")],
        debts=[PLUGS, replace(PLUGS, id="rags")]),
    "a flame makes a debt of its own": lambda: heating(step("shrink", heat=True, opens=["plugs"]), after=[step("unplug", clears="plugs")], debts=[PLUGS]),
    "a step for boats of three vents": lambda: heating(
        before=[step("look", when="pieces == 6")], numbers=[number("pieces", "2 * fuel_vents", "count")]),
    "a flame on some boats": lambda: heating(step("shrink", heat=True, when="drive == outboard"), before=[step("ask", asks=["drive"])], measures=[DRIVE]),
    "gate in no order": lambda: procedure([*arrival(), *[replace(s, needs=("arrive",)) for s in gate()],
                                           step("shrink", heat=True, needs=[f"gate-{id}" for id in SAFEGUARDS]), *after_flame()], [VENTS, SPOT]),
}
