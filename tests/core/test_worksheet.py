"""A worksheet that is kept from key to key gives what working everything anew gives."""

from __future__ import annotations

from dataclasses import replace
from fractions import Fraction

import pytest
from hypothesis import given
from hypothesis import strategies as st

from coach.core.model import Procedure
from coach.core.numbers import Value, compute
from coach.core.quantity import Quantity
from coach.core.sizing.registry import FUNCTIONS
from coach.core.units import KINDS
from coach.core.worksheet import Worksheet
from coach.reader.load import load_procedure

SHIPPED = {id: load_procedure(id) for id in ("power-boat-trailer", "pontoon-boat", "sailing-boat-mast-up")}


def answers(procedure: Procedure, id: str) -> st.SearchStrategy[Value | None]:
    """What may be typed for a measure: plausible or not, or nothing any more."""
    measure = procedure.measures[id]
    if measure.kind == "yes_no":
        return st.sampled_from([True, False, None])
    if measure.kind == "choice":
        return st.sampled_from([*(option.id for option in measure.options), None])
    numbers = st.integers(-20, 4000).map(lambda n: Quantity(Fraction(n, 100), KINDS[measure.kind]))
    return st.one_of(numbers, st.none())


@pytest.mark.parametrize("id", SHIPPED)
@given(data=st.data())
def test_it_gives_what_working_all_anew_gives(id: str, data: st.DataObject) -> None:
    procedure = SHIPPED[id]
    sheet, measures = Worksheet(procedure, FUNCTIONS), dict[str, Value]()
    for name in data.draw(st.lists(st.sampled_from(list(procedure.measures)), max_size=25)):
        answer = data.draw(answers(procedure, name))
        if answer is None:
            measures.pop(name, None)
        else:
            measures[name] = answer
        found = sheet.numbers(measures)
        assert found == compute(procedure, measures, FUNCTIONS)
        assert list(found) == list(procedure.numbers)


def test_it_works_again_only_what_rests_on_the_measure() -> None:
    procedure, calls = SHIPPED["power-boat-trailer"], list[str]()

    def counted(name: str):  # type: ignore[no-untyped-def]
        impl = FUNCTIONS[name].impl

        def count(*given: object) -> object:
            calls.append(name)
            return impl(*given)

        return count

    functions = {name: replace(function, impl=counted(name)) for name, function in FUNCTIONS.items()}
    sheet = Worksheet(procedure, functions)
    measures: dict[str, Value] = {
        id: Quantity(Fraction(2), KINDS["length"]) for id, one in procedure.measures.items() if one.kind == "length"
    }
    sheet.numbers(measures)
    assert "outline_perimeter" in calls
    calls.clear()
    sheet.numbers({**measures, "ridge_to_edge": Quantity(Fraction(3, 2), KINDS["length"])})
    assert set(calls) == {"stocked_width", "propane_expected"}  # the roll, and the film's area for the fuel
