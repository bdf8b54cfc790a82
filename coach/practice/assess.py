"""Judges a run: what was missed, late, out of order, unsafe, wrong or unread, each with its moment and its reason.

Rules kept here:
 1. The judgement reads the drill, the job's events, the track and the film; it believes nothing that was only said.
 2. The reason of a finding is the procedure's or the gate's own text about the step, safeguard or debt.
 3. What the drill asks for and what is never right on any boat are judged apart: goods.py and here.
Knows nothing of: screens, stores. Proved by: tests/practice/test_assess.py.
"""

from __future__ import annotations

from collections.abc import Iterator

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
from coach.practice.film_work import SHARE_COLD
from coach.practice.goods import judge_goods
from coach.practice.reasons import name_of, skill_of, why_of
from coach.practice.run import Run
from coach.practice.track import Note

GRACE = 30  # s for which a flame may burn on after a loss before it counts as kept; ours
SAFEGUARD_CODES = {"G011", "G012"}  # and all of G1xx and G2xx: the gate said no


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
    rules: Rules, kind: str, code: str, note: Note, about: str, what: str, must: bool = True, **slots: object
) -> Finding:
    """A finding with its reason. `%(name)s` in `what` is what `about` is called."""
    why, wrong = why_of(rules, about)
    return Finding(
        kind,
        code,
        note.second,
        about,
        what,
        {"name": name_of(rules, about), **slots},
        why,
        wrong,
        skill_of(rules, about),
        must,
    )


def _never_right(run: Run) -> Iterator[Finding]:
    rules = run.rules
    for note in run.track:
        if note.kind == "said":
            yield from _said(rules, note)
        elif note.kind == "asked":
            yield from _refused(rules, note)
        elif note.kind == "quick":
            yield make(
                rules,
                UNREAD,
                "quick",
                note,
                note.about,
                "answered in %(seconds)s s, too soon to have read it: %(name)s",
                False,
                **note.details,
            )
        elif note.kind == "film":
            yield _film(rules, note)
        elif note.kind == "pulled":
            yield make(
                rules,
                ORDER,
                "pulled",
                note,
                note.about,
                "the film above was shrunk while the film below was loose; the hem was drawn out",
            )
        elif note.kind == "opened":
            yield make(
                rules,
                MISSED,
                "opened",
                note,
                note.about,
                "the wind opened the hem in %(count)s places: its weld was cold",
                True,
                **note.details,
            )
        elif note.kind == "weak":
            yield make(
                rules,
                UNREAD,
                "weak",
                note,
                note.about,
                "worked on with %(share)s %% of the flame: the cylinder was too cold",
                False,
                **note.details,
            )
        elif note.kind == "cold" and note.details["count"] > SHARE_COLD * note.details["of"]:
            what = "called done with %(count)s of %(of)s places cold: %(name)s"
            yield make(rules, MISSED, "cold", note, note.about, what, True, **note.details)
    yield from _kept(run)


def _said(rules: Rules, note: Note) -> Iterator[Finding]:
    is_safeguard = note.about in rules.safeguards
    if note.details["false"]:
        kind = UNSAFE if is_safeguard else WRONG
        yield make(
            rules,
            kind,
            "false",
            note,
            note.about,
            "stated what was not so: %(name)s",
            True,
            fields=", ".join(note.details["false"]),
        )
    elif not note.details["seen"]:
        kind = UNSAFE if is_safeguard else UNREAD
        yield make(rules, kind, "unseen", note, note.about, "stated without a look: %(name)s", is_safeguard)


def _refused(rules: Rules, note: Note) -> Iterator[Finding]:
    """What a trainee asked for and the kernel refused."""
    codes, abouts, what = note.details["codes"], note.details["abouts"], note.details["act"]
    gate = [
        about for code, about in zip(codes, abouts, strict=True) if code in SAFEGUARD_CODES or code[:2] in ("G1", "G2")
    ]
    if what == "Light" and gate:
        about = gate[0] if gate[0] in rules.safeguards else note.about
        yield make(rules, UNSAFE, "blocked", note, about, "tried to light while the gate was closed: %(name)s")
    elif what == "Sign" and "G070" in codes:
        for code, about in zip(codes, abouts, strict=True):
            if code == "G070":
                yield make(
                    rules,
                    MISSED,
                    "debt",
                    note,
                    about,
                    "tried to sign with something still to be undone: %(name)s",
                    False,
                )
    elif what == "Do" and "G061" in codes:
        yield make(rules, ORDER, "early", note, "fire_watch", "tried to end the fire watch before its time")
    elif what == "Excuse" and "G057" in codes:
        yield make(rules, UNSAFE, "excuse", note, note.about, "tried to leave out what keeps people safe: %(name)s")
    elif what == "Tag" and "G029" in codes:
        yield make(rules, UNSAFE, "tag", note, note.about, "tried to leave on a tag what may never be left: %(name)s")
    elif what == "Accept" and "G074" in codes:
        about = next(about for code, about in zip(codes, abouts, strict=True) if code == "G074")
        yield make(rules, UNSAFE, "accept", note, about, "tried to accept a job with this still on a tag: %(name)s")
    elif what in ("Do", "Light") and {"G053", "G050"} & set(codes):
        yield make(rules, ORDER, "order", note, note.about, "out of order: %(name)s")
    elif what == "Do" and {"G083", "G086", "G088", "G090"} & set(codes):
        yield make(rules, ORDER, "not right", note, note.about, "called done before it was right: %(name)s", False)


def _film(rules: Rules, note: Note) -> Finding:
    if note.details["state"] == "overheated":
        return make(
            rules, LATE, "hot", note, note.about, "overheated film in %(count)s places: %(name)s", False, **note.details
        )
    return make(
        rules,
        UNSAFE,
        "burnt",
        note,
        note.about,
        "burnt through the film in %(count)s places: %(name)s",
        True,
        **note.details,
    )


def _kept(run: Run) -> Iterator[Finding]:
    """Every flame that burned on after a safeguard was lost."""
    lit: Note | None = None
    lost: dict[str, int] = {}
    end = Note(run.second, "out", "")
    for note in (*run.track, end):
        if note.kind == "lit":
            lit = note
        elif note.kind == "lost":
            lost[note.about] = note.second
        elif note.kind == "deed":
            lost = {id: at for id, at in lost.items() if id not in _mended(run, note.about)}
        elif note.kind == "out" and lit is not None:
            for id, at in lost.items():
                burned = note.second - max(at, lit.second)
                if at < note.second and burned > GRACE:
                    what = "kept the flame burning for %(seconds)s s after this was lost: %(name)s"
                    yield make(
                        run.rules,
                        UNSAFE,
                        "kept",
                        Note(max(at, lit.second) + GRACE, "", ""),
                        id,
                        what,
                        True,
                        seconds=burned,
                    )
            lit, lost = None, {}


def _mended(run: Run, deed: str) -> tuple[str, ...]:
    return tuple(id for each in run.drill.deeds if each.id == deed for id in (*each.sets, each.mends))


def _measures(run: Run) -> Iterator[Finding]:
    for id in run.wrong_measures():
        last = [event for event in run.job.events if event.kind == "measured" and event.data["measure"] == id][-1]
        note = Note(max(0, run.second_of(last)), "", "")
        yield make(run.rules, WRONG, "measure", note, f"measure {id}", "a wrong measure is in force: %(name)s")


def _end(run: Run) -> Iterator[Finding]:
    now = Note(run.second, "", "")
    state = run.job.state
    if not run.over or run.over == "given up":
        yield make(run.rules, MISSED, "unfinished", now, run.drill.until or "", "the drill was left before its end")
        for id in state.debts:
            yield make(run.rules, MISSED, "left", now, id, "left undone: %(name)s")
    if state.status in ENDS:
        return
    if run.world.burning:
        yield make(run.rules, UNSAFE, "left lit", now, state.flame, "left with the flame lit")
