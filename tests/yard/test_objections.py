"""An objection says as a phrase what the monitor says in English, and every word of it can be translated."""

from __future__ import annotations

import pytest

from coach.core.monitor import SENTENCES, Finding
from coach.core.monitor_values import Doubt
from coach.view.texts import filled
from coach.yard.objections import objection_of
from tests.language.pseudo import escaped, pseudo

DOUBT = Doubt("%(taped)s vents taped, the boat has %(vents)s", {"taped": 1, "vents": 2})


@pytest.mark.parametrize("sentence", sorted(SENTENCES))
@pytest.mark.parametrize("doubt", [None, DOUBT])
def test_a_phrase_has_the_monitors_own_english(sentence: str, doubt: Doubt | None) -> None:
    for what, slots in (
        ("the flame went out without being lit", {}),
        ("lit by %(by)s for %(to)s", {"by": "ana", "to": "joel"}),
    ):
        finding = Finding(sentence, 7, what, slots, doubt)
        assert str(objection_of(finding)) == finding.text()


def test_no_part_of_it_stays_english() -> None:
    finding = Finding("proven", 7, "the flame is lit with no proof", {}, DOUBT)
    text = filled(objection_of(finding), "us", pseudo)
    assert escaped(text, ()) == [] and len(text) > len(finding.text())
