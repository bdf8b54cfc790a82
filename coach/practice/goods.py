"""Judges what a drill asks for: each good deed met, late, or missed.

Rules kept here:
 1. A deed counts from the event it answers; what was done before the event is no answer to it.
 2. A deed whose event never came is not asked for: it counts as met. So does the answer to a trip that came when no
    flame was lit and after which none was.
Knows nothing of: faults that the drill does not name (assess).
"""

from __future__ import annotations

from collections.abc import Callable, Iterator

from coach.core.events import Event
from coach.core.state import CLOSED, STOPPED
from coach.practice.assessment import LATE, MISSED, Finding, Met
from coach.practice.drill import TRIP, Good
from coach.practice.reasons import DEBT, name_of, why_of
from coach.practice.run import Run
from coach.practice.statements import same_answer, same_measure

OF_DEBTS = ("clear", "tag", "clear tag")


def judge_goods(run: Run) -> tuple[list[Finding], tuple[Met, ...]]:
    """The findings for what was late or missed, and what was met."""
    findings: list[Finding] = []
    met: list[Met] = []
    for good in run.drill.good:
        begin = run.happened.get(good.after, 0) if good.after else 0
        if good.after and (good.after not in run.happened or _is_moot(run, begin)):
            met.append(Met(good.id, run.second, good.says, good.skill))
            continue
        at = next(iter(_MOMENTS[good.does](run, good, begin)), None)
        if at is None:
            findings.append(
                _finding(run, good, MISSED, begin + good.seconds if good.seconds else run.second, "missed: %(says)s")
            )
        elif good.seconds and at - begin > good.seconds:
            what = "late by %(late)s s: %(says)s"
            findings.append(_finding(run, good, LATE, at, what, late=at - begin - good.seconds))
        else:
            met.append(Met(good.id, at, good.says, good.skill))
    return findings, tuple(met)


def _is_moot(run: Run, begin: int) -> bool:
    """Whether a trip's event came when the flame was out for good."""
    later = any(note.kind == "lit" and note.second >= begin for note in run.track)
    return run.drill.turns_on == TRIP and not later and not _lit_at(run, begin)


def _finding(run: Run, good: Good, kind: str, second: int, what: str, **slots: object) -> Finding:
    about = f"{DEBT} {good.about}" if good.does in OF_DEBTS and good.about in run.rules.debts else good.about
    why, wrong = why_of(run.rules, about)
    slots = {"name": name_of(run.rules, about), "says": good.says, "good": good.id, **slots}
    return Finding(kind, "good", min(second, run.second), good.about, what, slots, why, wrong, good.skill, good.must)


def _events(run: Run, kind: str, begin: int) -> Iterator[tuple[int, Event]]:
    """The trainee's events of a kind, from a second on."""
    for event in run.job.events:
        if event.kind == kind and event.at.wall >= run.drill.starts and (second := run.second_of(event)) >= begin:
            yield second, event


def _flame_out(run: Run, good: Good, begin: int) -> Iterator[int]:
    if not any(note.kind == "lit" and note.second <= begin for note in run.track) or not _lit_at(run, begin):
        yield begin
    yield from (second for second, _event in _events(run, "flame_out", begin))


def _lit_at(run: Run, second: int) -> bool:
    """Whether a flame was burning at this second."""
    burning = False
    for note in run.track:
        if note.second > second or (note.second == second and note.kind == "out"):
            break
        burning = note.kind == "lit" or (burning and note.kind != "out")
    return burning


def _withdraw(run: Run, good: Good, begin: int) -> Iterator[int]:
    yield from (second for second, event in _events(run, "withdrawn", begin) if event.data["safeguard"] == good.target)
    for second, event in _events(run, "observed", begin):
        if event.data["safeguard"] == good.target and event.data["met"] is False:
            yield second


def _track(kind: str) -> Callable[[Run, Good, int], Iterator[int]]:
    def moments(run: Run, good: Good, begin: int) -> Iterator[int]:
        return (
            note.second
            for note in run.track
            if note.kind == kind and note.about == good.target and note.second >= begin
        )

    return moments


def _measure(run: Run, good: Good, begin: int) -> Iterator[int]:
    value, true = run.job.state.measures.get(good.target), run.drill.measures.get(good.target)
    if value is None or true is None or not same_measure(run.rules.procedure.measures[good.target], value, true):
        return
    last = [second for second, event in _events(run, "measured", 0) if event.data["measure"] == good.target]
    yield last[-1] if last else 0


def _answer(run: Run, good: Good, begin: int) -> Iterator[int]:
    step, _dot, item = good.target.partition(".")
    true = run.world.answers.get(step, {}).get(item)
    for second, event in _events(run, "step_done", begin):
        said = event.data["evidence"].get(item)
        if event.data["step"] == step and (true is None or same_answer(said, true)):
            yield second


def _debt(kind: str) -> Callable[[Run, Good, int], Iterator[int]]:
    def moments(run: Run, good: Good, begin: int) -> Iterator[int]:
        return (second for second, event in _events(run, kind, begin) if event.data["debt"] == good.target)

    return moments


def _status(kind: str, status: str) -> Callable[[Run, Good, int], Iterator[int]]:
    def moments(run: Run, good: Good, begin: int) -> Iterator[int]:
        return (
            second for second, _event in _events(run, kind, begin) if run.job.state.status == status or status == ""
        )

    return moments


def _sent_back(run: Run, good: Good, begin: int) -> Iterator[int]:
    for second, event in _events(run, "sent_back", begin):
        if good.target in [item["step"] for item in event.data["steps"]]:
            yield second


def _whole_film(run: Run, good: Good, begin: int) -> Iterator[int]:
    """No place burnt through and none left cold."""
    if not any(
        note.kind in ("cold", "pulled") or (note.kind == "film" and note.details["state"] != "overheated")
        for note in run.track
    ):
        yield run.second


_MOMENTS: dict[str, Callable[[Run, Good, int], Iterator[int]]] = {
    "flame out": _flame_out,
    "withdraw": _withdraw,
    "look": _track("look"),
    "act": _track("deed"),
    "measure": _measure,
    "answer": _answer,
    "stop": _status("stopped_safely", STOPPED),
    "close": _status("closed", CLOSED),
    "clear": _debt("debt_cleared"),
    "tag": _debt("debt_tagged"),
    "send back": _sent_back,
    "accept": _status("accepted", ""),
    "film": _whole_film,
    "clear tag": _debt("tag_cleared"),
}
