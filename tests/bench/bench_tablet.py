"""How fast the tablet app is, against an empty window of the same toolkit in the same run: python -m tests.bench.bench_tablet

Prints, one line each: start to the first useful screen (goal at most 1.5 times the empty window's) of a yard with its
own policy, PINs and 1,000 boats, in each language; a keystroke to its new numbers on the screen (goal under 50 ms);
processor time while nothing happens (goal at most 1.5 times); memory over 200 jobs (goal flat); the slowest frame while
a board of 1,000 boats scrolls (goal under 100 ms).

All parts run in processes of their own, drawn into memory by the software renderer. Numbers of one machine are no test;
a busy machine makes all of them larger, those of the clock more than those of the processor. Arguments: the parts wanted (start, key, idle, memory, board); all
by default.
"""

from __future__ import annotations

import os
import resource
import statistics
import subprocess
import sys
import tempfile
import time
from collections.abc import Callable
from pathlib import Path
from typing import TYPE_CHECKING

if TYPE_CHECKING:
    from coach.yard.desk import Desk

ROOT = Path(__file__).resolve().parents[2]
RUNS = 7
RESTED = 18.0  # s after which a moving picture has come to rest
CACHE = [""]


def child(*words: str) -> list[float]:
    """The numbers that a part prints in a process of its own; before them the seconds until it said 'drawn'."""
    line = [sys.executable, "-m", "tests.bench.bench_tablet", "child", *words]
    begin = time.perf_counter()
    variables = {**os.environ, "SDL_VIDEODRIVER": "offscreen", "PYTHONPATH": str(ROOT), "PYTHONPYCACHEPREFIX": CACHE[0]}
    variables.pop("PYTHONDONTWRITEBYTECODE", None)  # an installed program is compiled once, at its first start
    with subprocess.Popen(line, cwd=ROOT, env=variables, stdout=subprocess.PIPE, text=True) as running:
        assert running.stdout is not None
        assert running.stdout.readline() == "drawn\n", words
        drawn = time.perf_counter() - begin
        return [drawn, *(float(word) for text in running.stdout for word in text.split())]


def main(wanted: list[str]) -> None:
    """Run the parts and print."""
    with tempfile.TemporaryDirectory() as made:
        folder = Path(made) / "data"
        CACHE[0] = str(Path(made) / "compiled")
        subprocess.run([sys.executable, "-m", "tests.bench.bench_tablet", "child", "fill", str(folder)], cwd=ROOT, check=True)
        for name, part in PARTS.items():
            if not wanted or name in wanted:
                print(part(folder), flush=True)


def _start(folder: Path) -> str:
    from coach.language import LANGUAGES

    starts = {"empty": ("empty",), **{code: ("first", str(folder), code) for code in LANGUAGES}}
    for words in starts.values():
        child(*words)  # compiles
    taken: dict[str, list[list[float]]] = {name: [] for name in starts}
    for _run in range(RUNS):  # one after the other, so that a busy machine slows all
        for name, words in starts.items():
            taken[name].append(child(*words))
    wall, spent = ({name: statistics.median(run[place] for run in runs) for name, runs in taken.items()} for place in (0, 1))
    clock, work = (f"empty window {of['empty']:.3f} s, first useful screen {of['en']:.3f} s, ratio "
                   + ", ".join(f"{of[code] / of['empty']:.2f} {code}" for code in LANGUAGES) for of in (wall, spent))
    return f"start: {clock}; of the processor: {work} (goal 1.5)"


def _key(folder: Path) -> str:
    _drawn, median, most, spent = child("key", str(folder))
    return f"keystroke to new numbers: median {median:.1f} ms, slowest {most:.1f} ms, of the processor {spent:.1f} ms (goal under 50)"


def _idle(folder: Path) -> str:
    empty = child("idle-empty")[1]
    still = child("idle", str(folder), "measure-hull")[1]
    timed = child("idle", str(folder), "wind")[1]
    return (f"idle: empty window {empty:.2f} % of a core, a step {still:.2f} % ({still / empty:.2f} times), "
            f"with running times {timed:.2f} % ({timed / empty:.2f} times) (goal 1.5)")


def _memory(folder: Path) -> str:
    told = []
    for kind in ("one job", "as many jobs"):
        _drawn, *sizes = child("memory", str(folder), kind)
        told.append(f"{kind} " + ", ".join(f"{size:.1f}" for size in sizes))
    return "memory, MB after opening 20, 60, 100, 140, 180, 200 times: " + "; ".join(told)


def _board(folder: Path) -> str:
    _drawn, build, median, most, spent = child("board", str(folder))
    return (f"board of 1,000 boats: shown after {build:.0f} ms; scrolling, a frame {median:.1f} ms, slowest {most:.1f} ms, "
            f"the slowest of the processor {spent:.1f} ms (goal 100)")


PARTS: dict[str, Callable[[Path], str]] = {"start": _start, "key": _key, "idle": _idle, "memory": _memory, "board": _board}

# What the children do -----------------------------------------------------------------------------------------------


def _drawn() -> None:
    print("drawn", flush=True)


def run_empty() -> None:
    """An app with an empty widget, until its first frame."""
    from coach.tablet import bootstrap

    window = bootstrap.window(offscreen=True)
    from kivy.app import App
    from kivy.uix.widget import Widget

    class Empty(App):
        def build(self) -> Widget:
            return Widget()

    _run(Empty(), window)


def run_first(folder: str, language: str = "en") -> None:
    """The app as `coach tablet` starts it, until the page of the crew is drawn."""
    from coach.tablet import bootstrap
    from coach.tablet.start import opened

    desk = opened(Path(folder))
    window = bootstrap.window(offscreen=True)
    from coach.tablet.app import CoachApp

    _run(CoachApp(desk, language, speaks=True), window)


def _run(app: object, window: object) -> None:
    from kivy.clock import Clock

    def look(_passed: float) -> None:
        window.dispatch("on_draw")  # type: ignore[attr-defined]
        window.flip()  # type: ignore[attr-defined]
        _drawn()
        print(_spent(), flush=True)
        app.stop()  # type: ignore[attr-defined]

    Clock.schedule_once(lambda _passed: Clock.schedule_once(look, -1), 0)
    app.run()  # type: ignore[attr-defined]


def run_idle_empty() -> None:
    """Processor time of an empty window, in percent of a core."""
    from coach.tablet import bootstrap

    window = bootstrap.window(offscreen=True)
    from kivy.app import App
    from kivy.uix.widget import Widget

    class Empty(App):
        def build(self) -> Widget:
            return Widget()

    _rest(Empty(), window, lambda: None)


def run_idle(folder: str, until: str) -> None:
    """Processor time of the app at a step."""
    from coach.tablet import bootstrap
    from coach.tablet.routes import to

    desk, job = _worked(Path(folder), until)
    window = bootstrap.window(offscreen=True)
    from coach.tablet.app import CoachApp

    app = CoachApp(desk)

    def enter() -> None:
        app.shell.presence.enter("ana", desk.now())
        to("open_job")(app.shell, job)

    _rest(app, window, enter)


def _rest(app: object, window: object, enter: Callable[[], None]) -> None:
    from kivy.clock import Clock

    Clock._max_fps = 60.0  # as on a real screen; the offscreen set-up has no rest
    seconds, begin = 12.0, [0.0, 0.0]

    def start(_passed: float) -> None:
        begin[:] = [time.perf_counter(), _spent()]

    def end(_passed: float) -> None:
        share = 100 * (_spent() - begin[1]) / (time.perf_counter() - begin[0])
        _drawn()
        print(share, flush=True)
        app.stop()  # type: ignore[attr-defined]

    Clock.schedule_once(lambda _passed: enter(), 0.5)
    Clock.schedule_once(start, RESTED)
    Clock.schedule_once(end, RESTED + seconds)
    app.run()  # type: ignore[attr-defined]


def _spent() -> float:
    usage = resource.getrusage(resource.RUSAGE_SELF)
    return usage.ru_utime + usage.ru_stime


def _worked(folder: Path, until: str) -> tuple[Desk, str]:
    """A job that stands at a step (or, `wind`, at the first flame with all shown), in a folder of its own."""
    from coach.core import actions as act
    from coach.demo import NOTES
    from coach.practice.clock import HandClock
    from coach.practice.worker import Worker
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk
    from coach.yard.job import Job
    from coach.yard.policy_file import demo_policy

    real = device_clock()
    clock = HandClock(real().wall - 40 * 3_600_000, 0, "before", "before")
    desk = Desk.open(folder / until, clock, lambda procedure: True, demo_policy())
    job = desk.start(desk.load("power-boat-trailer"), "Dunlin", "ana")
    assert isinstance(job, Job)
    worker = Worker(job, clock, NOTES)
    for step in worker.steps():
        if step.id == {"wind": "weld-hem"}.get(until, until):
            break
    desk.now = real
    job.act(act.Resume("ana"), real())
    if until == "wind":
        worker.clock = real  # type: ignore[assignment]
        for id in job.rules.safeguards:
            worker.prove(id)
    return desk, job.id


def run_key(folder: str) -> None:
    """Milliseconds from a touch of a key to the frame with its numbers, on the page that asks the ridge."""
    from tests.tablet.driver import EventLoop, Touch  # isort: skip  # first: it sets the toolkit up
    from coach.tablet.app import CoachApp
    from coach.tablet.routes import to
    from coach.tablet.screens.entry import open_measure
    from coach.tablet.widgets.keypad import Key
    from tests.tablet.driver import Driver

    desk, job = _worked(Path(folder), "tape-over")
    with Driver((1280, 800)) as drive:
        app = drive.begin(CoachApp(desk))
        app.shell.presence.enter("ana", desk.now())  # type: ignore[attr-defined]
        to("open_job")(app.shell, job)  # type: ignore[attr-defined]
        open_measure(app.shell, "ridge_to_edge")  # type: ignore[attr-defined]
        drive.settle()
        keys = {key.types: key for key in drive.all(Key)}
        erase = next(name for name in keys if name in ("erase", "back", "\b"))
        taken, spent = [], []
        for _round in range(12):
            for name in ("6", "6", "in", erase, erase, erase):
                drive.settle()
                touch = Touch(*keys[name].to_window(*keys[name].center))
                EventLoop.post_dispatch_input("begin", touch)
                drive.frames()
                begin, used = time.perf_counter(), _spent()
                EventLoop.post_dispatch_input("end", touch)
                drive.frames()
                taken.append(1000 * (time.perf_counter() - begin))
                spent.append(1000 * (_spent() - used))
        _drawn()
        print(statistics.median(taken), max(taken), statistics.median(spent), flush=True)


def run_memory(folder: str, kind: str) -> None:
    """Resident memory while a job is opened, looked at on three pages and left, 200 times. kind: 'one job' or another one
    each time."""
    from tests.tablet.driver import Driver  # isort: skip  # first: it sets the toolkit up
    from coach.tablet.app import CoachApp
    from coach.tablet.routes import to
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk
    from coach.yard.policy_file import demo_policy

    if kind == "one job":
        desk, job = _worked(Path(folder), "cut-film")
        jobs = [job] * 200
    else:
        desk = Desk.open(Path(folder), device_clock(), lambda procedure: True, demo_policy())
        jobs = [row.job for row in desk.board()[:200]]
    with Driver((1280, 800)) as drive:
        app = drive.begin(CoachApp(desk))
        shell = app.shell  # type: ignore[attr-defined]
        shell.presence.enter("ana", desk.now())
        _drawn()
        for number, job in enumerate(jobs, 1):
            shell.home(to("board_page"))
            drive.frames(2)
            to("open_job")(shell, job)
            drive.frames(2)
            for page in ("numbers_page", "menu_page"):
                shell.open(to(page))
                drive.frames(2)
                shell.back()
            drive.frames(2)
            if number in (20, 60, 100, 140, 180, 200):
                print(_resident(), flush=True)


def _resident() -> float:
    pages = int(Path("/proc/self/statm").read_text().split()[1])
    return pages * resource.getpagesize() / 1e6


def run_board(folder: str) -> None:
    """Milliseconds to show the board of the filled folder, and of each frame while it is swiped along."""
    from tests.tablet.driver import Driver  # isort: skip  # first: it sets the toolkit up
    from coach.tablet.app import CoachApp
    from coach.tablet.routes import to
    from coach.tablet.widgets.body import BodyScroll
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk
    from coach.yard.policy_file import demo_policy

    desk = Desk.open(Path(folder), device_clock(), lambda procedure: True, demo_policy())
    with Driver((1280, 800)) as drive:
        app = drive.begin(CoachApp(desk))
        shell = app.shell  # type: ignore[attr-defined]
        shell.presence.enter("ana", desk.now())
        drive.frames(30)  # the app loads the rest of itself half a second after its first page
        begin = time.perf_counter()
        shell.home(to("board_page"))
        drive.frames(3)
        build = 1000 * (time.perf_counter() - begin)
        drive.settle()
        scroll = drive.one(BodyScroll)
        taken, spent = [], []
        swipe = 80 / (scroll.children[0].height - scroll.height)  # 80 pixels a frame: 4,800 a second, a hard swipe
        for _frame in range(400):
            begin, used = time.perf_counter(), _spent()
            scroll.scroll_y = max(0.0, scroll.scroll_y - swipe)
            drive.frames()
            taken.append(1000 * (time.perf_counter() - begin))
            spent.append(1000 * (_spent() - used))
        _drawn()
        print(build, statistics.median(taken), max(taken), max(spent), flush=True)


def run_fill(folder: str) -> None:
    """A folder of a yard with its own crew, whose PINs are asked, and 1,000 jobs that were just started."""
    from coach import paths
    from coach.practice.clock import HandClock
    from coach.yard.desk import Desk
    from coach.yard.policy_file import demo_policy

    clock = HandClock(1_794_200_000_000)
    desk = Desk.open(Path(folder), clock, lambda procedure: True, demo_policy())
    rules = desk.load("power-boat-trailer")
    for number in range(1000):
        clock.pass_seconds(1)
        desk.start(rules, f"Boat {number}", "ana")
    own = (paths.procedures() / "yard" / "demo-policy.yaml").read_text("utf-8").replace("Pell Harbour", "Heron Point")
    (Path(folder) / "policy.yaml").write_text(own, "utf-8")


RUNNERS: dict[str, Callable[..., None]] = {
    "empty": run_empty, "first": run_first, "idle-empty": run_idle_empty, "idle": run_idle, "key": run_key, "memory": run_memory,
    "board": run_board, "fill": run_fill,
}

if __name__ == "__main__":
    if sys.argv[1:2] == ["child"]:
        RUNNERS[sys.argv[2]](*sys.argv[3:])
    else:
        main(sys.argv[1:])
