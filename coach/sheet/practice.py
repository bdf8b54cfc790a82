"""The judgement of a drill as one self-contained HTML page, marked as practice at its top.

Rules kept here:
 1. Every text is escaped where it enters the page; nothing is loaded from elsewhere.
Knows nothing of: files.
"""

from __future__ import annotations

from html import escape

from coach.language import _, current
from coach.practice.assessment import Assessment
from coach.sheet.style import CSS
from coach.sheet.svg import svg
from coach.view.practice import practice_mark
from coach.view.practice_result import FindingLine, result_view, time_line


def result_page(done: Assessment, name: str) -> str:
    """The page of one run. name: of the trainee."""
    view = result_view(done, name)
    facts = (
        (_("Trainee"), view.trainee),
        (_("Verdict"), view.verdict),
        (_("Score"), f"{view.score} / 100"),
        (_("Skills"), view.skills),
        (_("Time"), view.when),
    )
    shown = "".join(f"<div><span>{escape(a)}</span><b>{escape(b)}</b></div>" for a, b in facts)
    parts = [
        f'<div class="practice">{escape(practice_mark())}</div><h1>{escape(view.title)}</h1>',
        f'<div class="facts">{shown}</div><p>{escape(view.note)}</p>',
        f"<section><h2>{escape(_('Time line'))}</h2>{svg(time_line(done), 180, 42)}</section>",
        f"<section><h2>{escape(_('What was not good'))}</h2>{_findings(view.findings)}</section>",
        f"<section><h2>{escape(_('What was good'))}</h2>{_met(view.met)}</section>",
    ]
    return page_of(view.title, "\n".join(parts))


def page_of(title: str, body: str) -> str:
    """A whole HTML page."""
    return (
        f'<!doctype html>\n<html lang="{current().replace("_", "-")}"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width"><title>{escape(title)}</title>'
        f"<style>{CSS}</style></head>\n<body>\n{body}\n</body></html>\n"
    )


def _findings(lines: tuple[FindingLine, ...]) -> str:
    if not lines:
        return f"<p>{escape(_('Nothing.'))}</p>"
    rows = "".join(
        f'<tr class="tone-{line.tone}"><td class="at">{escape(line.at)}</td><td><b>{escape(line.word)}</b></td>'
        f'<td>{escape(line.what)}<div class="evidence">{escape(line.why)}<br>{escape(line.wrong)}</div></td></tr>'
        for line in lines
    )
    head = "".join(
        f"<th>{escape(word)}</th>" for word in (_("Moment"), _("Kind"), _("What, why, and what it leads to"))
    )
    return f"<table><thead><tr>{head}</tr></thead><tbody>{rows}</tbody></table>"


def _met(lines: tuple[tuple[str, str], ...]) -> str:
    if not lines:
        return f"<p>{escape(_('Nothing that this drill asks for.'))}</p>"
    rows = "".join(
        f'<tr class="tone-good"><td class="at">{escape(at)}</td><td>{escape(says)}</td></tr>' for at, says in lines
    )
    return f"<table><tbody>{rows}</tbody></table>"
