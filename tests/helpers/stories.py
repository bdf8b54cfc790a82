"""Jobs at their interesting moments: each story takes a fresh bench and leaves it there."""

from __future__ import annotations

from collections.abc import Callable

from coach.core import actions as act
from tests.helpers.bench import Bench
from tests.helpers.people import good


def _trip(bench: Bench) -> Bench:
    bench.ready().lit().must(act.Withdraw("pia", "area", "a child at the bow"))
    return bench


def _paused(bench: Bench) -> Bench:
    bench.ready().must(act.Pause("ana", "lunch"))
    return bench


def _stopping(bench: Bench, lit: bool = False) -> Bench:
    bench.heated()
    if lit:
        bench.must(act.Measure("ana", "beam", "3 m", "3 m"))
        bench.do("cut").prove().lit("shrink")
    bench.must(act.AskStop("ana", "rain is coming"))
    return bench


def _tripped_out(bench: Bench) -> Bench:
    return _trip(bench).out()


def _reset(bench: Bench) -> Bench:
    _tripped_out(bench).must(act.Reset("ana"))
    return bench


def _stopped(bench: Bench) -> Bench:
    _stopping(bench).do("close").must(act.Tag("ana", "taped_vents", "bow rail", "no light left"))
    bench.must(act.Tag("ana", "prop", "bow rail", "no light left"))
    bench.wait(60)
    bench.do("hold").must(bench.sign())
    return bench


def _sent_back(bench: Bench) -> Bench:
    _stopped(bench).must(act.SendBack("marta", (("weld", "the hem is open"),)))
    return bench


def _accepted(bench: Bench) -> Bench:
    bench.signed().must(bench.accept())
    return bench


def _handed_over(bench: Bench) -> Bench:
    bench.ready().must(act.HandOver("joel"))
    return bench


def _refused(bench: Bench) -> Bench:
    bench.start().measure().do("look", "cut", "prop").codes(act.Light("ana", "weld"))
    return bench


def _wind_up(bench: Bench) -> Bench:
    bench.ready().lit().must(act.Observe("ana", "wind", good("wind", gust=9_000)))
    return bench


def _relit(bench: Bench) -> Bench:
    _reset(bench).prove().lit("weld")
    return bench


STORIES: dict[str, Callable[[Bench], Bench]] = {
    "nothing": lambda bench: bench,
    "started": lambda bench: bench.start(),
    "measured": lambda bench: bench.start().measure(),
    "refused": _refused,
    "ready": lambda bench: bench.ready(),
    "lit": lambda bench: bench.ready().lit(),
    "out": lambda bench: bench.ready().lit().out(),
    "trip": _trip,
    "wind up": _wind_up,
    "trip, out": _tripped_out,
    "trip, reset": _reset,
    "lit again": _relit,
    "paused": _paused,
    "handed over": _handed_over,
    "heated": lambda bench: bench.heated(),
    "stopping": _stopping,
    "stopping, lit": lambda bench: _stopping(bench, True),
    "undone": lambda bench: bench.undone(),
    "closed": lambda bench: bench.signed(),
    "stopped": _stopped,
    "sent back": _sent_back,
    "accepted": _accepted,
}
