"""The measuring itself: each fault, made on purpose, is found; the same screen without it passes."""

from __future__ import annotations

from dataclasses import replace

import pytest
from kivy.graphics import Color, Rectangle
from kivy.uix.floatlayout import FloatLayout
from kivy.uix.label import Label

from coach.tablet.theme import GATE_GAP, theme
from coach.tablet.widgets.body import ScrollBody
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.text import Paragraph
from coach.view.marks import Label as Mark
from coach.view.paper import Sheet
from tests.tablet.driver import Driver
from tests.tablet.measure import (
    close_targets,
    cut_texts,
    faults,
    overlapping_texts,
    sheet_faults,
    small_targets,
    weak_texts,
)


def place(*widgets: object) -> FloatLayout:
    """A layout that holds widgets where they say."""
    layout = FloatLayout()
    for widget in widgets:
        layout.add_widget(widget)
    return layout


def test_a_text_higher_than_its_box_is_cut() -> None:
    with Driver((800, 600)) as drive:
        label = Label(
            text="two\nlines", font_size=40, size_hint=(None, None), size=(300, 60), pos=(10, 10), color=theme.ink
        )
        drive.show(place(label))
        assert cut_texts(drive) == ["'two\\nlines': text (90, 98) in a box of 300 x 60"]
        label.height = 110
        drive.settle()
        assert cut_texts(drive) == []


def test_a_broken_word_is_found() -> None:
    with Driver((800, 600)) as drive:
        drive.show(place(Paragraph(words="extinguisher", size_hint_x=None, width=120, pos=(10, 10))))
        assert cut_texts(drive) == ["'extinguisher': the word 'extinguisher' is wider than its box of 120"]


def test_a_label_that_sticks_out_of_its_holder_is_found_but_not_one_that_is_scrolled_away() -> None:
    with Driver((800, 600)) as drive:
        holder = FloatLayout(size_hint=(None, None), size=(200, 100), pos=(0, 0))
        holder.add_widget(
            Label(text="outside", font_size=30, size_hint=(None, None), size=(160, 50), pos=(100, 20), color=theme.ink)
        )
        drive.show(place(holder))
        assert cut_texts(drive) == ["'outside': sticks out of FloatLayout"]
    with Driver((800, 600)) as drive:
        body = ScrollBody()
        for number in range(30):
            body.add_widget(Paragraph(words=f"line {number}"))
        drive.show(body)
        assert faults(drive) == []


def test_texts_on_one_another_are_found() -> None:
    with Driver((800, 600)) as drive:
        second = Paragraph(words="second", size_hint_x=None, width=300, pos=(60, 20))
        drive.show(place(Paragraph(words="first text", size_hint_x=None, width=300, pos=(10, 10)), second))
        assert overlapping_texts(drive) == ["'first text' lies on 'second'"]
        second.y = 100
        drive.settle()
        assert overlapping_texts(drive) == []


def test_small_and_close_targets_are_found() -> None:
    with Driver((800, 600)) as drive:
        big = BigButton(words="Big", size_hint=(None, None), width=300, pos=(10, 10), gate=True)
        small = BigButton(words="Small", size_hint=(None, None), width=40, height=40, pos=(10, 170))
        drive.show(place(big, small))
        small.width, small.height = 60, 94
        drive.settle()
        assert small_targets(drive) == ["BigButton 'Small': 9.5 x 14.9 mm, at least 15 mm"]
        assert close_targets(drive, GATE_GAP) == ["BigButton 'Big' and BigButton 'Small': 5.4 mm apart, at least 13 mm"]
        assert close_targets(drive) == []  # 3 mm are enough elsewhere
        small.disabled = True
        assert small_targets(drive) == close_targets(drive, GATE_GAP) == []


@pytest.mark.parametrize(("colour", "weak"), [("#767676", True), ("#595959", False)])
def test_a_weak_text_is_found_from_the_pixels(colour: str, weak: bool) -> None:
    # WCAG 2.2 by computation: #767676 on white is 4.54, #595959 on white is 7.0047.
    with Driver((800, 600)) as drive:
        layout = place(
            Label(
                text="Read me",
                font_size=60,
                bold=True,
                size_hint=(None, None),
                size=(400, 100),
                pos=(50, 50),
                color=colour,
            )
        )
        with layout.canvas.before:
            Color(1, 1, 1, 1)
            Rectangle(size=(800, 600))
        drive.show(layout)
        assert weak_texts(drive) == (["'Read me': contrast 4.54, at least 7"] if weak else [])


def test_labels_of_a_drawing_that_lie_on_one_another_or_leave_the_paper_are_found() -> None:
    first = Mark(10, 10, 20, 5, "first", 4.2, "ink")
    sheet = Sheet(
        100, 60, 1.0, (first, replace(first, left=28, words="second"), replace(first, left=85, words="third"))
    )
    assert sheet_faults(sheet, "crowd") == ["crowd: 'third' leaves the paper", "crowd: 'first' lies on 'second'"]
    apart = Sheet(100, 60, 1.0, (first, replace(first, left=31, words="second")))
    assert sheet_faults(apart, "crowd") == []
