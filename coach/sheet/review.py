"""The supervisor's board with the season's figures as one self-contained HTML page.

Rules kept here:
 1. Every text is escaped where it enters the page; nothing is loaded from elsewhere, and there is no script.
 2. A link leads only to a page that was written beside this one.
Knows nothing of: files, stores.
"""

from __future__ import annotations

from collections.abc import Collection
from html import escape
from urllib.parse import quote

from coach.language import _
from coach.sheet.practice import page_of
from coach.sheet.svg import svg
from coach.view.review import BoardView, FlagLine, JobLine
from coach.view.season import Figure, SeasonView

ROW, AROUND = 8.5, 10.0  # mm of a plot: for each bar, and around all of them


def review_page(board: BoardView, season: SeasonView, pages: Collection[str] = ()) -> str:
    """The page. pages: the jobs whose own page lies beside this one as JOB.html."""
    title = _("Review")
    parts = [
        f"<h1>{escape(title)}</h1><p>{escape(', '.join(part for part in (board.yard, board.told) if part))}</p>",
        f"<p>{escape(board.asked)}</p>" if board.asked else "",
        _apart(board.apart),
        *(_group(word, jobs, pages) for word, jobs in board.groups),
        f"<p>{escape(board.left_out)}</p>" if board.left_out else "",
        _section(_("The season"), _season(season)),
        f"<footer><p>{escape(_('A flag is a sign that asks for a look, not a verdict. What counts is the sealed record.'))}</p></footer>",
    ]
    return page_of(title, "\n".join(part for part in parts if part))


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>"


def _apart(texts: tuple[str, ...]) -> str:
    rows = "".join(f"<li>{escape(text)}</li>" for text in texts)
    head = escape(_("The records of the tablets do not fit together"))
    return f'<div class="box danger"><p><b>{head}</b></p><ul>{rows}</ul></div>' if texts else ""


def _group(word: str, jobs: tuple[JobLine, ...], pages: Collection[str]) -> str:
    heads = "".join(f"<th>{escape(text)}</th>" for text in (_("Boat"), _("Crew"), _("What needs a look first")))
    rows = "".join(_job(job, pages) for job in jobs)
    return _section(
        f"{word} ({len(jobs)})", f'<table class="board"><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>'
    )


def _job(job: JobLine, pages: Collection[str]) -> str:
    boat = f"<b>{escape(job.boat)}</b>"
    if job.job in pages:
        boat = f'<a href="{escape(quote(job.job))}.html">{boat}</a>'
    tone = "danger" if any(flag.tone == "danger" for flag in job.flags) else "warn" if job.flags else "plain"
    practice = f'<div class="evidence"><b>{escape(_("PRACTICE"))}</b></div>' if job.practice else ""
    times = f'<div class="evidence">{escape(job.started)} –<br>{escape(job.updated)}</div>'
    flags = "".join(_flag(flag) for flag in job.flags) or escape(_("Nothing out of the ordinary."))
    return (
        f'<tr class="tone-{tone}"><td>{boat}{practice}<div class="evidence">{escape(job.procedure)}<br>'
        f"<code>{escape(job.job)}</code></div></td><td>{escape(job.who)}{times}</td><td>{flags}</td></tr>"
    )


def _flag(flag: FlagLine) -> str:
    moments = "".join(f"<li>{escape(each.at)} ({each.seq}) {escape(each.text)}</li>" for each in flag.moments)
    more = f"<li>{escape(_('and %(count)d more') % {'count': flag.more})}</li>" if flag.more else ""
    told = f'<ul class="evidence">{moments}{more}</ul>' if moments else ""
    return f"<p><b>{escape(flag.head)}</b> {escape(flag.why)}</p>{told}"


def _season(season: SeasonView) -> str:
    parts = [f"<p>{escape(season.span)}: {escape(season.told)}</p>"]
    parts += [_figure(figure) for figure in season.figures if figure.plot]
    if season.back:
        heads = "".join(f"<th>{escape(text)}</th>" for text in (_("Step"), _("By"), _("Crew"), _("Times")))
        rows = "".join(
            f'<tr><td>{escape(step)}</td><td>{escape(by)}</td><td>{escape(whose)}</td><td class="num">{count}</td></tr>'
            for step, by, whose, count in season.back
        )
        parts.append(f"<h3>{escape(_('Who sent what back to whom'))}</h3>")
        parts.append(f"<table><thead><tr>{heads}</tr></thead><tbody>{rows}</tbody></table>")
    if season.unread:
        parts.append(f'<div class="box danger"><p>{escape(season.unread)}</p></div>')
    return "".join(parts)


def _figure(figure: Figure) -> str:
    assert figure.plot is not None
    bars = svg(figure.plot, 180, AROUND + ROW * figure.shown)
    rows = "".join(
        f'<tr><td class="num">{place}</td><td>{escape(name)}</td><td class="num">{count}</td></tr>'
        for place, (name, count) in enumerate(figure.rows, 1)
    )
    return f'<h3>{escape(figure.title)}</h3>{bars}<table class="counts"><tbody>{rows}</tbody></table>'
