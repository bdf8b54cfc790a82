"""The language of the screens, as properties that .kv files can follow: `tr._('Done')` is read again on a change.

Rules kept here:
 1. Widgets translate their own few words through this and take every other text as a property, already translated.
 2. The language itself is the process's one, `coach.language`; this only tells the screens that it changed.
"""

from __future__ import annotations

from kivy.event import EventDispatcher
from kivy.properties import ObjectProperty

from coach import language


class Tongue(EventDispatcher):
    """Holds the translating functions, in .kv `#:import tr coach.tablet.tongue.tongue`."""

    _ = ObjectProperty(language._)
    n_ = ObjectProperty(language.n_)
    english = ObjectProperty(language.english_of)

    def use(self, code: str) -> None:
        """Speak this language from now on; every .kv text that asks through this is set again.

        Raises:
            KeyError: it is not one of `coach.language.LANGUAGES`.
        """
        language.use(code)
        # New objects each time: a property tells nobody when it is set to what it already holds.
        self.english = lambda words: language.english_of(words)
        self.n_ = lambda one, many, count: language.n_(one, many, count)
        self._ = lambda words: language._(words)


tongue = Tongue()
