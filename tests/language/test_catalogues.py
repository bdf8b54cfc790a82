"""The catalogues are whole and sound: every text, every slot, every signal word, the agreed word for every danger."""

from __future__ import annotations

from functools import cache
from pathlib import Path

import pytest
from babel.messages.catalog import Catalog

from coach.language import DOMAINS, LANGUAGES
from coach.language_tools import catalogues
from coach.language_tools.catalogues import CODES, WHOLE, key_of
from coach.language_tools.checks import PLURAL_FORMS, faults_of
from coach.language_tools.glossary import SIGNALS, Glossary, Term
from coach.language_tools.sources import templates

ROOT = Path(__file__).resolve().parents[2]
LOCALE = ROOT / "locale"
SMALL = {"safety": Catalog(), "interface": Catalog()}
for text in ("Close the cylinder.", "%(count)s of %(need)s hold"):
    SMALL["safety"].add(text)
SMALL["interface"].add(("%(n)s boat", "%(n)s boats"))
GLOSSARY = Glossary(
    (
        Term(("fire watch",), {"es": ("vigilante de incendios",)}, ""),
        Term(("fire",), {"es": ("fuego", "incendi*")}, ""),
    ),
    {
        signal: {"es": word}
        for signal, word in zip(SIGNALS, ("PELIGRO", "ADVERTENCIA", "PRECAUCIÓN", "AVISO"), strict=True)
    },
)


@cache
def made() -> dict[str, Catalog]:
    return templates(ROOT)


@cache
def glossary() -> Glossary:
    return Glossary.load(LOCALE)


@pytest.mark.parametrize("code", WHOLE)
def test_every_text_is_translated(code: str) -> None:
    missing = [f"{domain}: {message.id!r}" for domain, message in catalogues.missing(LOCALE, made(), code)]
    assert missing == [], f"{len(missing)} texts of {LANGUAGES[code]} are missing"


@pytest.mark.parametrize("code", CODES)
def test_every_translation_keeps_slots_signal_words_commands_and_the_agreed_words(code: str) -> None:
    current = {key_of(message) for domain in DOMAINS for message in made()[domain] if message.id}
    known = catalogues.translations(LOCALE, code)
    faults = [
        f"{fault}: {key!r} -> {words!r}"
        for key, words in known.items()
        if key in current
        for fault in faults_of(key, words, code, glossary())
    ]
    assert faults == []


@pytest.mark.parametrize("code", CODES)
@pytest.mark.parametrize("domain", DOMAINS)
def test_no_translation_is_a_guess_and_the_head_is_as_it_should_be(code: str, domain: str) -> None:
    read = catalogues.read(LOCALE, code, domain)
    assert [message.id for message in read if message.id and message.fuzzy] == []
    assert read.num_plurals == PLURAL_FORMS[code]
    text = catalogues.path_of(LOCALE, code, domain).read_text(encoding="utf-8")
    assert f'"Language: {code}\\n"' in text and "POT-Creation-Date" not in text and "\r" not in text


def test_every_language_has_its_word_for_every_danger() -> None:
    for term in glossary().terms:
        assert set(term.words) == set(CODES), term.english
        assert all(words and all(words) for words in term.words.values()), term.english
    for signal in SIGNALS:
        words = [glossary().word(signal, code) for code in CODES]
        assert all(word == word.upper() for word in words)
    for code in CODES:
        assert len({glossary().word(signal, code) for signal in SIGNALS}) == len(SIGNALS), "each signal word is its own"


def test_the_terms_that_can_hurt_are_in_the_glossary() -> None:
    forms = {form for term in glossary().terms for form in term.english}
    assert {
        "flame",
        "fire watch",
        "extinguisher",
        "fuel vent",
        "propane",
        "cylinder",
        "leak",
        "gas",
        "winterized",
        "fuel",
        "vapour",
        "fire",
        "smell",
        "burn",
        "gust",
        "hose",
        "gloves",
        "open air",
        "trip",
        "safeguard",
    } <= forms


@pytest.mark.parametrize(
    ("text", "to", "faults"),
    [
        ("%(count)s of %(need)s hold", "%(count)s de %(need)s valen", []),
        ("%(count)s of %(need)s hold", "%(count)s valen", ["slots %(count)s, expected %(count)s %(need)s"]),
        ("%(count)s hold", "%(cuenta)s valen", ["slots %(cuenta)s, expected %(count)s"]),
        ("%(count)d hold", "%(count)s valen", ["slots %(count)s, expected %(count)d"]),
        ("%(x)s is 40 % less", "%(x)s es menos", ["a per cent sign more or less than in the English"]),
        ("DANGER: stand back", "PELIGRO: aléjese", []),
        ("DANGER: stand back", "Peligro: aléjese", ["the signal word DANGER must be PELIGRO"]),
        ("Post the fire watch.", "Coloque al vigilante de incendios.", []),
        ("Post the fire watch.", "Coloque al vigía.", ["'fire watch' must be said as vigilante de incendios"]),
        ("Call out: fire!", "¡Grite incendio!", []),
        ("Call out: fire!", "¡Grite quema!", ["'fire' must be said as fuego or incendi*"]),
        ("%(fire)s hold", "%(fire)s valen", []),
        ("Type 'out'.", "Escriba 'fuera'.", ["'out' must stand as it is"]),
        ("Done", " Hecho", ["blanks at its ends"]),
        ("Done", "", ["no translation"]),
    ],
)
def test_what_is_wrong_with_a_translation_is_said(text: str, to: str, faults: list[str]) -> None:
    assert faults_of(text, to, "es", GLOSSARY) == faults


def test_a_plural_has_all_its_forms() -> None:
    key = ("%(n)s boat", "%(n)s boats")
    assert faults_of(key, ("%(n)s barco", "%(n)s barcos"), "es", GLOSSARY) == []
    assert faults_of(key, ("%(n)s barco",), "es", GLOSSARY) == ["needs 2 plural forms"]
    assert faults_of(key, "%(n)s barco", "es", GLOSSARY) == ["needs 2 plural forms"]
    assert faults_of(key, ("un barco", "%(n)s barcos"), "es", GLOSSARY) == ["slots none, expected %(n)s"]


def test_an_update_keeps_translations_moves_them_and_never_guesses(tmp_path: Path) -> None:
    catalogues.update(tmp_path, SMALL, "es", {"Close the cylinder.": "Cierre el cilindro."})
    moved = {"safety": Catalog(), "interface": Catalog()}
    moved["interface"].add("Close the cylinder.")
    moved["safety"].add("Close the cylinder now.")
    catalogues.update(tmp_path, moved, "es")
    assert catalogues.read(tmp_path, "es", "interface").get("Close the cylinder.").string == "Cierre el cilindro."  # type: ignore[union-attr]
    assert [message.id for _domain, message in catalogues.missing(tmp_path, moved, "es")] == ["Close the cylinder now."]
    gone = {"safety": Catalog(), "interface": Catalog()}
    catalogues.update(tmp_path, gone, "es")
    assert '#~ msgstr "Cierre el cilindro."' in catalogues.path_of(tmp_path, "es", "interface").read_text(
        encoding="utf-8"
    )
    catalogues.update(tmp_path, SMALL, "es")
    assert catalogues.read(tmp_path, "es", "safety").get("Close the cylinder.").string == "Cierre el cilindro."  # type: ignore[union-attr]


def test_the_same_texts_give_the_same_bytes(tmp_path: Path) -> None:
    for _again in range(2):
        catalogues.update(tmp_path, SMALL, "ht", {"Close the cylinder.": "Fèmen silenn nan."})
        first = [catalogues.path_of(tmp_path, "ht", domain).read_bytes() for domain in SMALL]
    catalogues.update(tmp_path, SMALL, "ht")
    assert [catalogues.path_of(tmp_path, "ht", domain).read_bytes() for domain in SMALL] == first
    assert sorted(path.name for path in (tmp_path / "ht" / "LC_MESSAGES").iterdir()) == ["interface.po", "safety.po"]
