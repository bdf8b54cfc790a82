"""The button of every screen: big, told by word and shape, with a hold to confirm where a slip would matter.

Rules kept here:
 1. One event for every kind: `on_act`, after a tap or after a full hold.
 2. A hold that is let go early does nothing, and the button says what to do.
 3. A button grows with its text and is never lower than its touch target; `at_least` levels it with its neighbours.
"""

from __future__ import annotations

from kivy.clock import Clock
from kivy.properties import BooleanProperty, ColorProperty, NumericProperty, OptionProperty, StringProperty
from kivy.uix.behaviors import ButtonBehavior
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets
from coach.tablet.widgets.frame import Framed

load(__file__)

KINDS = ["primary", "secondary", "danger", "alarm", "quiet"]
HOLD_STEP = 1 / 30


class BigButton(Framed, ButtonBehavior, BoxLayout):
    """A button. Events: `on_act`.

    `words` what it does; `note` one line under it, of `note_size`; `icon` a sign before it; `kind` primary, secondary, danger, alarm
    (on a danger red page) or quiet; `hold` seconds to keep the finger on it (0: a tap is enough); `gate` True on screens with the larger targets.
    """

    words = StringProperty("")
    note = StringProperty("")
    note_size = StringProperty("note")
    icon = StringProperty("")
    kind = OptionProperty("secondary", options=KINDS)
    hold = NumericProperty(0)
    held = NumericProperty(0)
    hinting = BooleanProperty(False)
    gate = BooleanProperty(False)
    centred = BooleanProperty(True)
    fill = ColorProperty([0, 0, 0, 0])
    edge = ColorProperty([0, 0, 0, 0])
    inked = StringProperty("ink")
    room = NumericProperty(100)
    own_height = NumericProperty(100)
    at_least = NumericProperty(0)
    body_height = NumericProperty(0)  # for other rules: a rule that follows `ids` keeps its widget alive for ever

    __events__ = ("on_act",)

    def on_act(self, *_: object) -> None:
        """The button was used: a tap, or a hold to the end."""

    def on_press(self, *_: object) -> None:
        if self.hold:
            self.held = 0
            self.hinting = True
            self._ticking = Clock.schedule_interval(self._tick, HOLD_STEP)

    def on_release(self, *_: object) -> None:
        if not self.hold:
            self.dispatch("on_act")

    def on_state(self, _: object, state: str) -> None:
        if state == "normal" and self.hold:
            self._let_go()

    def _tick(self, passed: float) -> bool:
        self.held = min(1, self.held + passed / self.hold)
        if self.held < 0.999:
            return True
        self._let_go()
        self.hinting = False
        self.dispatch("on_act")
        return False

    def _let_go(self) -> None:
        ticking = getattr(self, "_ticking", None)
        if ticking:
            ticking.cancel()
        self.held = 0


class IconButton(Framed, ButtonBehavior, BoxLayout):
    """A square button that shows a sign only; `words` names it for tests and for speech. Events: `on_act`."""

    icon = StringProperty("back")
    words = StringProperty("")
    framed = BooleanProperty(False)
    gate = BooleanProperty(False)
    side = NumericProperty(100)

    __events__ = ("on_act",)

    def on_act(self, *_: object) -> None:
        """The button was tapped."""

    def on_release(self, *_: object) -> None:
        self.dispatch("on_act")
