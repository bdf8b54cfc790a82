"""The measures and colours of the screens, as properties that .kv files can follow.

Rules kept here:
 1. Every size is in millimetres of the real screen; `mm` is the number of pixels to one, and follows density live.
 2. What matters is set in capitals of at least 4 mm; explanations in 3.2 mm (22 minutes of arc at 500 mm).
 3. What is touched is at least 15 mm, on the gate 20 mm with 13 mm between.
 4. Colours come from `coach.view.palette`; switching day and dark changes every widget at once.
 5. A rule that takes one of many colours or sizes by name asks `shade` or `letters`: one thing to follow, not a dozen,
    for each widget of its kind.
Knows nothing of: what is shown.
Source: character height 20-22 minutes of arc (ISO 9241-3), touch targets 20 mm (Duff et al. 2010), keys for mittens
19 mm and gaps 13 mm (MIL-STD-1472).
"""

from __future__ import annotations

from dataclasses import fields
from typing import TYPE_CHECKING

from kivy.event import EventDispatcher
from kivy.metrics import Metrics
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, ObjectProperty

from coach.tablet.fonts import CAPITAL
from coach.view.palette import DARK, DAY, Palette

if TYPE_CHECKING:
    from kivy.core.window import WindowBase

# Density-independent pixels to the millimetre: Kivy's dp is 1/160 inch.
DP_PER_MM = 160 / 25.4
# Capital heights, mm.
NOTE, BODY, LEAD, TITLE, ORDER, NUMBER, CLOCK = 3.2, 4.0, 5.0, 6.4, 8.0, 10.0, 16.0
TOUCH, GATE_TOUCH, GATE_GAP = 15.0, 20.0, 13.0


class Theme(EventDispatcher):
    """One for the process: `from coach.tablet.theme import theme`, in .kv `#:import theme coach.tablet.theme.theme`."""

    dark = BooleanProperty(False)
    scale = NumericProperty(1.0)
    mm = NumericProperty(DP_PER_MM)
    portrait = BooleanProperty(False)

    note = NumericProperty(20)
    body = NumericProperty(25)
    lead = NumericProperty(31)
    title = NumericProperty(40)
    order = NumericProperty(50)
    number = NumericProperty(62)
    clock = NumericProperty(100)

    gap = NumericProperty(12)
    pad = NumericProperty(20)
    radius = NumericProperty(9)
    hair = NumericProperty(1.2)
    touch = NumericProperty(94)
    gate_touch = NumericProperty(126)
    gate_gap = NumericProperty(82)

    paper = ColorProperty(DAY.paper)
    card = ColorProperty(DAY.card)
    wash = ColorProperty(DAY.wash)
    ink = ColorProperty(DAY.ink)
    soft = ColorProperty(DAY.soft)
    line = ColorProperty(DAY.line)
    primary = ColorProperty(DAY.primary)
    primary_ink = ColorProperty(DAY.primary_ink)
    danger = ColorProperty(DAY.danger)
    danger_ink = ColorProperty(DAY.danger_ink)
    warning = ColorProperty(DAY.warning)
    warning_ink = ColorProperty(DAY.warning_ink)
    caution = ColorProperty(DAY.caution)
    caution_ink = ColorProperty(DAY.caution_ink)
    notice = ColorProperty(DAY.notice)
    notice_ink = ColorProperty(DAY.notice_ink)
    safe = ColorProperty(DAY.safe)
    safe_ink = ColorProperty(DAY.safe_ink)
    good = ColorProperty(DAY.good)
    bad = ColorProperty(DAY.bad)
    film = ColorProperty(DAY.film)
    hull = ColorProperty(DAY.hull)
    strap = ColorProperty(DAY.strap)
    band = ColorProperty(DAY.band)
    timber = ColorProperty(DAY.timber)
    tape = ColorProperty(DAY.tape)
    flame = ColorProperty(DAY.flame)
    ground = ColorProperty(DAY.ground)
    unknown = ColorProperty(DAY.unknown)

    # The colour of a role, and the font size of a size's name: new functions at each change, so that rules ask again.
    shade = ObjectProperty(None)
    letters = ObjectProperty(None)

    def __init__(self) -> None:
        super().__init__()
        Metrics.bind(density=self._measure)
        self.bind(scale=self._measure, dark=self._paint)
        self._measure()
        self._paint()

    @property
    def palette(self) -> Palette:
        """The palette in use."""
        return DARK if self.dark else DAY

    def follow(self, window: WindowBase) -> None:
        """Keep `portrait` and the window's own background in step with the window."""
        window.bind(size=lambda shown, _: self._turn(shown))
        self.bind(paper=lambda _, colour: setattr(window, "clearcolor", colour))
        self._turn(window)
        window.clearcolor = self.paper

    def text_size(self, capital: float) -> float:
        """Font size in pixels for capitals of so many millimetres, at the reader's text scale."""
        return round(capital / CAPITAL * self.mm * self.scale)

    def _turn(self, window: WindowBase) -> None:
        self.portrait = window.height > window.width

    def _measure(self, *_: object) -> None:
        self.mm = DP_PER_MM * Metrics.density
        self.note, self.body, self.lead = map(self.text_size, (NOTE, BODY, LEAD))
        self.title, self.order, self.number, self.clock = map(self.text_size, (TITLE, ORDER, NUMBER, CLOCK))
        self.letters = lambda name: getattr(self, name)
        self.gap, self.pad, self.radius = 3 * self.mm, 4 * self.mm, 1.6 * self.mm
        self.hair = max(1.2, 0.14 * self.mm)  # at 1 pixel the toolkit draws rounded frames unevenly
        self.touch, self.gate_touch, self.gate_gap = TOUCH * self.mm, GATE_TOUCH * self.mm, GATE_GAP * self.mm

    def _paint(self, *_: object) -> None:
        for role in fields(Palette):
            setattr(self, role.name, getattr(self.palette, role.name))
        self.shade = lambda role: getattr(self, role)


theme = Theme()


def mm(value: float) -> float:
    """So many millimetres of the screen, in pixels, at the present density."""
    return value * theme.mm
