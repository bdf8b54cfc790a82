"""The notes beside the numbers: each has its source and short sentences, and says what our own numbers say."""

from __future__ import annotations

import re

from coach.core.sizing import frame, heat, notes, strap, thickness
from coach.core.sizing.constants import FOOT, MIL


def test_every_note_is_short_and_has_a_source() -> None:
    assert len({note.id for note in notes.NOTES}) == len(notes.NOTES)
    for note in notes.NOTES:
        assert note.source and note.subject
        sentences = re.split(r"(?<=[.:])\s+", note.text)
        assert all(len(sentence.split()) <= 22 for sentence in sentences), note.id


def test_the_notes_say_what_the_numbers_say() -> None:
    assert 0.9 * FOOT < thickness.film_span(thickness.TRADE_LOAD, 6 * MIL) < 1.2 * FOOT
    assert 1 - 1 / strap.capstan(1, 0.3, 3.14159265 / 2) < 0.40
    assert strap.BREAK_STRETCH_YARN > 5 * max(strap.BREAK_STRETCH_TRADE)
    assert heat.propane_expected(45) > 5 * heat.propane_least(45)
    assert frame.CAUTION_NOTE in {note.id for note in notes.notes_on("frame")}
    assert notes.notes_on("rope") == ()
