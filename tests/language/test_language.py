"""The language in use: English behind every text, plural forms, a switch at any moment, what is not reviewed."""

from __future__ import annotations

from collections.abc import Iterator
from pathlib import Path

import pytest
from babel.messages.pofile import PoFileError

from coach import language
from coach.core.problems import Phrase, Problem, Reason
from coach.language_tools.catalogues import path_of
from coach.view.texts import noted_text, problem_text, reason_text, reopened_text

HEAD = 'msgid ""\nmsgstr ""\n"Language: {code}\\n"\n"Plural-Forms: nplurals=2; plural={plural};\\n"\n"Content-Type: text/plain; charset=utf-8\\n"\n\n'


def write(folder: Path, code: str, plural: str, **domains: str) -> None:
    for domain, text in domains.items():
        path = path_of(folder, code, domain)
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(HEAD.format(code=code, plural=plural) + text, encoding="utf-8")


@pytest.fixture
def spanish(tmp_path: Path) -> Iterator[None]:
    write(
        tmp_path,
        "es",
        "(n != 1)",
        safety='msgid "Close the cylinder."\nmsgstr "Cierre el cilindro."\n\n'
        'msgid "a safeguard was lost: %(text)s"\nmsgstr "se perdió una salvaguarda: %(text)s"\n\n'
        'msgid "%(name)s: no longer so (%(said)s)"\nmsgstr "%(name)s: ya no (%(said)s)"\n\n'
        'msgid "Open air"\nmsgstr "Aire libre"\n\nmsgid "The ventilation stopped"\nmsgstr "Se paró la ventilación"\n\n'
        '#, fuzzy\nmsgid "Guessed"\nmsgstr "Adivinado"\n\n',
        interface='msgid "Close the cylinder."\nmsgstr "otra cosa"\n\nmsgid "Empty"\nmsgstr ""\n\n'
        'msgid "%(n)s boat"\nmsgid_plural "%(n)s boats"\nmsgstr[0] "%(n)s barco"\nmsgstr[1] "%(n)s barcos"\n\n'
        'msgid "measured again: %(ask)s"\nmsgstr "medido de nuevo: %(ask)s"\n\n'
        'msgid "Beam of the hull"\nmsgstr "Manga del casco"\n\n',
    )
    language.use("es", tmp_path)
    yield
    language.use("en")


def test_a_text_is_translated_by_the_first_catalogue_that_has_it(spanish: None) -> None:
    assert language._("Close the cylinder.") == "Cierre el cilindro."


@pytest.mark.parametrize("text", ["Nobody translated this.", "Empty", "Guessed", ""])
def test_english_stands_where_there_is_no_translation(spanish: None, text: str) -> None:
    assert language._(text) == text


@pytest.mark.parametrize(("count", "text"), [(0, "0 barcos"), (1, "1 barco"), (2, "2 barcos"), (21, "21 barcos")])
def test_a_count_takes_its_plural_form(spanish: None, count: int, text: str) -> None:
    assert language.n_("%(n)s boat", "%(n)s boats", count) % {"n": count} == text


def test_french_counts_nothing_as_one(tmp_path: Path) -> None:
    """CLDR and gettext's manual: in French 0 and 1 take the singular."""
    write(
        tmp_path,
        "fr",
        "(n > 1)",
        interface='msgid "%(n)s boat"\nmsgid_plural "%(n)s boats"\nmsgstr[0] "%(n)s bateau"\nmsgstr[1] "%(n)s bateaux"\n',
    )
    texts = language.catalogue("fr", tmp_path)
    assert [texts.ngettext("%(n)s boat", "%(n)s boats", n) % {"n": n} for n in (0, 1, 2)] == [
        "0 bateau",
        "1 bateau",
        "2 bateaux",
    ]


def test_english_counts_without_a_catalogue() -> None:
    assert [language.n_("one", "many", n) for n in (0, 1, 2)] == ["many", "one", "many"]


def test_another_language_may_be_spoken_at_any_moment(spanish: None) -> None:
    assert language.current() == "es"
    language.use("en")
    assert (language.current(), language._("Open air")) == ("en", "Open air")


def test_an_unknown_language_is_refused_and_changes_nothing(spanish: None) -> None:
    with pytest.raises(KeyError):
        language.use("de")
    assert (language.current(), language._("Open air")) == ("es", "Aire libre")


def test_a_catalogue_that_is_none_is_an_error(tmp_path: Path) -> None:
    write(tmp_path, "ht", "(n != 1)", safety='msgid "Open air"\nmsgid "twice\n')
    with pytest.raises(PoFileError):
        language.catalogue("ht", tmp_path)


def test_no_language_has_been_reviewed_and_each_says_so() -> None:
    assert language.REVIEWED == dict.fromkeys(language.LANGUAGES, False)
    assert language.review_note("en") == "No native speaker of the trade has read these texts yet."
    for code in language.LANGUAGES:
        assert language.review_note(code).strip()


def test_the_english_is_offered_beside_a_translation_nobody_read(
    spanish: None, monkeypatch: pytest.MonkeyPatch
) -> None:
    assert language.english_of("Cierre el cilindro.") == "Close the cylinder."
    assert language.english_of("Nobody translated this.") == ""
    monkeypatch.setitem(language.REVIEWED, "es", True)
    assert language.english_of("Cierre el cilindro.") == ""
    language.use("en")
    assert language.english_of("Close the cylinder.") == ""


def test_a_reason_is_said_in_the_readers_words_with_the_english_beside_it(spanish: None) -> None:
    why = Phrase("%(name)s: no longer so (%(said)s)", {"name": "Open air", "said": "The ventilation stopped"})
    said = reason_text(
        Reason("G001", "flame", "a safeguard was lost: %(text)s", "", "Close the cylinder.", {"text": why})
    )
    assert said.what == "Se perdió una salvaguarda: Aire libre: ya no (Se paró la ventilación)."
    assert said.mend == "Cierre el cilindro."
    assert said.english == "A safeguard was lost: Open air: no longer so (The ventilation stopped). Close the cylinder."


def test_a_person_is_never_translated(spanish: None) -> None:
    """Somebody whose name is a word of ours: nobody of the crew, but any name may come."""
    reason = Reason("G172", "fire_watch", "%(person)s is not trained as fire watch", "", "", {"person": "Open air"})
    assert reason_text(reason).what == "Open air is not trained as fire watch."
    typed = Problem("U300", "'%(typed)s' is neither yes nor no", "", "", slots={"typed": "Open air"})
    assert problem_text(typed)[0] == "'Open air' is neither yes nor no."


def test_what_the_record_noted_is_read_in_any_language_and_an_older_record_in_english(spanish: None) -> None:
    noted = {
        "code": "G101",
        "about": "air",
        "text": "Open air: no longer so (The ventilation stopped)",
        "what": "%(name)s: no longer so (%(said)s)",
        "slots": {"name": "Open air", "said": "The ventilation stopped"},
    }
    assert noted_text(noted) == "Aire libre: ya no (Se paró la ventilación)"
    older = {name: noted[name] for name in ("code", "about", "text")}
    assert noted_text(older) == "Open air: no longer so (The ventilation stopped)"


def test_why_a_step_is_open_again_is_translated_and_a_supervisors_words_are_not(spanish: None) -> None:
    assert reopened_text("measured again: Beam of the hull") == "medido de nuevo: Manga del casco"
    assert reopened_text("Open air") == "Open air"
