"""The strip of running times on every page of a job, and what a touch on one of them does.

A time far from its end is told in whole minutes: nothing flickers at the edge of the eye, and the screen rests.
"""

from __future__ import annotations

from coach.core.checks import MINUTE
from coach.formats import counted
from coach.language import _
from coach.tablet.routes import route, to
from coach.tablet.shell import Shell
from coach.tablet.widgets.strip import RunningCell, TimerStrip
from coach.tablet.widgets.timer import figures
from coach.view.timers import CALLS, GONE, OVER, PROOF, RUNS, SOON, SOON_MS, UNKNOWN, Running, running

LOOK = {
    RUNS: ("clock", "plain"),
    SOON: ("alert", "caution"),
    OVER: ("tick", "safe"),
    GONE: ("alert", "danger"),
    UNKNOWN: ("question", "caution"),
}
SHORT = {
    SOON: "%(name)s: look again soon",
    OVER: "%(name)s: time is over",
    GONE: "%(name)s: too old",
    UNKNOWN: "%(name)s: time not known",
}

MOST_KEYS = 2  # the strip stays slim: what else calls is a line


@route
def strip(shell: Shell, quiet: bool = False) -> TimerStrip | None:
    """The strip of the open job, kept up to date each second; None where no job is open.

    quiet: lines only, and nothing of what is too old, on a page that has its own key for each of these.
    """
    if shell.job is None:
        return None
    made = TimerStrip()
    made.bind(on_take=lambda _strip, key: _take(shell, key))
    made.take(_cells(shell, quiet))
    shell.each_second(lambda: made.take(_cells(shell, quiet)))
    return made


@route
def note_calls(shell: Shell, safeguard: str) -> None:
    """A person looks at this safeguard: whatever called for it has been heard."""
    for each in _now(shell):
        if (each.of, each.about) == (PROOF, safeguard):
            shell.take_note(each.key)


def _now(shell: Shell) -> tuple[Running, ...]:
    job = shell.job
    return running(job.rules, job.state, shell.desk.now()) if job is not None else ()


def _cells(shell: Shell, quiet: bool) -> list[RunningCell]:
    shown = [each for each in _now(shell) if not (quiet and each.kind == GONE)]
    return [_cell(shell, each, quiet or place >= MOST_KEYS) for place, each in enumerate(shown)]


def _cell(shell: Shell, each: Running, quiet: bool) -> RunningCell:
    icon, role = LOOK[each.kind]
    calls = each.kind in CALLS and not quiet and not shell.has_taken(each.key)
    words = _(SHORT[each.kind]) % {"name": each.name} if each.kind in SHORT else each.name
    return RunningCell(each.key, words, _left(each), icon, calls, role if calls else "plain")


def _left(each: Running) -> str:
    """The time that is left; never less than there is."""
    if each.left > SOON_MS:
        return counted(-(-each.left // MINUTE), "minute")
    return figures(each.left / 1000) if each.left > 0 else ""


def _take(shell: Shell, key: str) -> None:
    """Take note of a time that calls, and open what mends it."""
    each = next((one for one in _now(shell) if one.key == key), None)
    shell.take_note(key)
    if each is not None and each.of == PROOF:
        to("open_proof")(shell, each.about)
    else:
        shell.refresh()
