"""The language of the screens, as a property that .kv files can follow: `tr._('Done')` is set again on a change.

Rules kept here:
 1. Widgets translate their own few words through this and take every other text as a property, already translated.
Knows nothing of: catalogues, which languages there are. The app hands the two functions over.
"""

from __future__ import annotations

from collections.abc import Callable

from kivy.event import EventDispatcher
from kivy.properties import ObjectProperty


def same(words: str) -> str:
    """The English text itself."""
    return words


def one_or_many(one: str, many: str, count: int) -> str:
    """The English text for this count."""
    return one if count == 1 else many


class Tongue(EventDispatcher):
    """Holds the translating functions of the language in use, in .kv `#:import tr coach.tablet.tongue.tongue`."""

    _ = ObjectProperty(same)
    n_ = ObjectProperty(one_or_many)

    def speak(self, gettext: Callable[[str], str], ngettext: Callable[[str, str, int], str]) -> None:
        """Use these functions from now on; every .kv text that asks through this is set again."""
        self.n_ = ngettext
        self._ = gettext


tongue = Tongue()
