"""The frame of this boat under the yard's snow, as a plain verdict with its numbers.

Rules kept here:
 1. The verdict is given only when everything it rests on is known; else it says what is missing.
 2. It never stands without its caution: a check of a temporary cover, not an engineer's design.
Knows nothing of: the toolkit; the formulas (core.sizing.frame).
"""

from __future__ import annotations

from collections.abc import Mapping
from dataclasses import dataclass

from coach.core.numbers import Value
from coach.core.policy import FrameRules
from coach.core.problems import CoachError
from coach.core.quantity import KINDS, Quantity
from coach.core.rules import Rules
from coach.core.sizing.frame import CAUTION_NOTE, Frame, Verdict, check_frame, power_boat_stations
from coach.core.sizing.notes import NOTES
from coach.core.sizing.snow import SnowPolicy
from coach.formats import quantity_text
from coach.language import _
from coach.view.boat import uprights_of
from coach.view.craft import Known
from coach.view.texts import problem_text

WORDS = {
    "holds": "The frame holds", "add_upright": "Add an upright", "steepen": "Make the ridge steeper",
    "stiffen": "Take stiffer uprights",
}
CODE_NAMES = {"asce7-16": "ASCE 7-16", "nbc": "NBC", "en1991": "EN 1991-1-3"}
NEEDED = (
    ("boat_length", "length of the hull"), ("beam", "beam"), ("ridge_height", "height of the ridge"),
    ("sole_below", "depth to the sole"), ("uprights", "uprights"),
)


@dataclass(frozen=True)
class FrameView:
    """word: '' while something is missing. lines: the findings, or what is missing. numbers: pairs of name and value."""

    word: str
    good: bool
    lines: tuple[str, ...]
    numbers: tuple[tuple[str, str], ...]
    caution: str


def frame_view(rules: Rules, measures: Mapping[str, Value], system: str = "us") -> FrameView | None:
    """The verdict for a boat, or None for a procedure that has no frame of this kind."""
    if not {"uprights", "ridge_strap"} <= set(rules.procedure.numbers) or "ridge_height" not in rules.procedure.measures:
        return None
    known, own = Known(rules, measures), rules.policy.frame
    caution = next(_(note.text) for note in NOTES if note.id == CAUTION_NOTE)
    missing = [_(words) for name, words in NEEDED if known.metres(name) is None]
    if not own.ground_snow or not own.strap_break:
        missing.append(_("ground snow and strap strength in the yard's policy"))
    if missing:
        return FrameView("", False, (_("Waits for %(names)s") % {"names": ", ".join(missing)},), (), caution)
    try:
        return _told(_verdict(known, own), own, system, caution)
    except CoachError as error:
        return FrameView("", False, tuple(problem_text(problem, system)[0] for problem in error.problems), (), caution)


def paired(names: str, first: str, second: str) -> tuple[str, str]:
    """A part's name, and each of its two numbers behind its own name.

    Args:
        names: 'part: name of the first, name of the second', in the language in use; a text of another form stays whole.
    """
    part, _colon, two = names.rpartition(":")
    one, comma, other = two.partition(",")
    if not part or not comma:
        return names, f"{first}, {second}"
    return part.strip(), f"{one.strip()} {first}, {other.strip()} {second}"


def _verdict(known: Known, own: FrameRules) -> Verdict:
    length, beam = known.metres("boat_length") or 0.0, known.metres("beam") or 0.0
    ridge, sole = known.metres("ridge_height") or 0.0, known.metres("sole_below") or 0.0
    drop = known.metres("edge_drop") or 0.0
    posts = uprights_of(known, length)
    bow, stern = max(ridge - (known.metres("bow_rise") or 0.0), 0.01), max(ridge - (known.metres("stern_rise") or 0.0), 0.01)
    line = ((0.0, bow + drop), *((x, ridge + drop) for x in posts if 0 < x < length), (length, stern + drop))
    stations = power_boat_stations(length, beam, line)
    frame = Frame(length, stations, posts, sole, own.strap_break)
    return check_frame(frame, SnowPolicy(code=own.code), own.ground_snow)


def _told(verdict: Verdict, own: FrameRules, system: str, caution: str) -> FrameView:
    def shown(value: float, kind: str) -> str:
        return quantity_text(Quantity(float(value), KINDS[kind]), kind, system)

    numbers = [(_("Ground snow, %(code)s") % {"code": CODE_NAMES[own.code]}, shown(own.ground_snow, "pressure"))]
    for place, post in enumerate(verdict.posts, 1):
        numbers.append(paired(_("Upright %(number)d: load, may carry") % {"number": place}, shown(post.load, "force"), shown(post.allowed, "force")))
    for place, bay in enumerate(verdict.bays, 1):
        pulls = _("Ridge strap, bay %(number)d: pull, may take") % {"number": place}
        numbers.append(paired(pulls, shown(bay.tension, "force"), shown(bay.allowed, "force")))
    numbers.append((_("Margin of the weakest part"), f"{round(100 * verdict.margin)} %"))
    lines = []
    for problem in verdict.findings:
        what, _why, mend = problem_text(problem, system)
        lines.append(f"{what} {mend}")
    return FrameView(_(WORDS[verdict.word]), verdict.word == "holds", tuple(lines), tuple(numbers), caution)
