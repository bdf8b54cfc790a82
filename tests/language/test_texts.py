"""Texts are found where they stand, in code, screens and procedures, and a text that cannot be translated is an error."""

from __future__ import annotations

import ast
import re
from collections.abc import Callable, Iterator
from io import BytesIO
from pathlib import Path
from typing import Any

import pytest

from coach.language_tools.kv_texts import extract_kv
from coach.language_tools.python_texts import TABLES, TEXT_LAST, extract_python
from coach.language_tools.sources import DOMAINS, templates, texts
from coach.language_tools.yaml_texts import extract_yaml

ROOT = Path(__file__).resolve().parents[2]


def found(extract: Callable[..., Iterator[Any]], source: str) -> list[tuple[int, Any]]:
    return [(line, words) for line, _name, words, _where in extract(BytesIO(source.encode()), (), (), {})]


PYTHON = [
    ('x = _("Done")', [(1, "Done")]),
    ("x = f\"{_('Done')}, {n_('%(n)s day', '%(n)s days', 2)}\"", None),
    ("x = f\"{_('Done')}\"", [(1, "Done")]),
    ('x = n_("%(n)s boat", "%(n)s boats", 2)', None),
    ('_("Yes" if a else "No")', [(1, "Yes"), (1, "No")]),
    ("_(step.do)", []),
    ('Problem("P101", "nothing is there", "it is needed", "write it", place, {"key": "a b"})', None),
    ('why = "it is needed"\nProblem("P101", "nothing is there", why, "write it")', None),
    ('Reason("G018", "person", "only a technician may", "why so", "hand over", act="hand_over")', None),
    ('_unmet("wind", f"G14{2}", "mean wind %(value)s" if a else "gust %(value)s", "wait", value=3)', None),
    ('_FAULTS = {"U101": ("nothing was typed", "why so", "type it")}', None),
    ('WORDS = {"lost": "withdrawn by hand"}', [(1, "withdrawn by hand")]),
    ('SIGNS = {"lost": "gone"}\nx = _(SIGNS[kind])', [(1, "gone")]),
    ('Field("shown_by", "What shows it?", "choice", options=(("tag", "Tag on the boat"),))', None),
    ('TITLE_ID = "not for people"', []),
    ('print("not for people")', []),
]
EXPECTED: dict[int, list[str]] = {
    1: ["Done", "%(n)s day", "%(n)s days"],
    3: ["%(n)s boat", "%(n)s boats"],
    6: ["nothing is there", "it is needed", "write it"],
    7: ["nothing is there", "it is needed", "write it"],
    8: ["only a technician may", "why so", "hand over"],
    9: ["mean wind %(value)s", "gust %(value)s", "wait"],
    10: ["nothing was typed", "why so", "type it"],
    13: ["What shows it?", "Tag on the boat"],
}


@pytest.mark.parametrize("place", range(len(PYTHON)))
def test_the_texts_of_python(place: int) -> None:
    source, expected = PYTHON[place]
    seen = found(extract_python, source)
    if expected is not None:
        assert seen == expected
    else:
        flat = {word for _line, words in seen for word in ([words] if isinstance(words, str) else words)}
        assert flat == set(EXPECTED[place])


def test_the_line_is_that_of_the_text() -> None:
    assert found(extract_python, 'a = 1\nb = (\n    _("Done"),\n    _("Go on"),\n)\n') == [(3, "Done"), (4, "Go on")]


@pytest.mark.parametrize(
    "source", ['_(f"{count} boats")', 'Problem("P101", f"no {name}", "why", "mend")', 'Phrase(f"write {word}")']
)
def test_a_text_that_is_put_together_is_an_error(source: str) -> None:
    with pytest.raises(
        ValueError, match=r"^line 1: an f-string cannot be translated; use a template with named slots$"
    ):
        found(extract_python, source)


def test_a_word_of_somebody_in_a_slot_is_no_text() -> None:
    assert found(extract_python, 'fields.scalar("left", due=f"a {kind}")') == []
    assert found(extract_python, 'fields.scalar("left", due="a length")') == [(1, "a length")]


def test_the_texts_of_a_screen() -> None:
    source = """<Row>:
    words: root.note or ('' if root.taken else tr._('Tap (twice), please'))
    kind: {'a': tr._("It's over"), 'b': 'plain'}[root.kind]
    count: tr.n_('%(n)d left', '%(n)d are left', root.n) % {'n': root.n}
    text: extra._('not ours')
"""
    assert found(extract_kv, source) == [
        (2, "Tap (twice), please"),
        (3, "It's over"),
        (4, ("%(n)d left", "%(n)d are left")),
    ]


def test_a_call_that_never_closes_is_an_error() -> None:
    with pytest.raises(ValueError, match=r"^line 2: a call of tr\._ is not closed$"):
        found(extract_kv, "<Row>:\n    words: tr._('Done'\n")


def test_the_texts_of_a_procedure_with_where_they_stand() -> None:
    source = """procedure: dinghy
title: Cover a dinghy
cautions:
  - {signal: DANGER, text: An open flame can kill.}
measures:
  drive: {ask: "Which drive?", kind: choice, options: {out: Outboard, none: None}}
numbers:
  film: {title: Film, formula: 2 * beam, kind: length, why: Both sides.}
stages:
  - stage: look
    title: Look
    steps:
      - step: look-round
        do: >
          Walk once
          round.
        shows: [film]
"""
    seen = [(line, words, where) for line, _n, words, where in extract_yaml(BytesIO(source.encode()), (), (), {})]
    assert seen == [
        (2, "Cover a dinghy", ["dinghy title"]),
        (4, "An open flame can kill.", ["dinghy text"]),
        (6, "Which drive?", ["dinghy ask"]),
        (6, "Outboard", ["dinghy"]),
        (6, "None", ["dinghy"]),
        (8, "Film", ["dinghy title"]),
        (8, "Both sides.", ["dinghy why"]),
        (11, "Look", ["look title"]),
        (14, "Walk once round.", ["look-round do"]),
    ]


def test_a_card_gives_its_lines() -> None:
    assert found(extract_yaml, "card: burn\ntitle: A burn\nlines:\n  - Cool it.\n  - Call for help.\n") == [
        (2, "A burn"),
        (4, "Cool it."),
        (5, "Call for help."),
    ]


def test_each_text_stands_in_one_catalogue_and_the_same_sources_give_the_same_texts() -> None:
    made = templates(ROOT)
    ids = [message.id for domain in DOMAINS for message in made[domain] if message.id]
    assert len(ids) == len(set(ids)) > 3_000
    assert all(message.locations for domain in DOMAINS for message in made[domain] if message.id)


def test_what_the_gate_says_is_among_the_safety_texts() -> None:
    safety = {message.id for message in templates(ROOT)["safety"] if message.id}
    assert {
        "Who is the fire watch?",
        "%(taped)s of %(vents)s fuel vents are taped",
        "Take the flame off the film and let go of the trigger.",
        "A tape came off",
        "Taped fuel vents",
        "mean wind",
        "Call the emergency number.",
        "Post the fire watch where the whole cover can be seen.",
    } <= safety


def test_no_table_that_another_file_translates_is_forgotten() -> None:
    """`_(NAME[key])` translates what stands in NAME: where NAME is imported, the extractor must know it by name."""
    forgotten = []
    for path in sorted((ROOT / "coach").rglob("*.py")):
        tree = ast.parse(path.read_text(encoding="utf-8"))
        brought_in = {name.name for node in ast.walk(tree) if isinstance(node, ast.ImportFrom) for name in node.names}
        for node in ast.walk(tree):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id == "_":
                used = {name.id for name in ast.walk(node) if isinstance(name, ast.Name) and name.id.isupper()}
                missed = sorted((used & brought_in) - TABLES - TEXT_LAST)
                forgotten += [f"{path.relative_to(ROOT)}:{node.lineno}: {name}" for name in missed]
    assert forgotten == []


def test_no_text_that_is_translated_has_spaces_at_its_ends() -> None:
    """The catalogues hold texts without them, so such a text would be looked up in vain and shown in English."""
    spaced = []
    for path in sorted((ROOT / "coach").rglob("*.py")):
        for node in ast.walk(ast.parse(path.read_text(encoding="utf-8"))):
            if isinstance(node, ast.Call) and isinstance(node.func, ast.Name) and node.func.id in ("_", "n_"):
                spoken = [each.value for each in ast.walk(node) if isinstance(each, ast.Constant)]
                spaced += [
                    f"{path.relative_to(ROOT)}:{node.lineno}: {text!r}"
                    for text in spoken
                    if isinstance(text, str) and text != text.strip()
                ]
    assert spaced == []


def test_no_id_of_the_program_is_given_to_translators() -> None:
    """Ids of states, events and steps look like words to a translator, and are never shown."""
    every = list(texts(ROOT))
    ids = [text for text in every if isinstance(text.words, str) and re.fullmatch(r"[a-z]+(_[a-z]+)+", text.words)]
    assert [f"{text.file}:{text.line}: {text.words}" for text in ids] == []
    assert not {text.words for text in every} & {"burning", "holed", "tripped", "first", "second", "early", "tag"}


def test_every_file_says_where_its_texts_go() -> None:
    assert {text.domain for text in texts(ROOT)} == set(DOMAINS)
