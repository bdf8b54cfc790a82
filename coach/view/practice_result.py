"""A judgement as it is shown: what was not good, with its moment and the procedure's own reason, and what was good.

Rules kept here:
 1. What was unsafe comes first, in words as plain as what was good.
 2. The score is never shown without the sentence that says what it does not count.
Knows nothing of: the toolkit, HTML.
"""

from __future__ import annotations

from collections.abc import Iterable
from dataclasses import dataclass

from coach.core.problems import fill
from coach.formats import day_text
from coach.language import _
from coach.practice.assessment import LATE, MISSED, ORDER, UNREAD, UNSAFE, WRONG, Assessment, Finding
from coach.view.drawing import Circle, Drawing, Legend, Line, Part, Side, Text
from coach.view.practice import clock_text, minute_text, skill_names
from coach.view.texts import sentence
from coach.yard.skillbook import RunRow

KIND_WORDS = {
    UNSAFE: "Unsafe",
    MISSED: "Missed",
    WRONG: "Wrong",
    LATE: "Late",
    ORDER: "Out of order",
    UNREAD: "Not read",
}
TONES = {UNSAFE: "danger", MISSED: "warn", WRONG: "warn", LATE: "warn", ORDER: "warn", UNREAD: "plain"}
NOT_COUNTED = (
    "The score counts what was done well and what was not. Time left over, and the number of looks and ticks, are not "
    "in it."
)
STYLES = {UNSAFE: "weld", MISSED: "strap", WRONG: "ridge", LATE: "belly", ORDER: "band", UNREAD: "part"}
TEXT_SLOTS = ("name", "says")
WIDE, TALL = 12.0, 0.5  # the time line's length and the height of a mark, in the drawing's own units
TICKS: tuple[tuple[float, Side], ...] = ((0, "bottom"), (0.5, "bottom"), (1, "bottom"))


@dataclass(frozen=True)
class FindingLine:
    """One finding. why and wrong: the procedure's own words."""

    kind: str
    word: str
    tone: str
    at: str
    what: str
    why: str
    wrong: str


@dataclass(frozen=True)
class ResultView:
    """A whole judgement as it is shown."""

    drill: str
    title: str
    trainee: str
    when: str
    verdict: str
    passed: bool
    score: int
    skills: str
    note: str
    findings: tuple[FindingLine, ...]
    met: tuple[tuple[str, str], ...]


@dataclass(frozen=True)
class RunLine:
    """One run in a list. no: its number in the book; readable: whether its judgement can be opened."""

    no: int
    day: str
    title: str
    verdict: str
    passed: bool
    score: int
    readable: bool


def run_lines(runs: Iterable[tuple[RunRow, Assessment | None]]) -> tuple[RunLine, ...]:
    """Runs with their judgements, the latest first."""
    return tuple(
        RunLine(row.no, day_text(row.day), _(done.title) if done else row.drill, verdict_words(row.passed), row.passed,
                row.score, done is not None)
        for row, done in sorted(runs, key=lambda each: -each[0].no)
    )  # fmt: skip


def verdict_words(passed: bool) -> str:
    """Passed or not, in words."""
    return _("Passed") if passed else _("Not passed yet")


def finding_text(finding: Finding) -> str:
    """What was not good, in one sentence. The slots `name` and `says` are the procedure's and the drill's texts."""
    slots = {
        name: _(value) if isinstance(value, str) and name in ("name", "says") else value
        for name, value in finding.slots.items()
    }
    return sentence(fill(_(finding.what), slots))


def _after_its_word(finding: Finding) -> str:
    """What was not good, where its kind stands before it in a word of its own: what was missed is not called so twice."""
    if finding.kind == MISSED and isinstance(finding.slots.get("says"), str):
        return sentence(_(str(finding.slots["says"])))
    return finding_text(finding)


def result_view(done: Assessment, name: str) -> ResultView:
    """A judgement. name: of the trainee."""
    verdict = verdict_words(done.passed)
    lines = tuple(
        FindingLine(each.kind, _(KIND_WORDS[each.kind]), TONES[each.kind], minute_text(each.second), _after_its_word(each),
                    sentence(_(each.why)), sentence(_(each.wrong)))
        for each in done.findings
    )  # fmt: skip
    met = tuple((minute_text(each.second), _(each.says)) for each in done.met)
    when = _("%(begin)s to %(end)s") % {
        "begin": clock_text(done.started), "end": clock_text(done.started + done.seconds * 1000),
    }  # fmt: skip
    return ResultView(
        done.drill, _(done.title), name, when, verdict,
        done.passed, done.score, skill_names(done.skills), _(NOT_COUNTED), lines, met,
    )  # fmt: skip


def time_line(done: Assessment) -> Drawing:
    """The time line of a run: good deeds above, findings below, each at its moment."""
    whole = max(1, done.seconds)
    parts: list[Part] = [Line((0, 0), (WIDE, 0), "arrow")]
    for met in done.met:
        at = WIDE * min(met.second, whole) / whole
        parts.append(Line((at, 0), (at, TALL), "tapeline"))
    for finding in reversed(done.findings):
        at = WIDE * min(finding.second, whole) / whole
        parts += [Line((at, 0), (at, -TALL), STYLES[finding.kind]), Circle((at, -TALL), 0.07, STYLES[finding.kind])]
    for share, side in TICKS:
        parts.append(Text((WIDE * share, -TALL - 0.1), minute_text(round(whole * share)), side, "soft"))
    kinds = [kind for kind in KIND_WORDS if any(finding.kind == kind for finding in done.findings)]
    legend = [Legend(_("Done well"), "tapeline")] if done.met else []
    legend += [Legend(_(KIND_WORDS[kind]), STYLES[kind]) for kind in kinds]
    return Drawing("time-line", _("When things were done well, and when not"), tuple(parts), tuple(legend))
