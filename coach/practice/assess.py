"""Judges a run: what was missed, late, out of order, unsafe, wrong or unread, each with its moment and its reason.

Rules kept here:
 1. The judgement reads the drill, the job's events, the track and the film; it believes nothing that was only said.
 2. The reason of a finding is the procedure's or the gate's own text about the step, safeguard or debt.
 3. What the drill asks for and what is never right on any boat are judged apart: goods.py and here.
Knows nothing of: screens, stores. Proved by: tests/practice/test_assess.py.
"""

from __future__ import annotations

from collections.abc import Callable, Iterator
from dataclasses import dataclass

from coach.core.rules import Rules
from coach.core.state import ENDS
from coach.practice.assessment import (
    LATE,
    MISSED,
    MUST_WEIGHS,
    ORDER,
    REST_WEIGHS,
    SEVERITY,
    UNREAD,
    UNSAFE,
    WRONG,
    Assessment,
    Finding,
    is_pass,
    score_of,
)
from coach.practice.film import OVERHEATED
from coach.practice.film_work import SHARE_COLD
from coach.practice.goods import judge_goods
from coach.practice.reasons import DEBT, name_of, skill_of, why_of
from coach.practice.run import Run
from coach.practice.track import Note

GRACE = 30  # s for which a flame may burn on after a loss before it counts as kept; ours
LATCHED = {"G011", "G012"}  # a trip; with all of G1xx and G2xx they are the gate saying no


def assess(run: Run) -> Assessment:
    """The judgement of a run, finished or given up."""
    goods, met = judge_goods(run)
    found = [*_never_right(run), *_measures(run), *_end(run), *goods]
    order = {kind: place for place, kind in enumerate(SEVERITY)}
    findings = tuple(sorted(found, key=lambda each: (order[each.kind], each.second)))
    weights = {good.id: MUST_WEIGHS if good.must else REST_WEIGHS for good in run.drill.good}
    score = score_of(sum(weights[each.good] for each in met), sum(weights.values()), findings)
    drill, state = run.drill, run.job.state
    return Assessment(
        drill.id,
        drill.hash,
        drill.title,
        run.trainee,
        drill.starts,
        run.second,
        run.over or "given up",
        state.status,
        score,
        is_pass(score, findings),
        drill.skills,
        findings,
        met,
    )


def make(
    rules: Rules, kind: str, code: str, at: int, about: str, what: str, must: bool = True, **slots: object
) -> Finding:
    """A finding with its reason. `%(name)s` in `what` is what `about` is called."""
    why, wrong = why_of(rules, about)
    named = {"name": name_of(rules, about), **slots}
    return Finding(kind, code, at, about, what, named, why, wrong, skill_of(rules, about), must)


def _never_right(run: Run) -> Iterator[Finding]:
    for note in run.track:
        judge = _JUDGES.get(note.kind)
        if judge is not None:
            yield from judge(run.rules, note)
    yield from _kept(run)


def _said(rules: Rules, note: Note) -> Iterator[Finding]:
    is_safeguard = note.about in rules.safeguards
    if note.details["false"]:
        kind, fields = UNSAFE if is_safeguard else WRONG, ", ".join(note.details["false"])
        yield make(rules, kind, "false", note.second, note.about, "stated what was not so: %(name)s", fields=fields)
    elif not note.details["seen"]:
        kind = UNSAFE if is_safeguard else UNREAD
        yield make(rules, kind, "unseen", note.second, note.about, "stated without a look: %(name)s", is_safeguard)


@dataclass(frozen=True)
class _Refused:
    """What it means that the kernel refused an act with one of these codes. debt: the finding is about the debt."""

    act: str
    codes: frozenset[str]
    kind: str
    code: str
    what: str
    must: bool = True
    debt: bool = False


def _row(act: str, codes: str, kind: str, code: str, what: str, must: bool = True, debt: bool = False) -> _Refused:
    return _Refused(act, frozenset(codes.split()), kind, code, what, must, debt)


_REFUSALS = (
    _row("Sign", "G070", MISSED, "debt", "tried to sign with something still to be undone: %(name)s", False, True),
    _row("Accept", "G074", UNSAFE, "accept", "tried to accept a job with this still on a tag: %(name)s", True, True),
    _row("Do", "G061", ORDER, "early", "tried to end the fire watch before its time"),
    _row("Excuse", "G057", UNSAFE, "excuse", "tried to leave out what keeps people safe: %(name)s"),
    _row("Tag", "G029", UNSAFE, "tag", "tried to leave on a tag what may never be left: %(name)s"),
    _row("Light", "G053 G050", ORDER, "order", "out of order: %(name)s"),
    _row("Do", "G053 G050", ORDER, "order", "out of order: %(name)s"),
    _row("Do", "G083 G086 G088 G090", ORDER, "not right", "called done before it was right: %(name)s", False),
)


def _refused(rules: Rules, note: Note) -> Iterator[Finding]:
    """What a trainee asked for and the kernel refused."""
    pairs = list(zip(note.details["codes"], note.details["abouts"], strict=True))
    act = note.details["act"]
    gate = [about for code, about in pairs if code in LATCHED or code[:2] in ("G1", "G2")]
    if act == "Light" and gate:
        about = gate[0] if gate[0] in rules.safeguards else note.about
        yield make(rules, UNSAFE, "blocked", note.second, about, "tried to light while the gate was closed: %(name)s")
        return
    row = next((each for each in _REFUSALS if each.act == act and each.codes & {code for code, _about in pairs}), None)
    if row is None:
        return
    debts = [f"{DEBT} {about}" for code, about in pairs if code in row.codes]
    for about in debts if row.debt else [note.about]:
        yield make(rules, row.kind, row.code, note.second, about, row.what, row.must)


def _quick(rules: Rules, note: Note) -> Iterator[Finding]:
    what = "answered in %(seconds)s s, too soon to have read it: %(name)s"
    yield make(rules, UNREAD, "quick", note.second, note.about, what, False, **note.details)


def _film(rules: Rules, note: Note) -> Iterator[Finding]:
    if note.details["state"] == OVERHEATED:
        what = "overheated film in %(count)s places: %(name)s"
        yield make(rules, LATE, "hot", note.second, note.about, what, False, **note.details)
    else:
        what = "burnt through the film in %(count)s places: %(name)s"
        yield make(rules, UNSAFE, "burnt", note.second, note.about, what, **note.details)


def _cold(rules: Rules, note: Note) -> Iterator[Finding]:
    if note.details["count"] > SHARE_COLD * note.details["of"]:
        what = "called done with %(count)s of %(of)s places cold: %(name)s"
        yield make(rules, MISSED, "cold", note.second, note.about, what, **note.details)


def _pulled(rules: Rules, note: Note) -> Iterator[Finding]:
    what = "the film above was shrunk while the film below was loose; the hem was drawn out"
    yield make(rules, ORDER, "pulled", note.second, note.about, what)


def _opened(rules: Rules, note: Note) -> Iterator[Finding]:
    what = "the wind opened the hem in %(count)s places: its weld was cold"
    yield make(rules, MISSED, "opened", note.second, note.about, what, **note.details)


def _weak(rules: Rules, note: Note) -> Iterator[Finding]:
    what = "worked on with %(share)s %% of the flame: the cylinder was too cold"
    yield make(rules, UNREAD, "weak", note.second, note.about, what, False, **note.details)


_JUDGES: dict[str, Callable[[Rules, Note], Iterator[Finding]]] = {
    "said": _said, "asked": _refused, "quick": _quick, "film": _film, "cold": _cold, "pulled": _pulled,
    "opened": _opened, "weak": _weak,
}  # fmt: skip


def _kept(run: Run) -> Iterator[Finding]:
    """Every flame that burned on after a safeguard was lost."""
    lit: int | None = None
    lost: dict[str, int] = {}
    for note in (*run.track, Note(run.second, "out", "")):
        if note.kind == "lit":
            lit = note.second
        elif note.kind == "lost":
            lost[note.about] = note.second
        elif note.kind == "deed":
            lost = {id: at for id, at in lost.items() if id not in _mended(run, note.about)}
        elif note.kind == "out" and lit is not None:
            for id, at in lost.items():
                begin = max(at, lit)
                if note.second - begin > GRACE:
                    what = "kept the flame burning for %(seconds)s s after this was lost: %(name)s"
                    yield make(run.rules, UNSAFE, "kept", begin + GRACE, id, what, seconds=note.second - begin)
            lit, lost = None, {}


def _mended(run: Run, deed: str) -> tuple[str, ...]:
    return tuple(id for each in run.drill.deeds if each.id == deed for id in (*each.sets, each.mends))


def _measures(run: Run) -> Iterator[Finding]:
    for id in run.wrong_measures():
        last = [event for event in run.job.events if event.kind == "measured" and event.data["measure"] == id][-1]
        at = max(0, run.second_of(last))
        yield make(run.rules, WRONG, "measure", at, f"measure {id}", "a wrong measure is in force: %(name)s")


def _end(run: Run) -> Iterator[Finding]:
    state = run.job.state
    if not run.over or run.over == "given up":
        yield make(run.rules, MISSED, "unfinished", run.second, run.drill.until, "the drill was left before its end")
        for id in state.debts:
            yield make(run.rules, MISSED, "left", run.second, f"{DEBT} {id}", "left undone: %(name)s")
    if run.world.burning and state.status not in ENDS:
        step = state.flame or (state.trip.step if state.trip else "")
        yield make(run.rules, UNSAFE, "left lit", run.second, step, "left with the flame lit")
