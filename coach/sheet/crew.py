"""The crew by skill as one self-contained HTML page: table, plot over the season, today's tool, pairs, what to teach.

Rules kept here:
 1. Every text is escaped where it enters the page; nothing is loaded from elsewhere.
 2. A state is told by its word; colour only repeats it.
Knows nothing of: files, where the record is kept.
"""

from __future__ import annotations

from html import escape

from coach.language import _
from coach.sheet.practice import page_of
from coach.sheet.svg import svg
from coach.view.practice_crew import Cell, CrewView, PersonLine

KEPT_NOTE = (
    "* needed by a role. The per cent is what is left of trained accuracy: half is gone after six and a half months "
    "without use."
)
TONES = {"current": "good", "lapsed": "warn", "begun": "plain", "never": "plain"}


def crew_page(view: CrewView) -> str:
    """The page."""
    parts = [
        f"<h1>{escape(_('Crew'))}</h1><p>{escape(view.yard)}, {escape(view.day)}</p>",
        f'<div class="box"><p>{escape(view.asks)}</p></div>' if view.asks else "",
        _section(_("Who may hold the tool today"), _list(view.holders, _("Nobody."))),
        _section(_("Skills"), _table(view)),
        _section(_("Over the season"), svg(view.plot, 180, 80)),
        _section(
            _("Who goes with whom"),
            _list(tuple(f"{p.learner} + {p.mentor}: {p.skills}" for p in view.pairs), _("Nobody needs to.")),
        ),
        _section(_("What several people get wrong"), _wrong(view)),
    ]
    return page_of(_("Crew"), "\n".join(part for part in parts if part))


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>"


def _list(lines: tuple[str, ...], nothing: str) -> str:
    if not lines:
        return f"<p>{escape(nothing)}</p>"
    return "<ul>" + "".join(f"<li>{escape(line)}</li>" for line in lines) + "</ul>"


def _table(view: CrewView) -> str:
    heads = "".join(f"<th>{escape(word)}</th>" for word in (_("Name"), *view.heads, _("Tool")))
    rows = "".join(_person(person) for person in view.people)
    note = escape(
        _("The per cent is what is left of trained accuracy: half is gone after six and a half months without use.")
    )
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table><p class='evidence'>{note}</p>"


def _person(person: PersonLine) -> str:
    cells = "".join(_cell(cell) for cell in person.cells)
    holds = escape(_("yes") if person.holds else _("no"))
    who = f"<b>{escape(person.name)}</b>{_small(person.roles)}"
    return f"<tr><td>{who}</td>{cells}<td>{holds}{_small(person.tool)}</td></tr>"


def _cell(cell: Cell) -> str:
    kept = f" {cell.kept} %" if cell.detail else ""
    needed = "*" if cell.needed else ""
    return f'<td class="skill-{TONES[cell.state]}">{escape(cell.word)}{needed}{kept}{_small(cell.detail)}</td>'


def _small(text: str) -> str:
    return f'<div class="evidence">{escape(text)}</div>'


def _wrong(view: CrewView) -> str:
    if not view.wrong:
        return f"<p>{escape(_('Nothing yet.'))}</p>"
    rows = "".join(
        f'<tr><td class="num">{line.people} / {line.of}</td><td>{escape(line.what)}{_small(line.why)}</td></tr>'
        for line in view.wrong
    )
    heads = f"<th>{escape(_('People'))}</th><th>{escape(_('What, and why it matters'))}</th>"
    return f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>"
