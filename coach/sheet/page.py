"""The checklist of a job as one self-contained HTML page: no script, no link, nothing loaded.

Rules kept here:
 1. Every text is escaped where it enters the page.
 2. A photo is shown from its own bytes inside the page, and only if they begin as a JPEG's or a PNG's.
 3. What is bad news stands as large as what is good: trips, refusals, steps left out, debts on a tag.
Knows nothing of: files, the ledger; it is given a Checklist and drawings.
"""

from __future__ import annotations

from base64 import b64encode
from collections.abc import Sequence
from dataclasses import dataclass
from html import escape

from coach.language import LANGUAGES, _, current, review_note
from coach.sheet.style import CSS
from coach.sheet.svg import svg
from coach.view.checklist import Checklist, DoneLine, SignatureView, StoryLine
from coach.view.drawing import Drawing
from coach.view.frame_check import FrameView
from coach.view.measures import NumberLine
from coach.view.story import height_of

# How a picture's bytes begin, and what it is then (ISO/IEC 10918-1; ISO/IEC 15948).
PHOTO_KINDS = {b"\xff\xd8\xff": "image/jpeg", b"\x89PNG\r\n\x1a\n": "image/png"}
MARKS = {"done": "✓ done", "excused": "– left out", "open": "○ open", "not_asked": "· not asked"}
STATES = {
    "working": "being worked on", "paused": "paused", "stopping": "being stopped", "closed": "signed, waiting for review",
    "stopped": "stopped safely", "accepted": "accepted", "new": "not started",
}


@dataclass(frozen=True)
class Photo:
    """A picture that the record names: its hash, what it shows, and its bytes; None if it is not at hand."""

    hash: str
    caption: str
    data: bytes | None


def page(
    list_: Checklist, pictures: Sequence[tuple[str, Drawing]] = (), seal: str = "", line: Drawing | None = None,
    photos: Sequence[Photo] = (),
) -> str:
    """The page.

    Args:
        pictures: pairs of caption and drawing.
        seal: a sentence on how the record is sealed.
        line: the story's time line (view.story).
        photos: the pictures that the record names.
    """
    parts = [
        _head(list_),
        _facts(list_),
        _news(list_),
        _section(_("Measures"), _pairs(list_.measures)),
        _section(_("Numbers"), _numbers(list_.numbers)),
        _frame(list_.frame),
        _section(_("Pictures"), _pictures(pictures)) if pictures else "",
        _section(_("Flame"), _flames(list_)),
        _section(_("Time line"), svg(line, 180, height_of(line))) if line else "",
        _section(_("Photos"), _photos(photos)) if photos else "",
        _section(_("Steps"), _steps(list_.lines)),
        _section(_("Signatures"), _signatures(list_.signatures)),
        _section(_("What happened, moment by moment"), _story(list_.story)),
        _foot(list_, seal),
    ]
    title = escape(f"{list_.boat} – {list_.procedure}")
    return (
        f'<!doctype html>\n<html lang="{current().replace("_", "-")}"><head><meta charset="utf-8">'
        f'<meta name="viewport" content="width=device-width"><title>{title}</title><style>{CSS}</style></head>\n<body>\n'
        + "\n".join(part for part in parts if part)
        + "\n</body></html>\n"
    )


def _head(list_: Checklist) -> str:
    practice = f'<div class="practice">{escape(_("PRACTICE – this is not the record of a real job"))}</div>' if list_.practice else ""
    return f"{practice}<h1>{escape(list_.boat)}</h1><p>{escape(list_.procedure)}</p>"


def _facts(list_: Checklist) -> str:
    facts = (
        (_("State"), _(STATES.get(list_.status, list_.status))), (_("Technician"), list_.technician),
        (_("Started"), list_.started), (_("Job"), list_.job),
    )
    return '<div class="facts">' + "".join(f"<div><span>{escape(a)}</span><b>{escape(b)}</b></div>" for a, b in facts) + "</div>"


def _news(list_: Checklist) -> str:
    """What a supervisor must look at first."""
    lines = [line for line in list_.story if line.kind in ("tripped", "heat_refused", "step_excused", "debt_tagged", "stop_asked", "sent_back")]
    if not lines and not list_.debts:
        return f'<div class="box"><p><b>{escape(_("Nothing out of the ordinary."))}</b></p></div>'
    rows = "".join(f"<li>{escape(line.clock)} {escape(line.text)}</li>" for line in lines)
    open_ = "".join(f"<li>{escape(_('Still to be undone: %(name)s') % {'name': name})}</li>" for name in list_.debts)
    return f'<div class="box danger"><p><b>{escape(_("Look at this first"))}</b></p><ul>{open_}{rows}</ul></div>'


def _section(title: str, body: str) -> str:
    return f"<section><h2>{escape(title)}</h2>{body}</section>"


def _pairs(pairs: Sequence[tuple[str, str]]) -> str:
    rows = "".join(f'<tr><td>{escape(a)}</td><td class="num">{escape(b)}</td></tr>' for a, b in pairs)
    return f"<table><tbody>{rows}</tbody></table>"


def _numbers(lines: Sequence[NumberLine]) -> str:
    rows = "".join(
        f'<tr><td>{escape(line.title)}</td><td class="num"><b>{escape(line.shown or "–")}</b></td>'
        f'<td class="evidence">{escape(line.explanation or ", ".join(line.waits) or line.problem)}</td></tr>'
        for line in lines
    )
    head = f"<thead><tr><th>{escape(_('Number'))}</th><th>{escape(_('Take'))}</th><th>{escape(_('Arithmetic'))}</th></tr></thead>"
    return f"<table>{head}<tbody>{rows}</tbody></table>"


def _frame(frame: FrameView | None) -> str:
    """The verdict on the frame under the yard's snow; it never stands without its caution."""
    if frame is None:
        return ""
    word = f"<p><b>{escape(frame.word)}</b></p>" if frame.word else ""
    lines = "".join(f"<p>{escape(line)}</p>" for line in frame.lines)
    table = _pairs(frame.numbers) if frame.numbers else ""
    tone = "" if frame.good or not frame.word else " danger"
    body = f'<div class="box{tone}">{word}{lines}<p class="evidence">{escape(frame.caution)}</p></div>{table}'
    return _section(_("Frame under snow"), body)


def _pictures(pictures: Sequence[tuple[str, Drawing]]) -> str:
    figures = "".join(f"<figure>{svg(drawing, 88, 62)}<figcaption>{escape(text)}</figcaption></figure>" for text, drawing in pictures)
    return f'<div class="pictures">{figures}</div>'


def _photos(photos: Sequence[Photo]) -> str:
    return f'<div class="pictures">{"".join(_photo(photo) for photo in photos)}</div>'


def _photo(photo: Photo) -> str:
    kind = next((kind for start, kind in PHOTO_KINDS.items() if photo.data and photo.data.startswith(start)), "")
    shown = f'<p class="box">{escape(_("This picture is not on this device."))}</p>'
    if photo.data and kind:
        inside = b64encode(photo.data).decode("ascii")
        shown = f'<img src="data:{kind};base64,{inside}" alt="{escape(photo.caption)}">'
    elif photo.data:
        shown = f'<p class="box">{escape(_("This picture is neither JPEG nor PNG and is not shown."))}</p>'
    return f"<figure>{shown}<figcaption>{escape(photo.caption)} <code>{escape(photo.hash[:12])}</code></figcaption></figure>"


def _flames(list_: Checklist) -> str:
    if not list_.flames:
        return f"<p>{escape(_('No flame was lit.'))}</p>"
    rows = "".join(
        f'<tr><td>{escape(step)}</td><td class="at">{escape(start)}</td><td class="at">{escape(end)}</td></tr>' for step, start, end in list_.flames
    )
    head = f"<thead><tr><th>{escape(_('Step'))}</th><th>{escape(_('Lit'))}</th><th>{escape(_('Out'))}</th></tr></thead>"
    return f"<table>{head}<tbody>{rows}</tbody></table>"


def _steps(lines: Sequence[DoneLine]) -> str:
    rows, stage = [], ""
    for line in lines:
        if line.stage != stage:
            stage = line.stage
            rows.append(f'<tr><th colspan="4">{escape(stage)}</th></tr>')
        rows.append(_step(line))
    return f"<table><tbody>{''.join(rows)}</tbody></table>"


def _step(line: DoneLine) -> str:
    given = "".join(f'<div class="evidence">{escape(ask)} <b>{escape(answer)}</b></div>' for ask, answer in line.evidence)
    note = f'<div class="evidence">{escape(line.note)}</div>' if line.note else ""
    note += f'<div class="evidence">{escape(_seen(line.shown))}</div>' if line.shown else ""
    flame = f' <b>({escape(_("flame"))})</b>' if line.heat else ""
    return (
        f'<tr class="tone-{"warn" if line.mark in ("excused", "open") else "plain"}"><td><span class="mark">{escape(_(MARKS[line.mark]))}</span></td>'
        f'<td>{escape(line.text)}{flame}{given}{note}</td><td class="at">{escape(line.clock)}</td><td class="by">{escape(line.by)}</td></tr>'
    )


def _signatures(signatures: Sequence[SignatureView]) -> str:
    if not signatures:
        return f"<p>{escape(_('Not signed yet.'))}</p>"
    return '<div class="signatures">' + "".join(_signature(each) for each in signatures) + "</div>"


def _signature(each: SignatureView) -> str:
    lines = "".join(
        f'<polyline points="{" ".join(f"{x / 100:.2f},{y / 250:.2f}" for x, y in stroke)}" fill="none" stroke="#16202a" stroke-width="0.8"/>'
        for stroke in each.strokes
    )
    seen = f"<br>{escape(_seen(each.shown))}" if each.shown else ""
    return (
        f'<div class="box"><svg viewBox="0 0 100 40" width="70mm" height="28mm" role="img" aria-label="{escape(each.name)}">{lines}</svg>'
        f"<p><b>{escape(each.name)}</b>, {escape(each.role)}<br>{escape(each.at)}<br>{escape(each.meaning)}{seen}</p></div>"
    )


def _seen(shown: str) -> str:
    return _("As it was read when it was signed: %(text)s") % {"text": shown}


def _story(lines: Sequence[StoryLine]) -> str:
    rows, day = [], ""
    for line in lines:
        if line.day != day:
            day = line.day
            rows.append(f'<tr><th colspan="4">{escape(day)}</th></tr>')
        rows.append(
            f'<tr class="tone-{line.tone}"><td class="num">{line.seq}</td><td class="at">{escape(line.clock)}</td>'
            f'<td class="by">{escape(line.by)}</td><td>{escape(line.text)}</td></tr>'
        )
    return f"<table><tbody>{''.join(rows)}</tbody></table>"


def _foot(list_: Checklist, seal: str) -> str:
    hashes = "".join(f"<p>{escape(name)} <code>{escape(value)}</code></p>" for name, value in list_.hashes)
    note = _(
        "This sheet is made from the record; the sealed file beside it is what counts. The gate is an administrative "
        "control: local fire codes, the film's and the tool's instructions and licensed practice come first."
    )
    language = f"{LANGUAGES.get(current(), current())}: {review_note()}"
    return f"<footer><p>{escape(note)}</p><p>{escape(language)}</p><p>{escape(seal)}</p>{hashes}</footer>"
