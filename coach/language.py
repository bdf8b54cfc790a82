"""The language of texts for people: find the catalogues, translate with English behind, say what is unreviewed.

Rules kept here:
 1. A text without a translation is shown in English; nothing is ever shown empty.
 2. Catalogues are .po files read at run time; no binary stands in the repository.
 3. The record keeps no language: what is shown here is never read back. Names of people are never passed to `_`.
 4. No language has been read by a native speaker of the trade yet, and each says so of itself; beside a safety text in
    such a language stands the English.
 5. A catalogue is read when a text is asked that stands in none before it: the first page asks two of the four.
Knows nothing of: screens, which person reads, how numbers are written (coach.formats), how a file is read.
Called by: view, sheet, tablet, terminal, cli.
"""

from __future__ import annotations

from collections.abc import Callable, Mapping, Sequence
from dataclasses import dataclass
from functools import cached_property, lru_cache
from gettext import c2py
from pathlib import Path

from coach import catalogue_file, paths

LANGUAGES: dict[str, str] = {
    "en": "English",
    "es": "Español",
    "fr": "Français",
    "pt_BR": "Português (Brasil)",
    "ht": "Kreyòl ayisyen",
}
# By language, whether a native speaker of the trade has read every text of it.
REVIEWED: dict[str, bool] = {"en": False, "es": False, "fr": False, "pt_BR": False, "ht": False}
REVIEW_NOTES = {
    "reviewed": "A native speaker of the trade has read these texts.",
    "not reviewed": "No native speaker of the trade has read these texts yet.",
    "in doubt": "Where in doubt, the English counts.",
}
# A text stands in the first of these catalogues that has it; the order is that of what matters most.
DOMAINS = ("safety", "interface", "procedures", "errors")
PSEUDO = "xx"  # the tests' own language


@dataclass(frozen=True)
class Texts:
    """The translations of one catalogue, and of those behind it, which are asked for what it does not have.

    many: by (one, many), a form for each number that `form` gives for a count.
    behind: gives the next catalogue, which is read when it is first asked; None after the last.
    """

    single: Mapping[str, str]
    many: Mapping[tuple[str, str], tuple[str, ...]]
    form: Callable[[int], int]
    behind: Callable[[], Texts] | None = None

    def gettext(self, text: str) -> str:
        """The translation, or the English text itself."""
        words = self.single.get(text)
        if words is None:
            return text if self.behind is None else self.behind().gettext(text)
        return words

    def ngettext(self, one: str, many: str, count: int) -> str:
        """The translation for a count, or the English text."""
        forms = self.many.get((one, many))
        if forms is not None:
            return forms[self.form(count)]
        if self.behind is None:
            return one if count == 1 else many
        return self.behind().ngettext(one, many, count)

    def english_of(self, words: str) -> str:
        """The English of a translation that differs from it; '' if these are the words of none."""
        text = self._english.get(words)
        if text is None:
            return "" if self.behind is None else self.behind().english_of(words)
        return text

    @cached_property
    def _english(self) -> Mapping[str, str]:
        return {words: text for text, words in self.single.items() if words != text}


_ENGLISH = Texts({}, {}, lambda count: int(count != 1))
_current: list[Texts] = [_ENGLISH]
_code: list[str] = ["en"]


@lru_cache(maxsize=16)
def catalogue(code: str, folder: Path | None = None) -> Texts:
    """The translations of a language, of all its catalogues; no translation where there is no file.

    Args:
        code: one of LANGUAGES, or the tests' own.
        folder: where catalogues lie; those that come with the program if not given.

    Raises:
        OSError, PoFileError (of Babel): the first file cannot be read, or is no catalogue. Asking for a text raises
            the same of the files behind it; `read_all` asks them all.
    """
    return _ENGLISH if code == "en" else _first(code, (folder or paths.locale()) / code / "LC_MESSAGES", DOMAINS)


def _first(code: str, folder: Path, domains: Sequence[str]) -> Texts:
    """The first of these catalogues that there is, with the others behind it."""
    if not domains:
        return _ENGLISH
    path, rest = folder / f"{domains[0]}.po", domains[1:]
    if not path.is_file():
        return _first(code, folder, rest)
    read = catalogue_file.read(path, None if code == PSEUDO else code)
    return Texts(read.single, read.many, c2py(read.plural), lru_cache(maxsize=1)(lambda: _first(code, folder, rest)))


def read_all() -> None:
    """Read what no text has asked for yet of the language in use: later no page waits for it, and a fault in it shows.

    Raises:
        OSError, PoFileError (of Babel): as `catalogue`.
    """
    texts = _current[0]
    while texts.behind is not None:
        texts = texts.behind()


def use(code: str, folder: Path | None = None) -> None:
    """Speak this language from now on.

    Args:
        code: one of LANGUAGES, or the tests' own 'xx'.
        folder: where its catalogues lie; those that come with the program if not given.

    Raises:
        KeyError: it is none of them.
    """
    if code not in LANGUAGES and code != PSEUDO:
        raise KeyError(code)
    _current[0], _code[0] = catalogue(code, folder), code


def current() -> str:
    """The code of the language in use."""
    return _code[0]


def _(text: str) -> str:
    """The text in the language in use."""
    return _current[0].gettext(text) if text else ""


def n_(one: str, many: str, count: int) -> str:
    """The text for this count in the language in use."""
    return _current[0].ngettext(one, many, count)


def is_doubtful(code: str | None = None) -> bool:
    """Whether the texts of a language (the one in use) are translations that no native speaker of the trade has read."""
    own = code or current()
    return own != "en" and not REVIEWED.get(own, False)


def english_of(words: str) -> str:
    """The English that is shown beside a safety text: '' where there is nothing to add.

    Args:
        words: a text as it is shown, translated by `_` and not filled with anything.
    """
    return _current[0].english_of(words) if is_doubtful() else ""


def review_note(code: str | None = None) -> str:
    """What a language says of itself, in itself: read by a native speaker of the trade, or not.

    Args:
        code: the language asked about; the one in use if not given.
    """
    own = code or current()
    texts = _current[0] if own == current() else catalogue(own)
    if REVIEWED.get(own, False):
        return texts.gettext(REVIEW_NOTES["reviewed"])
    note = texts.gettext(REVIEW_NOTES["not reviewed"])
    return note if own == "en" else f"{note} {texts.gettext(REVIEW_NOTES['in doubt'])}"
