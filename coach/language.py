"""The language of texts for people: find the catalogue, translate with English as the way back.

Rules kept here:
 1. A text without a translation is shown in English; nothing is ever shown empty.
 2. Catalogues are .po files read at run time; no binary stands in the repository.
Knows nothing of: screens, which person reads.
Called by: view, sheet, tablet, terminal, cli.
"""

from __future__ import annotations

import gettext as _gettext
from functools import lru_cache
from io import BytesIO
from pathlib import Path

from coach import paths

LANGUAGES: dict[str, str] = {
    "en": "English", "es": "Español", "fr": "Français", "pt_BR": "Português (Brasil)", "ht": "Kreyòl ayisyen",
}
DOMAINS = ("safety", "interface", "procedures", "errors")

_current: list[_gettext.NullTranslations] = [_gettext.NullTranslations()]
_code: list[str] = ["en"]


@lru_cache(maxsize=16)
def catalogue(code: str, folder: Path | None = None) -> _gettext.NullTranslations:
    """The translations of a language, of all its catalogues; English texts where there are none."""
    from babel.messages.catalog import Catalog
    from babel.messages.mofile import write_mo
    from babel.messages.pofile import read_po

    files = [(folder or paths.locale()) / code / "LC_MESSAGES" / f"{domain}.po" for domain in DOMAINS]
    if code == "en" or not any(path.is_file() for path in files):
        return _gettext.NullTranslations()
    whole = Catalog(locale=code, fuzzy=False)
    for path in filter(Path.is_file, files):
        with path.open("rb") as file:
            for message in read_po(file, locale=code):
                if message.id and message.string and not message.fuzzy:
                    whole.add(message.id, message.string)
    compiled = BytesIO()
    write_mo(compiled, whole)
    compiled.seek(0)
    return _gettext.GNUTranslations(compiled)


def use(code: str) -> None:
    """Speak this language from now on. Raises KeyError if it is not one of LANGUAGES (or the tests' own 'xx')."""
    if code not in LANGUAGES and code != "xx":
        raise KeyError(code)
    _current[0], _code[0] = catalogue(code), code


def current() -> str:
    """The code of the language in use."""
    return _code[0]


def _(text: str) -> str:
    """The text in the language in use."""
    return _current[0].gettext(text) if text else ""


def n_(one: str, many: str, count: int) -> str:
    """The text for this count in the language in use."""
    return _current[0].ngettext(one, many, count)
