"""Who had a flame lit, as it is told to a fire inspector: each flame with its safeguards, their values and when stated.

Rules kept here:
 1. Every safeguard of the gate has its line, shown or not; every value stands in words as it was asked.
Knows nothing of: the toolkit, stores.
Called by: cli.  Proved by: tests/view/test_flames.py.
"""

from __future__ import annotations

from datetime import date, tzinfo
from typing import Any

from coach.formats import day_text, moment_text
from coach.language import _, n_
from coach.view.checklist import proof_items
from coach.view.isotime import iso
from coach.view.texts import noted_text, sentence
from coach.yard.flames import BURNING, TRIPPED, Flame, Flames, Shown


def flame_lines(
    found: Flames, day: date, yard: str, system: str = "us", zone: tzinfo | None = None, zone_name: str = ""
) -> list[str]:
    """The answer for a terminal.

    Args:
        found: the flames of the day.
        day: the day asked for.
        yard: the yard's name.
        system: units, us or metric.
        zone: whose day it is.
        zone_name: how the zone is called; '' for the device's own.
    """
    count = len(found.found)
    boats = len({flame.job for flame in found.found})
    at = n_("%(count)d boat", "%(count)d boats", boats) % {"count": boats}
    told = n_("%(count)d flame at %(boats)s", "%(count)d flames at %(boats)s", count) % {"count": count, "boats": at}
    whose = zone_name or _("by this device's clock")
    head = ", ".join(part for part in (yard, f"{day_text(day)} ({whose})") if part)
    lines = [f"{head}: {told if count else _('no flame was lit')}"]
    for number, flame in enumerate(found.found, 1):
        lines += ["", *_flame(number, flame, system, zone)]
    for unread in found.unread:
        lines += [
            "",
            _("The record of %(job)s cannot be read; a flame was lit there. Verify it.") % {"job": unread.job},
        ]
    return lines


def _flame(number: int, flame: Flame, system: str, zone: tzinfo | None) -> list[str]:
    story = flame.story
    step = story.rules.steps.get(flame.step)
    practice = f"  {_('PRACTICE')}" if flame.practice else ""
    until = moment_text(flame.out, zone) if flame.out else _("no event says that it is out")
    who = story.name(flame.operator)
    lines = [
        f"{number}. {flame.boat}: {_(step.do) if step else flame.step}{practice}",
        "   "
        + _("Lit %(lit)s, out %(out)s, by %(who)s") % {"lit": moment_text(flame.lit, zone), "out": until, "who": who},
        "   " + _("Job %(job)s, event %(event)d") % {"job": flame.job, "event": flame.event},
        "   " + _("Safeguards when it was lit:"),
    ]
    lines += [f"    - {_shown(flame, shown, system, zone)}" for shown in flame.shown]
    if flame.again:
        lines.append("   " + _("Stated while it burned:"))
        lines += [f"    - {_shown(flame, shown, system, zone)}" for shown in flame.again]
    return [*lines, f"   {_end(flame, system, zone)}"]


def _shown(flame: Flame, shown: Shown, system: str, zone: tzinfo | None) -> str:
    """One safeguard: its name, whether it held, its values, when and by whom."""
    row = flame.story.rules.safeguards.get(shown.safeguard)
    name = _(row.name) if row else shown.safeguard
    if not shown.event or row is None:
        return f"{name}: {_('NOT SHOWN')}"
    verdict = _("holds") if shown.met else _("DOES NOT HOLD")
    stated = "; ".join(f"{ask} {answer}" for ask, answer in proof_items(flame.story.rules, row, shown.values, system))
    who = flame.story.name(shown.by)
    at = _("stated %(at)s by %(who)s, event %(event)d") % {
        "at": moment_text(shown.wall, zone),
        "who": who,
        "event": shown.event,
    }
    return f"{name}: {verdict}. {sentence(stated)} ({at})"


def _end(flame: Flame, system: str, zone: tzinfo | None) -> str:
    if flame.end == BURNING:
        return _("The record does not say that this flame is out.")
    ended = sentence(_("Flame out, tool closed"))
    if flame.end == TRIPPED:
        ended = _("TRIP: %(why)s.") % {"why": "; ".join(noted_text(reason, system) for reason in flame.lost)}
    if flame.followed:
        return f"{ended} {_('Another flame followed at this boat; one fire watch came after the last.')}"
    if flame.watch_until:
        return f"{ended} {_('Fire watch held until %(at)s.') % {'at': moment_text(flame.watch_until, zone)}}"
    return f"{ended} {_('No fire watch is recorded as held after it yet.')}"


def flame_data(found: Flames, day: date, zone: tzinfo | None = None) -> dict[str, Any]:
    """The answer for programs: ids, raw values, ISO 8601 times."""
    return {
        "day": day.isoformat(),
        "flames": [_flame_data(flame, zone) for flame in found.found],
        "unread": [{"job": each.job, "code": each.problem.code} for each in found.unread],
    }


def _flame_data(flame: Flame, zone: tzinfo | None) -> dict[str, Any]:
    return {
        "job": flame.job, "boat": flame.boat, "practice": flame.practice, "step": flame.step, "event": flame.event,
        "operator": flame.operator, "name": flame.story.name(flame.operator), "lit": iso(flame.lit, zone),
        "out": iso(flame.out, zone) if flame.out else None, "end": flame.end,
        "lost": [{"code": reason["code"], "about": reason["about"], "text": reason["text"]} for reason in flame.lost],
        "safeguards": [_shown_data(shown, zone) for shown in flame.shown],
        "stated_while_lit": [_shown_data(shown, zone) for shown in flame.again],
        "fire_watch_until": iso(flame.watch_until, zone) if flame.watch_until else None,
        "another_flame_followed": flame.followed,
    }  # fmt: skip


def _shown_data(shown: Shown, zone: tzinfo | None) -> dict[str, Any]:
    return {
        "safeguard": shown.safeguard, "shown": shown.event > 0, "met": shown.met, "event": shown.event or None,
        "at": iso(shown.wall, zone) if shown.event else None, "by": shown.by or None, "values": dict(shown.values),
        "identified": list(shown.identified),
    }  # fmt: skip
