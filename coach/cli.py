"""The command line: what `coach` can be asked for, and the only place that prints and sets exit statuses.

Rules kept here:
 1. Exit status 0: fine; 1: a finding (a problem in what was looked at); 2: misuse of the command.
 2. Kivy is imported only by the commands that open a window, after its own reading of the arguments is switched off.
Knows nothing of: rules of the job; it hands over to the desk, the views and the shells.
"""

from __future__ import annotations

import argparse
import json
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from coach import __version__, language, paths
from coach.core.problems import CoachError, Phrase, Problem, render

FINE, FINDING, MISUSE = 0, 1, 2


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    parser = build_parser()
    try:
        given = parser.parse_args(arguments)
    except SystemExit as end:
        return int(end.code or 0)
    language.use(given.language)
    command: Callable[[argparse.Namespace], int] = given.command
    try:
        return command(given)
    except CoachError as error:
        for problem in error.problems:
            print(render(problem), file=sys.stderr)
        return FINDING
    except (KeyboardInterrupt, EOFError):
        print("", file=sys.stderr)
        return FINDING


def build_parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    parser = argparse.ArgumentParser(
        prog="coach", description="Walks a crew through a winter covering job and keeps the flame out until it is safe.",
        epilog="Exit status: 0 fine, 1 a finding, 2 misuse. Local fire codes and the makers' instructions come first.",
    )
    parser.add_argument("--version", action="version", version=f"coach {__version__}")
    parser.add_argument("--data", type=Path, default=None, metavar="DIR", help="folder of jobs, key and policy (default: the platform's own)")
    parser.add_argument("--language", default="en", choices=sorted(language.LANGUAGES), help="language of texts")
    parser.set_defaults(command=tablet)
    commands = parser.add_subparsers(title="commands", metavar="COMMAND")
    _add_demo(commands)
    _add_walk(commands)
    _add_size(commands)
    _add_load(commands)
    _add_verify(commands)
    _add_exchange(commands)
    _add_prove(commands)
    _add_list(commands)
    _add_practice(commands)
    _add_crew(commands)
    return parser


def _add_demo(commands: Any) -> None:
    demo = commands.add_parser("demo", help="play an invented boat through the real kernel; writes record, sheet, screenshots")
    demo.add_argument("--out", type=Path, default=Path("coach-demo"), metavar="DIR", help="where to write (default: ./coach-demo)")
    demo.add_argument("--no-window", action="store_true", help="leave the screenshots out")
    demo.set_defaults(command=_demo)


def _add_walk(commands: Any) -> None:
    walk = commands.add_parser("walk", help="walk a procedure in the terminal")
    walk.add_argument("procedure", help="id, or a file")
    walk.add_argument("--boat", default="", help="name of the boat")
    walk.add_argument("--by", default="", metavar="PERSON", help="id of the technician in the crew list")
    walk.add_argument("--job", default="", help="go on with this job")
    walk.add_argument("--practice", action="store_true", help="practice: nothing counts, the record says so")
    walk.add_argument("--units", choices=("us", "metric"), default=None)
    walk.set_defaults(command=_walk)


def _add_size(commands: Any) -> None:
    size = commands.add_parser("size", help="the numbers of a job from a few measures")
    size.add_argument("procedure", help="id, or a file")
    size.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", dest="values", help="a measure, such as ridge_to_edge=66in")
    size.add_argument("--json", action="store_true", help="as JSON: numbers.NAME.si in SI units, display, explanation")
    size.add_argument("--units", choices=("us", "metric"), default="us")
    size.set_defaults(command=_size)


def _add_load(commands: Any) -> None:
    load = commands.add_parser("load", help="the load list for all boats that are measured, cut from the yard's stock")
    load.add_argument("--stock", type=Path, default=None, metavar="FILE", help="stock file (default: stock.yaml in the data folder)")
    load.add_argument("--html", type=Path, default=None, metavar="FILE", help="write it as HTML too")
    load.set_defaults(command=_load)


def _add_verify(commands: Any) -> None:
    verify = commands.add_parser("verify", help="verify exported jobs, or a ledger")
    verify.add_argument("files", nargs="+", type=Path, metavar="FILE")
    verify.set_defaults(command=_verify)


def _add_exchange(commands: Any) -> None:
    for word, text in (("send", "put sealed jobs into a shared folder or on a stick"), ("receive", "take in jobs of the yard's tablets")):
        command = commands.add_parser(word, help=text)
        command.add_argument("folder", type=Path, metavar="DIR")
        command.set_defaults(command=_exchange, word=word)
    keys = commands.add_parser("keys", help="this tablet's key, and the yard's list of keys")
    keys.add_argument("act", nargs="?", default="show", choices=("show", "begin", "trust", "enrol", "revoke"))
    keys.add_argument("words", nargs="*", metavar="WORD", help="trust ID FILE; enrol PEM; revoke KEY")
    keys.add_argument("--name", default="", help="of the tablet that is enrolled")
    keys.add_argument("--why", default="", help="why a key is revoked")
    keys.set_defaults(command=_keys)


def _add_prove(commands: Any) -> None:
    prove = commands.add_parser("prove", help="prove procedures safe (all shipped ones without a FILE)")
    prove.add_argument("files", nargs="*", metavar="FILE")
    prove.add_argument("--json", action="store_true")
    prove.set_defaults(command=_prove)


def _add_list(commands: Any) -> None:
    listing = commands.add_parser("list", help="the procedures there are, and the jobs on this tablet")
    listing.set_defaults(command=_list)


def _add_practice(commands: Any) -> None:
    practice = commands.add_parser("practice", help="practise a drill; without one, the list of drills")
    practice.add_argument("drill", nargs="?", default="", help="id, or a file")
    practice.add_argument("--by", default="", metavar="PERSON", help="id of the trainee in the crew list")
    practice.add_argument("--name", default="", help="of a trainee who is not in the crew list")
    practice.add_argument("--html", type=Path, default=None, metavar="FILE", help="write the judgement as a page")
    practice.add_argument("--questions", action="store_true", help="the questions of today")
    practice.add_argument("--simulate", default="", choices=("", "all", "careful", "hasty", "forgetful", "rule-breaking"), help="simulated trainees")
    practice.add_argument("--runs", type=int, default=20, metavar="N", help="runs of each simulated trainee (default: 20)")
    practice.set_defaults(command=_practice)


def _add_crew(commands: Any) -> None:
    crew = commands.add_parser("crew", help="the crew by skill: who may hold the tool, who goes with whom")
    crew.add_argument("--html", type=Path, default=None, metavar="FILE", help="write it as a page")
    crew.set_defaults(command=_crew)


def _folder(given: argparse.Namespace) -> Path:
    return given.data or paths.data_folder()


def _misuse(problem: Problem) -> int:
    print(render(problem), file=sys.stderr)
    return MISUSE


def tablet(given: argparse.Namespace) -> int:
    """Open the tablet app."""
    from coach.tablet.start import run

    problem = run(_folder(given), given.language)
    if problem is not None:
        print(render(problem), file=sys.stderr)
        return FINDING
    return FINE


def _demo(given: argparse.Namespace) -> int:
    from coach.demo import play

    return play(given.out, print, window=not given.no_window)


def _walk(given: argparse.Namespace) -> int:
    from coach.core.session import Refusal
    from coach.prover.cache import vouches
    from coach.terminal import Walk
    from coach.view.texts import reason_text
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    folder = _folder(given)
    desk = Desk.open(folder, device_clock(), vouches(folder))
    if given.job:
        job = desk.job(given.job)
    else:
        if not given.boat or not given.by:
            return _misuse(Problem("C101", "a new job needs a boat and a technician", "every record says for which boat and by whom",
                                   "add --boat NAME --by PERSON (the crew stands in policy.yaml of the data folder)"))
        started = desk.start(desk.load(given.procedure), given.boat, given.by, given.practice)
        if isinstance(started, Refusal):
            for reason in started.reasons:
                text = reason_text(reason)
                print(f"{text.what} {text.mend}", file=sys.stderr)
            return FINDING
        job = started
    Walk(job, desk.now, input, print, given.units or desk.policy.units, lambda file: _attach(desk, Path(file))).run()
    print(f"job {job.id}: {job.state.status}")
    return FINE


def _attach(desk: Any, file: Path) -> str:
    """Keep the picture of a file; answers with its hash."""
    from coach.core.problems import StoreError

    try:
        return str(desk.photos.keep(file.read_bytes()))
    except OSError as fault:
        raise StoreError(Problem("C104", "the picture '%(file)s' cannot be read: %(why)s", "the record names a picture by its content",
                                 "give the path of the picture's file", slots={"file": file, "why": fault.strerror})) from fault


def _size(given: argparse.Namespace) -> int:
    from coach.core.problems import QuantityError, nearest
    from coach.core.sizing.registry import FUNCTIONS
    from coach.reader.load import load_procedure
    from coach.view.measures import read_typed
    from coach.view.sizing import as_json, as_lines

    procedure = load_procedure(given.procedure)
    values: dict[str, Any] = {}
    faults: list[Problem] = []
    for item in given.values:
        name, sign, typed = item.partition("=")
        if not sign:
            return _misuse(Problem("C102", "'%(item)s' is no measure", "a measure has a name and a value", "write NAME=VALUE, such as beam=8ft",
                                   slots={"item": item}))
        measure = procedure.measures.get(name.strip())
        if measure is None:
            near = nearest(name, list(procedure.measures))
            mend = f"did you mean {near}?" if near else "the measures are: " + ", ".join(procedure.measures)
            return _misuse(Problem("C103", "there is no measure '%(name)s'", "the procedure does not ask for it", "%(mend)s",
                                   slots={"name": name, "mend": mend}))
        try:
            values[measure.id], _text = read_typed(measure, typed, given.units)
        except QuantityError as error:
            faults += [_named(measure.id, problem) for problem in error.problems]
    if faults:
        raise QuantityError(*faults)
    answer = as_json(procedure, values, FUNCTIONS, given.units)
    if given.json:
        print(json.dumps(answer, indent=2, ensure_ascii=False))
    else:
        print("\n".join(as_lines(procedure, values, FUNCTIONS, given.units)))
    return FINDING if answer["checks"] else FINE


def _load(given: argparse.Namespace) -> int:
    from coach.prover.cache import vouches
    from coach.sheet.load import load_page
    from coach.view.load import day_load, load_lines
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk
    from coach.yard.stock import load_stock

    folder = _folder(given)
    desk = Desk.open(folder, device_clock(), vouches(folder))
    stock = load_stock(given.stock) if given.stock else desk.stock()
    view = day_load(desk.under_way(), stock, desk.policy.units)
    print("\n".join(load_lines(view)))
    if given.html:
        given.html.write_text(load_page(view), encoding="utf-8")
    return FINDING if view.short else FINE


def _named(measure: str, problem: Problem) -> Problem:
    """A problem that says which measure it is about."""
    if "%(name)s" in problem.what:
        return problem
    slots = {**problem.slots, "measure": measure, "problem": Phrase(problem.what, problem.slots)}
    return Problem(problem.code, "%(measure)s: %(problem)s", problem.why, problem.mend, problem.place, slots)


def _verify(given: argparse.Namespace) -> int:
    from coach.record.sealed import verify_file

    status = FINE
    for file in given.files:
        problems = verify_file(file)
        print(f"{file}: " + ("DOES NOT VERIFY" if problems else "verified"))
        for problem in problems:
            print(render(problem))
        status = FINDING if problems else status
    return status


def _box(given: argparse.Namespace) -> Any:
    from coach.prover.cache import vouches
    from coach.record.command import Box
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    folder = _folder(given)
    desk = Desk.open(folder, device_clock(), vouches(folder))
    return Box(desk.folder, desk.ledger, desk.photos, desk.signer, desk.now().wall)


def _exchange(given: argparse.Namespace) -> int:
    from coach.record.command import run_receive, run_send

    return (run_send if given.word == "send" else run_receive)(_box(given), given.folder, print)


def _keys(given: argparse.Namespace) -> int:
    from coach.record.command import run_keys

    due = {"show": 0, "begin": 0, "trust": 2, "enrol": 1, "revoke": 1}[given.act]
    if len(given.words) != due:
        return _misuse(Problem("C105", "'%(act)s' takes %(due)s words", "the list of keys decides whom the yard trusts",
                               "write: trust ID FILE, enrol PEM --name NAME, or revoke KEY --why WHY", slots={"act": given.act, "due": due}))
    return run_keys(_box(given), given.act, given.words, given.name, given.why, print)


def _prove(given: argparse.Namespace) -> int:
    from coach.prover.command import run

    return run(list(given.files), given.json, print)


def _list(given: argparse.Namespace) -> int:
    from coach.prover.cache import vouches
    from coach.reader.load import list_procedures
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    status = FINE
    for id, title in list_procedures():
        if isinstance(title, Problem):
            status = FINDING
            print(f"{id:28} CANNOT BE USED\n{render(title)}")
        else:
            print(f"{id:28} {title}")
    folder = _folder(given)
    if (folder / "ledger.sqlite").is_file():
        for row in Desk.open(folder, device_clock(), vouches(folder)).board():
            print(f"{row.job:28} {row.boat}, {row.name}: {row.state}")
    return status


def _practice(given: argparse.Namespace) -> int:
    import time

    from coach.practice import command
    from coach.practice.console import seconds_between
    from coach.prover.cache import vouches
    from coach.terminal import Walk
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    folder = _folder(given)
    desk = Desk.open(folder, device_clock(), vouches(folder))
    today = desk.today()
    if given.simulate:
        return command.simulate_all(given.drill, given.simulate, given.runs, desk.policy, print)
    if not given.drill and not given.questions:
        return command.list_all(desk.book if given.by else None, given.by, print)
    if not given.by:
        return _misuse(Problem("C105", "practice needs a trainee", "the record says who practised", "add --by PERSON"))
    if given.questions:
        return command.ask_questions(given.by, desk.policy, desk.needs, desk.book, today, input, print)

    def walk(job: Any, ask: Callable[[str], str], say: Callable[[str], None]) -> None:
        Walk(job, job.run.clock, ask, say, desk.policy.units, command.stand_in).run()

    return command.practise(given.drill, given.by, desk.policy, vouches(folder), desk.book, today, walk, input, print,
                            seconds_between(time.monotonic), given.html, given.name)


def _crew(given: argparse.Namespace) -> int:
    from coach.practice import command
    from coach.prover.cache import vouches
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    folder = _folder(given)
    desk = Desk.open(folder, device_clock(), vouches(folder))
    today = desk.today()
    return command.show_crew(desk.policy, desk.record.shown(today), desk.needs, desk.book, today, print, given.html)
