"""One boat's story as a picture: a line a day, flames as bars on it, what went wrong above, what was settled below.

Rules kept here:
 1. Every flame, trip, refusal, step left out, tag, review and signature of the log has its mark; days on which nothing
    was recorded have no line.
 2. All days have one scale, so that an hour is as long on each.
Knows nothing of: the toolkit, HTML, files.
Called by: sheet.page, tablet.  Proved by: tests/view/test_story.py.
"""

from __future__ import annotations

from collections.abc import Iterator, Sequence
from dataclasses import dataclass
from datetime import tzinfo

from coach.core.events import Event
from coach.core.rules import Rules
from coach.formats import clock_text, day_of_wall, moment_text
from coach.language import _
from coach.view.drawing import Drawing, Legend, Line, Part, Polygon, Sign, Text

# kind of event: sign, role of the palette, above or below the line.
SIGNS: dict[str, tuple[str, str, int]] = {
    "tripped": ("stop", "bad", 1),
    "heat_refused": ("lock", "ink", 1),
    "step_excused": ("minus", "ink", 1),
    "debt_tagged": ("tape", "bad", 1),
    "sent_back": ("back", "bad", -1),
    "signed": ("pen", "ink", -1),
    "accepted": ("tick", "good", -1),
}
WORDS = {
    "tripped": "Trip",
    "heat_refused": "Flame refused",
    "step_excused": "Step left out",
    "debt_tagged": "Hung on a tag",
    "sent_back": "Sent back",
    "signed": "Signed",
    "accepted": "Accepted",
}
WIDE, PITCH, HALF, AWAY = 12.0, 1.9, 0.14, 0.42  # of a day's line, in the drawing's own units
SHORTEST = 30 * 60_000  # ms; a day with one event alone is drawn this long


@dataclass(frozen=True)
class _Day:
    """The events of one day, and the flames that burned on it as begin and end in ms."""

    name: str
    events: tuple[Event, ...]
    flames: tuple[tuple[int, int], ...]

    @property
    def begin(self) -> int:
        return min(event.at.wall for event in self.events)

    @property
    def end(self) -> int:
        return max(event.at.wall for event in self.events)


def time_line(rules: Rules, events: Sequence[Event], zone: tzinfo | None = None) -> Drawing:
    """The story's time line."""
    days = _days(events, zone)
    longest = max(SHORTEST, *(day.end - day.begin for day in days))
    parts: list[Part] = []
    for place, day in enumerate(days):
        parts += _line(day, -PITCH * place, WIDE / longest, zone)
    kinds = {event.kind for event in events}
    legend = [Legend(_("Flame lit"), "flame")] if "flame_lit" in kinds else []
    legend += [
        Legend(_(WORDS[kind]), icon=icon, role=role) for kind, (icon, role, _up) in SIGNS.items() if kind in kinds
    ]
    title = _("What happened at %(boat)s, day by day") % {"boat": str(events[0].data["boat"])}
    return Drawing("story", title, tuple(parts), tuple(legend))


def height_of(drawing: Drawing) -> float:
    """How many millimetres high the time line wants to be on a page, its legend included."""
    rows = sum(isinstance(part, Line) and part.style == "part" for part in drawing.parts)
    return 8.0 + 18.0 * rows + (14.0 if drawing.legend else 0.0)


def _days(events: Sequence[Event], zone: tzinfo | None) -> list[_Day]:
    held: dict[str, list[Event]] = {}
    for event in events:
        held.setdefault(day_of_wall(event.at.wall, zone), []).append(event)
    burned = list(_flames(events))
    days = []
    for name, own in held.items():
        begin, end = min(e.at.wall for e in own), max(e.at.wall for e in own)
        flames = tuple((max(lit, begin), min(out, end)) for lit, out in burned if lit <= end and out >= begin)
        days.append(_Day(name, tuple(own), flames))
    return days


def _flames(events: Sequence[Event]) -> Iterator[tuple[int, int]]:
    lit = 0
    for event in events:
        if event.kind == "flame_lit":
            lit = event.at.wall
        elif event.kind == "flame_out" and lit:
            yield lit, event.at.wall
            lit = 0
    if lit:
        yield lit, events[-1].at.wall


def _line(day: _Day, y: float, scale: float, zone: tzinfo | None) -> list[Part]:
    """One day: its line with the times at both ends, its name, bars and signs."""
    end = max((day.end - day.begin) * scale, SHORTEST * scale / 2)
    parts: list[Part] = [Line((0, y), (end, y), "part"), Text((0, y + AWAY), day.name, "left", "ink", bold=True)]
    parts.append(Text((0, y), clock_text(day.begin, zone, seconds=False), "left", "soft"))
    parts.append(Text((end + HALF, y + 0.8 * AWAY), clock_text(day.end, zone, seconds=False), "right", "soft"))
    for lit, out in day.flames:
        left, right = (lit - day.begin) * scale, max((out - day.begin) * scale, (lit - day.begin) * scale + 0.02)
        parts.append(Polygon(((left, y - HALF), (right, y - HALF), (right, y + HALF), (left, y + HALF)), "flame"))
    for event in day.events:
        if event.kind in SIGNS:
            icon, role, up = SIGNS[event.kind]
            at = ((event.at.wall - day.begin) * scale, y + up * AWAY)
            parts += [Line((at[0], y), at, "guide"), Sign(at, icon, 5.0, role)]
    return parts


def photos_of(rules: Rules, events: Sequence[Event], zone: tzinfo | None = None) -> list[tuple[str, str]]:
    """Every picture that the events name as evidence, in order: its hash, and what it shows of which step, when."""
    found = []
    for event in events:
        step = rules.steps.get(str(event.data.get("step"))) if event.kind == "step_done" else None
        if step is None:
            continue
        given = event.data["evidence"]
        for item in step.evidence:
            if item.kind == "photo" and given.get(item.id):
                found.append((str(given[item.id]), f"{_(item.ask)} ({_(step.do)} {moment_text(event.at.wall, zone)})"))
    return found
