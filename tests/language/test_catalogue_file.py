"""Our reading of .po files against two others': the standard library's GNUTranslations and Babel's reader."""

from __future__ import annotations

from functools import cache
from gettext import GNUTranslations
from io import BytesIO
from pathlib import Path

import pytest
from babel.messages import pofile
from babel.messages.catalog import Catalog
from babel.messages.mofile import write_mo
from babel.messages.pofile import PoFileError, read_po, write_po
from hypothesis import given, settings
from hypothesis import strategies as st

from coach import catalogue_file, language
from coach.catalogue_file import Translations
from coach.language import DOMAINS
from coach.language_tools.catalogues import CODES, path_of, read

LOCALE = Path(__file__).resolve().parents[2] / "locale"
COUNTS = (*range(130), 1_000, 1_000_000, 2_000_000)
HEAD = (
    'msgid ""\nmsgstr ""\n"Language: fr\\n"\n"Plural-Forms: nplurals=2; plural=(n > 1);\\n"\n'
    '"Content-Type: text/plain; charset=utf-8\\n"\n\n'
)
BOAT = 'msgid "boat"\nmsgstr "bateau"\n'


@cache
def reference(code: str) -> GNUTranslations:
    """Python's own reader of the binary form (docs.python.org/3/library/gettext.html), the catalogues in their order."""
    made = []
    for domain in DOMAINS:
        binary = BytesIO()
        write_mo(binary, read(LOCALE, code, domain))
        binary.seek(0)
        made.append(GNUTranslations(binary))
    for own in made[1:]:
        made[0].add_fallback(own)
    return made[0]


@pytest.mark.parametrize("code", CODES)
def test_every_text_and_count_is_what_the_standard_library_gives(code: str) -> None:
    ours, theirs = language.catalogue(code), reference(code)
    singles, plurals = 0, 0
    for domain in DOMAINS:
        catalogue = read(LOCALE, code, domain)
        for message in (*catalogue, *catalogue.obsolete.values()):
            if isinstance(message.id, str) and message.id:
                assert ours.gettext(message.id) == theirs.gettext(message.id)
                singles += 1
            elif message.id:
                one, many = message.id
                assert [ours.ngettext(one, many, n) for n in COUNTS] == [theirs.ngettext(one, many, n) for n in COUNTS]
                plurals += 1
    assert singles > 5_000 and plurals > 10
    for text in ("Nobody wrote this.", "Nobody\nwrote this.", "%(a)s\t"):
        assert (ours.gettext(text), ours.ngettext(text, text, 1)) == (text, text)


@pytest.mark.parametrize("code", CODES)
def test_no_shipped_file_needs_the_slow_reader(code: str, monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setattr(pofile, "read_po", lambda *_given, **_named: pytest.fail("a start in another language is slow"))
    for domain in DOMAINS:
        assert catalogue_file.read(path_of(LOCALE, code, domain), code).single


def by_babel(data: bytes) -> Translations:
    """What Babel's reader makes of a file."""
    catalogue = read_po(BytesIO(data), locale="fr", abort_invalid=True)
    real = [message for message in catalogue if message.id and not message.fuzzy and message.context is None]
    return Translations(
        {str(m.id): str(m.string) for m in real if isinstance(m.id, str) and m.string},
        {(m.id[0], m.id[1]): tuple(m.string) for m in real if not isinstance(m.id, str) and isinstance(m.string, tuple) and all(m.string)},
        catalogue.plural_expr,
    )


TEXT = st.text(st.sampled_from('ab é"\\\n\t#~[]%0') | st.characters(codec="utf-8", exclude_characters="\r"), min_size=1, max_size=60)


@settings(max_examples=40, deadline=None)
@given(st.lists(st.tuples(TEXT, TEXT | st.just(""), TEXT | st.none(), st.sampled_from(("", "python-format", "fuzzy")),
                          st.booleans()), max_size=5), st.sampled_from((20, 110)))
def test_what_babel_writes_is_read_as_babel_reads_it(
    tmp_path_factory: pytest.TempPathFactory, entries: list[tuple[str, str, str | None, str, bool]], width: int
) -> None:
    made = Catalog(locale="fr", fuzzy=False, charset="utf-8")
    for one, words, many, flag, out_of_use in entries:
        entry = made.add(one if many is None else (one, many), words if many is None else (words, many), [("a.py", 1)],
                         [flag] if flag else [], auto_comments=["fuzzy"], user_comments=["said so"])
        if out_of_use:
            made.obsolete[one] = entry
            made.delete(one)
    raw = BytesIO()
    write_po(raw, made, width=width)
    path = tmp_path_factory.getbasetemp() / "written.po"
    path.write_bytes(raw.getvalue())
    assert catalogue_file.read(path, "fr") == by_babel(raw.getvalue())


@pytest.mark.parametrize(
    "text",
    [
        HEAD + BOAT,
        "",
        BOAT,
        HEAD,
        HEAD.replace('"Plural-Forms: nplurals=2; plural=(n > 1);\\n"\n', "") + BOAT,
        HEAD.replace("utf-8", "latin-1") + BOAT,
        (HEAD + BOAT).replace("\n", "\r\n"),
        HEAD + '"boat"\n',
        HEAD + "\n\n" + BOAT + BOAT.replace("boat", "ship"),
        HEAD + BOAT + "\n" + BOAT.replace("bateau", "barque"),
        HEAD + BOAT + '\nmsgid "boat"\nmsgid_plural "boats"\nmsgstr[0] "bateau"\nmsgstr[1] "bateaux"\n',
        HEAD + '#, fuzzy\nmsgid "boat"\nmsgstr "bateau"\n',
        HEAD + "#, fuzzy\n\n" + BOAT,
        HEAD + "# fuzzy, says somebody\n#\n#. and so on\n#| msgid \"ship\"\n" + BOAT,
        HEAD + 'msgctxt "a toy"\nmsgid "boat"\nmsgstr "petit bateau"\n',
        HEAD + BOAT + '\nmsgctxt "a toy"\nmsgid "boat"\nmsgstr "petit bateau"\n',
        HEAD + 'msgid ""\n"bo"\n  "at"\nmsgstr ""\n"ba"\n"teau"\n',
        HEAD + 'msgid "a \\"boat\\"\\n\\t\\\\"\nmsgstr "un \\"bateau\\"\\n\\t\\\\"\n',
        HEAD + "#~ " + BOAT.replace("\n", "\n#~ ", 1),
        HEAD + "# once\n#~ " + BOAT.replace("\n", "\n#~ ", 1),
        HEAD + 'msgid "boat"\nmsgid_plural "boats"\nmsgstr[0] "bateau"\nmsgstr[1] ""\n',
        HEAD + 'msgid "boat"\nmsgid_plural "boats"\nmsgstr[1] "bateaux"\nmsgstr[0] "bateau"\n',
        HEAD + 'msgid "boat"\nmsgid_plural "boats"\nmsgstr[0] "bateau"\n',
    ],
)
def test_a_file_of_another_form_is_read_as_babel_reads_it(tmp_path: Path, text: str) -> None:
    path = tmp_path / "made.po"
    path.write_bytes(text.encode("utf-8"))
    assert catalogue_file.read(path, "fr") == by_babel(text.encode("utf-8"))


@pytest.mark.parametrize(
    "text",
    [
        HEAD + 'msgid "boat"\n',
        HEAD + 'word "boat"\n',
        HEAD + "#-#-#-#-#  one.po\n" + BOAT,
        HEAD + 'msgid "boat"\nmsgid_plural "boats"\nmsgstr[0] "a"\nmsgstr[1] "b"\nmsgstr[2] "c"\n',
    ],
)
def test_a_fault_is_babels_error(tmp_path: Path, text: str) -> None:
    path = tmp_path / "made.po"
    path.write_bytes(text.encode("utf-8"))
    with pytest.raises(PoFileError):
        catalogue_file.read(path, "fr")


def test_a_catalogue_is_read_when_a_text_is_in_none_before_it(tmp_path: Path) -> None:
    for domain, text in (("safety", BOAT), ("interface", BOAT.replace("boat", "ship")), ("errors", "no catalogue")):
        path_of(tmp_path, "fr", domain).parent.mkdir(parents=True, exist_ok=True)
        path_of(tmp_path, "fr", domain).write_text(HEAD + text, encoding="utf-8")
    try:
        language.use("fr", tmp_path)
        assert (language._("boat"), language._("ship"), language.english_of("bateau")) == ("bateau", "bateau", "boat")
        with pytest.raises(PoFileError):
            language._("dinghy")
        with pytest.raises(PoFileError):
            language.read_all()
    finally:
        language.use("en")
