"""The day's load list as one self-contained HTML page with boxes to tick by hand."""

from __future__ import annotations

from html import escape

from coach.language import _, current
from coach.sheet.style import CSS
from coach.view.load import LoadView


def load_page(view: LoadView, day: str = "") -> str:
    """The page."""
    title = _("Load for %(boats)s") % {"boats": ", ".join(view.boats)} if view.boats else _("Nothing to load")
    parts = [f"<h1>{escape(title)}</h1>", f"<p>{escape(day)}</p>"]
    if view.short:
        parts.append(f'<div class="box danger"><p><b>{escape(_("Something is short: see the first stage."))}</b></p></div>')
    for name, items in view.stages:
        rows = "".join(f'<tr><td class="num">☐</td><td>{escape(item)}</td></tr>' for item in items)
        parts.append(f"<section><h2>{escape(name)}</h2><table><tbody>{rows}</tbody></table></section>")
    if view.waiting:
        parts.append(f"<p>{escape(_('Not measured far enough: %(boats)s') % {'boats': ', '.join(view.waiting)})}</p>")
    return (
        f'<!doctype html>\n<html lang="{current().replace("_", "-")}"><head><meta charset="utf-8"><title>{escape(title)}</title>'
        f"<style>{CSS}</style></head>\n<body>\n" + "\n".join(parts) + "\n</body></html>\n"
    )
