"""The panel of a caution: signal word, its sign, what can happen and what keeps one safe.

Rules kept here:
 1. DANGER will kill or badly hurt, WARNING could, CAUTION could hurt mildly, NOTICE is not about injury and has no
    alert triangle. Word, colour and shape always come together. Source: ANSI Z535.4; the panel is drawn by us.
"""

from __future__ import annotations

from kivy.properties import OptionProperty, StringProperty
from kivy.uix.boxlayout import BoxLayout

from coach.tablet.kv import load
from coach.tablet.widgets import icons, text  # noqa: F401  the .kv names their widgets

load(__file__)

SIGNALS = ["DANGER", "WARNING", "CAUTION", "NOTICE", "SAFETY"]


class CautionPanel(BoxLayout):
    """A caution. `signal` the word that says how bad, `words` what to do or not to do, `why` what happens otherwise.

    `english` the same in English; by itself that of `words` and `why`, where the language in use is not reviewed.
    """

    signal = OptionProperty("CAUTION", options=SIGNALS)
    words = StringProperty("")
    why = StringProperty("")
    role = StringProperty("caution")
    english = StringProperty("")
    signal_words = StringProperty("")

    @staticmethod
    def sentences(*texts: str) -> str:
        """These texts after one another, each ended as a sentence."""
        return " ".join(each if each[-1] in ".!?:" else f"{each}." for each in texts if each)
