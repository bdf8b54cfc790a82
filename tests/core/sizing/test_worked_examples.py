"""Runs worked_examples.yaml: every outside check of the sizing functions, one test each.

Quantities of the table are read by pint, not by our own parser, so that a unit of ours cannot agree with itself.
"""

from __future__ import annotations

import importlib
from pathlib import Path
from typing import Any

import pint
import pytest
import yaml

from coach.core.sizing.extinguisher import meets, parse_rating
from coach.core.sizing.upright import Timber

UNITS = pint.UnitRegistry(autoconvert_offset_to_baseunit=True)
UNITS.define("psf = pound_force / foot ** 2")
EXAMPLES: list[dict[str, Any]] = yaml.safe_load((Path(__file__).parent / "worked_examples.yaml").read_text())
PRESETS = {"dry": Timber(wet=False)}
STATUSES = {"verified", "code", "memory", "computed"}


def read(value: object) -> object:
    """A table entry as a plain SI number; numbers, yes/no and unknown words stay as they are."""
    if isinstance(value, list):
        return [tuple(read(part) for part in item) if isinstance(item, list) else read(item) for item in value]
    if not isinstance(value, str) or value in PRESETS:
        return PRESETS.get(value, value) if isinstance(value, str) else value
    number, unit = value.split(" ", 1)
    return float(UNITS.Quantity(float(number), unit).to_base_units().magnitude)


def answer(example: dict[str, Any]) -> object:
    """What our function gives for the example."""
    inputs = example["inputs"]
    if example["function"] == "meets":
        return meets(parse_rating(inputs["label"]), parse_rating(inputs["required"]))
    module, name = example["function"].split(".")
    function = getattr(importlib.import_module(f"coach.core.sizing.{module}"), name)
    arguments = {key: read(value) for key, value in inputs.items()}
    if example.get("check_formula"):  # a bridge is larger than any boat: lengths go in thousandths, and forces follow
        arguments |= {"span": arguments["span"] / 1000, "sag": arguments["sag"] / 1000}
        return function(**arguments) * 1000
    result = function(**arguments)
    part = example.get("result")
    if part is None:
        return result
    return result[part] if isinstance(part, int) else getattr(result, part)


def size_of(expected: object) -> float:
    """How large one unit of the expected value is in SI."""
    unit = expected.split(" ", 1)[1] if isinstance(expected, str) else ""
    if unit in ("degC", "degF"):
        unit = f"delta_{unit}"
    return float(UNITS.Quantity(1.0, unit).to_base_units().magnitude)


def test_the_table_is_complete() -> None:
    names = [example["name"] for example in EXAMPLES]
    assert len(names) == len(set(names))
    assert len(names) >= 150
    for example in EXAMPLES:
        assert example["status"] in STATUSES, example["name"]
        assert example["source"].strip(), example["name"]


@pytest.mark.parametrize("example", EXAMPLES, ids=[example["name"] for example in EXAMPLES])
def test_worked_example(example: dict[str, Any]) -> None:
    expected, tolerance, ours = example["expected"], str(example["tolerance"]), answer(example)
    if tolerance == "exact":
        assert ours == expected
        return
    due = read(expected)
    if tolerance.startswith("rel "):
        assert ours == pytest.approx(due, rel=float(tolerance[4:]), abs=0)
        return
    assert ours == pytest.approx(due, abs=float(tolerance) * size_of(expected), rel=0)
