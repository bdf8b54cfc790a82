"""Keeps the catalogues of locale/ in step with the texts, and lets translations in and out.

Rules kept here:
 1. No text is guessed: nothing is ever marked fuzzy. A text that was reworded is missing until somebody translates it;
    its old translation stays at the end of the file, marked `#~`, to copy from.
 2. A translation moves with its text when the text changes its catalogue.
 3. The same texts give the same bytes: no dates, order of the files.
Knows nothing of: how texts are found (sources), who translates.
"""

from __future__ import annotations

import os
from collections.abc import Iterator, Mapping
from io import BytesIO
from pathlib import Path

from babel.messages.catalog import Catalog, Message
from babel.messages.pofile import read_po, write_po

from coach.language import DOMAINS, LANGUAGES, PSEUDO

CODES = tuple(code for code in LANGUAGES if code != "en")
# Languages whose every text is translated; the tests hold them to it. The others show English where a text is missing.
WHOLE = ("fr", "es", "pt_BR", "ht")
# Said here because Babel's own change with its version: newer ones (2.19) give some of these languages a third form,
# for whole millions, and translations of two forms would be dropped. No count in this app is near a million.
PLURALS = {
    "es": "nplurals=2; plural=(n != 1)",
    "fr": "nplurals=2; plural=(n > 1)",
    "pt_BR": "nplurals=2; plural=(n > 1)",
    "ht": "nplurals=2; plural=(n != 1)",
}
Key = str | tuple[str, str]
Words = str | tuple[str, ...]
_VOLATILE = (
    '"POT-Creation-Date:',
    '"PO-Revision-Date:',
    '"Generated-By:',
    '"Last-Translator:',
    '"Report-Msgid-Bugs-To:',
    '"Language-Team:',
)
HEADER = """\
{language} texts of Cover Coach: {domain}.
Written by `python -m coach.language_tools update`; translations are kept, everything else is made anew.
Words for what is dangerous stand in locale/glossary.yaml. Keep every %(slot)s and every signal word.
"""


def key_of(message: Message) -> Key:
    """A text as a key: the text, or one and many."""
    return message.id if isinstance(message.id, str) else (message.id[0], message.id[1])


def path_of(folder: Path, code: str, domain: str) -> Path:
    """Where a catalogue lies."""
    return folder / code / "LC_MESSAGES" / f"{domain}.po"


def _locale(code: str) -> str | None:
    """The language as Babel knows it; None for the tests' own."""
    return None if code == PSEUDO else code


def read(folder: Path, code: str, domain: str) -> Catalog:
    """The catalogue as it is; empty if there is none yet."""
    path = path_of(folder, code, domain)
    if not path.is_file():
        return Catalog(locale=_locale(code), domain=domain)
    with path.open("rb") as opened:
        return read_po(opened, locale=_locale(code), domain=domain)


def translations(folder: Path, code: str) -> dict[Key, Words]:
    """Everything that is translated into a language, in whatever catalogue it stands, what is out of use too."""
    read_in = [read(folder, code, domain) for domain in DOMAINS]
    unused = [message for catalogue in read_in for message in catalogue.obsolete.values()]
    used = [message for catalogue in read_in for message in catalogue if message.id]
    found: dict[Key, Words] = {}
    for message in (*unused, *used):
        if isinstance(message.string, str):
            if message.string:
                found[key_of(message)] = message.string
        elif message.string and all(message.string):
            found[key_of(message)] = tuple(message.string)
    return found


def update(folder: Path, templates: Mapping[str, Catalog], code: str, more: Mapping[Key, Words] | None = None) -> None:
    """Write the catalogues of a language anew: all texts of the templates, with the translations there are.

    Args:
        folder: locale/.
        templates: the texts by domain.
        code: the language.
        more: translations to take in; they come before those that stand there.
    """
    known = {**translations(folder, code), **(more or {})}
    current = {key_of(message) for catalogue in templates.values() for message in catalogue if message.id}
    for domain, template in templates.items():
        made = Catalog(
            locale=_locale(code), domain=domain, project="Cover", version="coach", charset="utf-8", fuzzy=False
        )
        if code in PLURALS:
            made.mime_headers = [("Plural-Forms", PLURALS[code])]
        made.header_comment = "\n".join(
            f"# {line}".rstrip()
            for line in HEADER.format(language=LANGUAGES.get(code, code), domain=domain).splitlines()
        )
        for message in template:
            if message.id:
                made.add(
                    message.id, known.get(key_of(message), ""), message.locations, message.flags, message.auto_comments
                )
        for message in (*read(folder, code, domain), *read(folder, code, domain).obsolete.values()):
            if message.id and key_of(message) not in current and key_of(message) in known:
                made.obsolete[message.id] = Message(message.id, known[key_of(message)])
        _write(path_of(folder, code, domain), made)


def _write(path: Path, catalogue: Catalog) -> None:
    """Write whole or not at all."""
    raw = BytesIO()
    write_po(raw, catalogue, width=110, include_previous=False)
    lines = [line for line in raw.getvalue().decode("utf-8").splitlines(True) if not line.startswith(_VOLATILE)]
    path.parent.mkdir(parents=True, exist_ok=True)
    fresh = path.with_suffix(".new")
    fresh.write_text("".join(lines), encoding="utf-8", newline="\n")
    os.replace(fresh, path)


def missing(folder: Path, templates: Mapping[str, Catalog], code: str) -> Iterator[tuple[str, Message]]:
    """Every text without a translation that the app would show: its domain and the text as the template has it."""
    for domain, template in templates.items():
        catalogue = read(folder, code, domain)
        for message in template:
            if not message.id:
                continue
            have = catalogue.get(message.id)
            whole = have is not None and (all(have.string) if isinstance(have.string, tuple) else bool(have.string))
            if not whole or have is None or have.fuzzy:
                yield domain, message
