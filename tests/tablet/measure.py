"""Measures a screen that is being shown: texts whole and apart, targets large enough, contrast from the pixels.

    with Driver((800, 1280)) as drive:
        drive.begin(app)
        assert faults(drive) == []

Each function returns what is wrong as lines for a person; an empty list means that all is well.
Limits: touch 15 mm, on the gate 20 mm with 13 mm between; contrast 7:1 (WCAG 2.2, 1.4.6).
"""

from __future__ import annotations

from collections.abc import Iterator
from itertools import combinations
from math import ceil

import numpy as np
import numpy.typing as npt
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.label import Label
from kivy.uix.scrollview import ScrollView
from kivy.uix.textinput import TextInput
from kivy.uix.widget import Widget

from coach.tablet.theme import GATE_GAP, GATE_TOUCH, TOUCH, theme
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.text import natural_width
from coach.view.contrast import TEXT_LIMIT, ratio
from coach.view.marks import Label as PictureLabel
from coach.view.paper import Sheet
from tests.tablet.driver import Box, Driver, Window, visible_box, window_box, words_of

SLACK = 1.5  # pixels
GAP = 3.0  # millimetres between targets
Pixels = npt.NDArray[np.unsignedinteger]





def faults(drive: Driver, gate: bool = False) -> list[str]:
    """All that is wrong with what is in sight; with `gate` the larger targets and gaps are asked for."""
    return [*layout_faults(drive, gate), *weak_texts(drive)]


def layout_faults(drive: Driver, gate: bool = False) -> list[str]:
    """The same without what takes a drawn frame."""
    return [
        *cut_texts(drive),
        *overlapping_texts(drive),
        *small_targets(drive, GATE_TOUCH if gate else TOUCH),
        *close_targets(drive, GATE_GAP if gate else GAP),
        *picture_faults(drive),
    ]


def stops(drive: Driver, most: int = 0) -> Iterator[None]:
    """Stop at each part of what scrolls, from the top down, so that every text and target is in sight at least once.

    most: stops of one body after the first, the last of them at its end; 0 for as many as it takes.
    """
    bodies = [each for each in drive.all(ScrollView) if visible_box(each) and each.viewport_size[1] > each.height + 1]
    yield
    for body in bodies:
        hidden = body.viewport_size[1] - body.height
        parts = ceil(hidden / (0.8 * body.height))
        places = range(1, parts + 1) if not most or parts <= most else (*range(1, most), parts)
        for part in places:
            body.scroll_y = 1 - part / parts
            drive.lay()
            yield


def labels(drive: Driver) -> Iterator[Label]:
    """Every label in sight that shows a text."""
    for widget in drive.seen():
        if isinstance(widget, Label) and words_of(widget):
            yield widget


def cut_texts(drive: Driver) -> list[str]:
    """Texts larger than their label, labels that stick out of what holds them, words broken inside."""
    found = []
    for label in labels(drive):
        words = words_of(label)
        if label.texture_size[0] > label.width + SLACK or label.texture_size[1] > label.height + SLACK:
            found.append(
                f"{words!r}: text {tuple(label.texture_size)} in a box of {label.width:.0f} x {label.height:.0f}"
            )
        longest = max(words.split(), key=len)
        if natural_width(longest, label.font_size, label.bold) > label.width + SLACK:
            found.append(f"{words!r}: the word {longest!r} is wider than its box of {label.width:.0f}")
        holder = _bursts(label)
        if holder is not None:
            found.append(f"{words!r}: sticks out of {type(holder).__name__}")
    return found


def _bursts(widget: Widget) -> Widget | None:
    """The first holder that a widget sticks out of, up to the next scrolling one and the window."""
    box, holder = window_box(widget), widget.parent
    while holder is not None and holder is not Window and not isinstance(holder, ScrollView):
        if isinstance(holder.parent, ScrollView):
            return None
        if not _within(box, window_box(holder)):
            return holder
        holder = holder.parent
    return None


def _within(inner: Box, outer: Box) -> bool:
    return (
        inner[0] >= outer[0] - SLACK
        and inner[1] >= outer[1] - SLACK
        and inner[2] <= outer[2] + SLACK
        and inner[3] <= outer[3] + SLACK
    )


def ink_box(label: Label) -> Box:
    """Where the text of a label really is, as left, bottom, right, top in window pixels."""
    left, low, right, top = window_box(label)
    wide, high = label.texture_size
    middle = (low + top) / 2
    natural = min(wide, natural_width(words_of(label), label.font_size, label.bold))
    box_left = (left + right) / 2 - wide / 2
    start = {"left": box_left, "right": box_left + wide - natural}.get(label.halign, (left + right) / 2 - natural / 2)
    return start, middle - high / 2, start + natural, middle + high / 2


def overlapping_texts(drive: Driver) -> list[str]:
    """Pairs of texts that lie on one another."""
    shown = [(label, box) for label in labels(drive) if (box := _seen_ink(label)) is not None]
    return [
        f"{words_of(one)!r} lies on {words_of(two)!r}"
        for (one, first), (two, second) in combinations(shown, 2)
        if _overlap(first, second) and one.get_root_window() is two.get_root_window()
    ]


def _seen_ink(label: Label) -> Box | None:
    box, seen = ink_box(label), visible_box(label)
    if seen is None:
        return None
    cut = max(box[0], seen[0]), max(box[1], seen[1]), min(box[2], seen[2]), min(box[3], seen[3])
    return cut if cut[2] > cut[0] and cut[3] > cut[1] else None


def _overlap(one: Box, two: Box) -> bool:
    return (min(one[2], two[2]) - max(one[0], two[0]) > SLACK) and (min(one[3], two[3]) - max(one[1], two[1]) > SLACK)


def targets(drive: Driver) -> list[Widget]:
    """Everything in sight that takes a touch."""
    return [widget for widget in drive.seen() if isinstance(widget, ButtonBehavior | TextInput) and not widget.disabled]


def small_targets(drive: Driver, least: float = TOUCH) -> list[str]:
    """Targets smaller than so many millimetres in width or height."""
    limit = least * theme.mm - SLACK
    return [
        f"{_name(widget)}: {widget.width / theme.mm:.1f} x {widget.height / theme.mm:.1f} mm, at least {least:g} mm"
        for widget in targets(drive)
        if widget.width < limit or widget.height < limit
    ]


def close_targets(drive: Driver, gap: float = GAP) -> list[str]:
    """Pairs of targets nearer to one another than so many millimetres, edge to edge.

    A target that is partly scrolled out of sight is left out: it is measured where it is whole. What scrolls is held
    against what stands still only while nothing is scrolled yet.
    """
    found = []
    boxes = [(each, window_box(each)) for each in targets(drive) if visible_box(each) == window_box(each)]
    for (one, first), (two, second) in combinations(boxes, 2):
        if _scrolled(one) is not _scrolled(two):
            continue
        across = max(first[0], second[0]) - min(first[2], second[2])
        along = max(first[1], second[1]) - min(first[3], second[3])
        apart = max(across, along)
        if apart < gap * theme.mm - SLACK:
            found.append(f"{_name(one)} and {_name(two)}: {apart / theme.mm:.1f} mm apart, at least {gap:g} mm")
    return found


def _scrolled(widget: Widget) -> Widget | None:
    """The body that a widget stands in, if it is scrolled already."""
    holder = widget.parent
    while holder is not None and holder is not Window:
        if isinstance(holder, ScrollView):
            return holder if holder.scroll_y < 1 else None
        holder = holder.parent
    return None


def weak_texts(drive: Driver, least: float = TEXT_LIMIT) -> list[str]:
    """Texts whose strongest letter colour has less contrast to the commonest colour around it, from the pixels."""
    return [f"{words!r}: contrast {seen:.2f}, at least {least:g}" for words, seen in contrasts(drive) if seen < least]


def contrasts(drive: Driver) -> Iterator[tuple[str, float]]:
    """Every text that is wholly in sight (to 70 % of its height), and its contrast."""
    pixels = np.frombuffer(drive.pixels(), np.uint8).reshape(int(Window.height), int(Window.width), 3)
    for label in labels(drive):
        box = _seen_ink(label)
        if box is not None and box[3] - box[1] >= label.texture_size[1] * 0.7:
            yield words_of(label), contrast_in(pixels, box)


def contrast_in(pixels: Pixels, box: Box) -> float:
    """Contrast of a text in a box of the window: its strongest colour (three pixels or more) to the commonest one."""
    left, low, right, top = (max(0, round(edge)) for edge in box)
    part = pixels[low:top, left:right].reshape(-1, 3).astype(np.uint32)
    packed, counts = np.unique(part[:, 0] << 16 | part[:, 1] << 8 | part[:, 2], return_counts=True)
    behind = f"#{int(packed[counts.argmax()]):06x}"
    often = packed[counts >= 3]
    return max((ratio(f"#{colour:06x}", behind) for colour in _extremes(often)), default=1.0)


def _extremes(colours: Pixels) -> list[int]:
    """The lightest and the darkest of some colours."""
    if not len(colours):
        return []
    red, green, blue = colours >> 16, colours >> 8 & 255, colours & 255
    weight = 0.2126 * red + 0.7152 * green + 0.0722 * blue
    return [int(colours[weight.argmax()]), int(colours[weight.argmin()])]


def picture_faults(drive: Driver) -> list[str]:
    """Texts of drawings that leave the paper or lie on one another."""
    found = []
    for view in drive.all(PictureView):
        if view.sheet is not None:
            found += sheet_faults(view.sheet, view.drawing.name)
    return found


def sheet_faults(sheet: Sheet, name: str) -> list[str]:
    """What is wrong with a laid-out drawing, in millimetres."""
    shown = [mark for mark in sheet.marks if isinstance(mark, PictureLabel)]
    found = [
        f"{name}: {label.words!r} leaves the paper"
        for label in shown
        if label.left < -0.3
        or label.low < -0.3
        or label.left + label.wide > sheet.width + 0.3
        or label.low + label.high > sheet.height + 0.3
    ]
    for one, two in combinations(shown, 2):
        across = min(one.left + one.wide, two.left + two.wide) - max(one.left, two.left)
        along = min(one.low + one.high, two.low + two.high) - max(one.low, two.low)
        if across > 0.3 and along > 0.5:
            found.append(f"{name}: {one.words!r} lies on {two.words!r}")
    return found


def _name(widget: Widget) -> str:
    return f"{type(widget).__name__} {words_of(widget)!r}"
