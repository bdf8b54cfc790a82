"""How fast the numbers are, as ratios in one run. Run by hand; it judges nothing and is not collected as a test.

    python tests/bench/bench_sizing.py

1. One keystroke: all numbers of the shipped trailer procedure brought up to date as the app does (a worksheet that
   works again what rests on the measure, and the one changed before it), over a key at each measure; against the same
   formulas worked with a general units library (pint), by the same functions.
2. A load list of 60 boats, and its waste against first-fit decreasing.
3. The published cutting instances.
"""

from __future__ import annotations

import itertools
import math
import re
import statistics
import sys
import time
from collections.abc import Callable
from fractions import Fraction
from pathlib import Path

import pint
import yaml

ROOT = Path(__file__).resolve().parents[2]
sys.path[:0] = [str(ROOT), str(ROOT / "tests" / "yard")]

from test_loadlist import day, stand

from coach.core.model import Procedure
from coach.core.numbers import Computed, compute
from coach.core.quantity import Quantity, parse_quantity
from coach.core.sizing.cutting import cut_plan, first_fit_decreasing
from coach.core.sizing.frame import Frame, check_frame, power_boat_stations
from coach.core.sizing.registry import FUNCTIONS
from coach.core.sizing.snow import SnowPolicy
from coach.core.worksheet import Worksheet
from coach.reader.load import load_procedure
from coach.yard.loadlist import load_list

PROCEDURE = "power-boat-trailer"
TYPED = {  # Dunlin, 19 ft
    "boat_length": "19 ft",
    "beam": "8 ft",
    "ridge_height": "31 in",
    "edge_drop": "7 in",
    "ridge_to_edge": "66 in",
    "windshield_height": "22 in",
    "bow_rise": "20 in",
    "stern_rise": "24 in",
    "sole_below": "20 in",
    "band_to_keel": "40 in",
    "bow_to_stern": "21 ft 4 in",
    "drive_reach": "18 in",
    "drive_depth": "34 in",
}
KIND_UNITS = {
    "length": "m",
    "area": "m**2",
    "mass": "kg",
    "force": "N",
    "pressure": "Pa",
    "speed": "m/s",
    "temperature": "K",
    "angle": "rad",
    "count": "",
    "ratio": "",
    "force_per_length": "N/m",
}
KEYS = 3  # keys to a measure
LITERAL = re.compile(r"(?<![\w.])(\d+(?:\.\d+)?) (in|ft|mil|m|cm|mm|lb|kg|deg)\b")
INNERMOST = re.compile(r"([a-z_]+)\(([^()]*)\)")
CALL = re.compile(r"([a-z_]+)\(")


def measures_of(procedure: Procedure) -> dict[str, Quantity | bool | str]:
    """Dunlin's measures for the procedure: what is not in the list above is answered no, or with its first option."""
    values: dict[str, Quantity | bool | str] = {}
    for id, measure in procedure.measures.items():
        if id in TYPED:
            values[id] = parse_quantity(TYPED[id], measure.kind)
        elif measure.kind == "yes_no":
            values[id] = True
        elif measure.kind == "choice":
            values[id] = measure.options[0].id
        elif measure.low is not None:
            values[id] = measure.low
    return values


def of_arity(impl: Callable[..., object], count: int) -> Callable[..., object]:
    """The function with just so many arguments, as pint's wrapper wants to see them."""
    shapes: dict[int, Callable[..., object]] = {
        1: lambda a: impl(a),
        2: lambda a, b: impl(a, b),
        3: lambda a, b, c: impl(a, b, c),
        4: lambda a, b, c, d: impl(a, b, c, d),
    }
    return shapes[count]


class WithPint:
    """The same numbers by pint: formulas compiled by Python once, quantities carried as pint carries them."""

    def __init__(self, procedure: Procedure, values: dict[str, Quantity | bool | str]) -> None:
        self.units = pint.UnitRegistry()
        self.names: dict[str, object] = {"__builtins__": {}}
        for name, function in FUNCTIONS.items():
            inputs = tuple(KIND_UNITS[kind] for kind in function.parameters)
            wrapped = self.units.wraps(KIND_UNITS[str(function.result)], inputs, strict=False)
            self.names[f"call_{name}"] = wrapped(of_arity(function.impl, len(inputs)))
        for id, value in values.items():
            kind = procedure.measures[id].kind
            self.names[id] = (
                self.units.Quantity(float(value.value), KIND_UNITS[kind]) if isinstance(value, Quantity) else value
            )
        self.texts = {id: n.formula.text for id, n in procedure.numbers.items()}
        self.work = [(id, self._compiled(n.formula.text), self._step(n)) for id, n in procedure.numbers.items()]
        self.order = self._ordered()

    def _compiled(self, text: str) -> object:
        def constant(match: re.Match[str]) -> str:
            name = f"constant_{len(self.names)}"
            self.names[name] = self.units.Quantity(float(match[1]), {"mil": "thou"}.get(match[2], match[2]))
            return name

        called = CALL.sub(r"call_\1(", " ".join(text.split()))  # a number may have the name of a function
        return compile(LITERAL.sub(constant, called), "formula", "eval")

    def _step(self, number: object) -> tuple[object, str] | None:
        rounding = number.rounding  # type: ignore[attr-defined]
        if rounding is None:
            return None
        unit = KIND_UNITS[number.kind]  # type: ignore[attr-defined]
        return self.units.Quantity(float(rounding.step.value), unit), rounding.direction

    def _ordered(self) -> list[tuple[str, object, tuple[object, str] | None]]:
        waiting, order, known = list(self.work), [], set(self.names)
        while waiting:
            ready = [item for item in waiting if set(item[1].co_names) <= known]  # type: ignore[attr-defined]
            if not ready:
                raise SystemExit(f"pint cannot work {[item[0] for item in waiting]}")
            order += ready
            known |= {item[0] for item in ready}
            waiting = [item for item in waiting if item not in ready]
        return order

    def all_from_text(self) -> dict[str, object]:
        """Every number, once, each formula read again from its text."""
        size, ready = len(self.names), self.order
        self.order = [(id, self._compiled(self.texts[id]), step) for id, _, step in self.order]
        found = self.all_numbers()
        for name in list(self.names)[size:]:
            del self.names[name]
        self.order = ready
        return found

    def all_parsed(self) -> dict[str, object]:
        """Every number, once, each formula worked by pint's own reader of expressions; only the calls are ours."""
        values = {id: value for id, value in self.names.items() if isinstance(value, self.units.Quantity)}
        for id, _code, rounding in self.order:
            values[id] = self._rounded(self._parsed(self.texts[id], values), rounding)
        return values

    def _parsed(self, text: str, values: dict[str, object]) -> object:
        text, known = " ".join(text.split()), dict(values)
        while called := INNERMOST.search(text):
            arguments = [self.units.parse_expression(part, **known) for part in called[2].split(",")]
            name = f"worked_{len(known)}"
            known[name] = self.names[f"call_{called[1]}"](*arguments)  # type: ignore[operator]
            text = text[: called.start()] + name + text[called.end() :]
        return self.units.parse_expression(text.replace(" mil", " thou"), **known)

    def all_numbers(self) -> dict[str, object]:
        """Every number, once."""
        names = dict(self.names)
        for id, code, rounding in self.order:
            names[id] = self._rounded(eval(code, names), rounding)
        return names

    def _rounded(self, value: object, rounding: tuple[object, str] | None) -> object:
        if rounding is None:
            return value
        step, direction = rounding
        ratio = self.units.Quantity(value / step).to("").magnitude  # type: ignore[operator]
        up = direction == "up"
        count = math.ceil(ratio - 1e-9) if up else math.floor(ratio + (0.5 if direction == "nearest" else 0))
        return count * step  # type: ignore[operator]


def median_ms(work: Callable[[], object], turns: int) -> float:
    """The median time of some turns, ms."""
    times = []
    for _ in range(turns):
        start = time.perf_counter()
        work()
        times.append((time.perf_counter() - start) * 1000)
    return statistics.median(times)


def keystroke() -> None:
    procedure = load_procedure(PROCEDURE)
    values = measures_of(procedure)
    ours = compute(procedure, values, FUNCTIONS)
    twin = WithPint(procedure, values)
    for theirs in (twin.all_numbers(), twin.all_parsed()):
        for id, found in ours.items():
            if found.value is None:
                raise SystemExit(f"{id} has no value: {found}")
            other = theirs[id]
            plain = other.to_base_units().magnitude if isinstance(other, twin.units.Quantity) else other
            if not math.isclose(float(found.value.value), float(plain), rel_tol=1e-9):  # type: ignore[union-attr, arg-type]
                raise SystemExit(f"{id}: ours {found.value}, pint {other}")
    keys, worst = keystrokes(procedure, values)
    works = (keys, worst, lambda: compute(procedure, values, FUNCTIONS), twin.all_numbers, twin.all_from_text, twin.all_parsed)
    rounds = [[median_ms(work, 15) for work in works] for _ in range(9)]
    mine, most, whole, ready, text, parsed = (statistics.median(part) for part in zip(*rounds, strict=True))
    mine /= KEYS * len(TYPED)
    print(f"one keystroke, {len(ours)} numbers: ours {mine:.3f} ms, the measure that most rests on {most:.3f} ms")
    print(f"  every number worked again: {whole:.3f} ms")
    print(f"  pint, formulas worked by its own reader: {parsed:.3f} ms, {parsed / mine:.1f} times (all again: {parsed / whole:.1f})")
    print(f"  pint, formulas compiled beforehand: {ready:.3f} ms, {ready / mine:.1f} times (all again: {ready / whole:.1f})")
    print(f"  pint, formulas read from their text: {text:.3f} ms, {text / mine:.1f} times (all again: {text / whole:.1f})")


def keystrokes(
    procedure: Procedure, values: dict[str, Quantity | bool | str]
) -> tuple[Callable[[], object], Callable[[], object]]:
    """Some keys at each typed measure, one after the other; and a key at the measure that costs most."""
    sheet = Worksheet(procedure, FUNCTIONS)
    sheet.numbers(values)
    turn = itertools.count(1)

    def key(id: str) -> dict[str, Computed]:
        was = values[id]
        assert isinstance(was, Quantity)
        typed = Quantity(was.value + Fraction(next(turn) % 7, 10_000), was.dimension)
        return sheet.numbers({**values, id: typed})

    def cost(id: str) -> float:
        return median_ms(lambda: key(id), 9)

    most = max(TYPED, key=cost)
    return (lambda: [key(id) for id in TYPED for _ in range(KEYS)], lambda: key(most))


def loads() -> None:
    boats, stock = day(60, 3), stand(60, 5)
    load = load_list(boats, stock)
    spent = median_ms(lambda: load_list(boats, stock), 5)
    short = sum(shortage.thing == "film" for shortage in load.shortages)
    print(
        f"load list of 60 boats, 60 rolls: {spent:.0f} ms; waste {load.waste:.1f} kg, "
        f"first fit {load.first_fit:.1f} kg, "
        f"bound {load.bound:.1f} kg, {short} left out"
    )


def cuts() -> None:
    path = ROOT / "tests" / "core" / "sizing" / "cutting_instances.yaml"
    for instance in yaml.safe_load(path.read_text()):
        sizes = instance.get("pieces") or [size for size, count in instance["counts"] for _ in range(count)]
        pieces, stock = [size / 100 for size in sizes], instance["stock"] / 100
        plan = cut_plan(pieces, stock)
        spent = median_ms(lambda p=pieces, s=stock: cut_plan(p, s), 3)  # type: ignore[misc]
        print(
            f"cutting {instance['name']}: {plan.count} (optimum {instance['optimum']}, first fit "
            f"{first_fit_decreasing(pieces, stock).count}), proven {plan.is_proven}, {spent:.0f} ms"
        )


def frames() -> None:
    stations = power_boat_stations(5.8, 2.4, ((0, 0.1), (2.1, 0.86), (4.0, 1.0), (5.8, 0.66)))
    frame = Frame(5.8, stations, (2.1, 4.0), 0.6, 6672)
    print(f"frame under snow with cure: {median_ms(lambda: check_frame(frame, SnowPolicy(), 2900), 20):.2f} ms")


if __name__ == "__main__":
    keystroke()
    loads()
    cuts()
    frames()
