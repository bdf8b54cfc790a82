"""The command line: what `coach` can be asked for, and the only place that prints and sets exit statuses.

Rules kept here:
 1. Exit status 0: fine; 1: a finding (a problem in what was looked at); 2: misuse of the command.
 2. Kivy is imported only by the commands that open a window, after its own reading of the arguments is switched off.
Knows nothing of: rules of the job; it hands over to the desk, the views and the shells.
"""

from __future__ import annotations

import argparse
import json
import os
import sys
from collections.abc import Callable, Sequence
from pathlib import Path
from typing import Any

from coach import language, paths
from coach.arguments import Misuse, build_parser, language_of
from coach.core.problems import CoachError, Phrase, Problem, StoreError
from coach.language import _

FINE, FINDING, MISUSE = 0, 1, 2
NO_CREW = "write the crew into %(file)s; procedures/yard/demo-policy.yaml shows one"


def main(arguments: Sequence[str] | None = None) -> int:
    """Run one command; returns the exit status."""
    language.use(language_of(sys.argv[1:] if arguments is None else arguments))
    parser = build_parser()
    try:
        given = parser.parse_args(arguments)
    except SystemExit as end:
        return int(end.code or 0)
    except Misuse as error:
        return _misuse(error.problems[0])
    try:
        status = COMMANDS[given.command](given)
        sys.stdout.flush()
        return status
    except CoachError as error:
        for problem in error.problems:
            print(rendered(problem), file=sys.stderr)
        return FINDING
    except BrokenPipeError:  # whoever reads has seen enough; Python would complain once more when it ends
        os.dup2(os.open(os.devnull, os.O_WRONLY), sys.stdout.fileno())
        return FINE
    except (KeyboardInterrupt, EOFError):
        print(file=sys.stderr)
        return FINDING


def _folder(given: argparse.Namespace) -> Path:
    return given.data or paths.data_folder()


def _procedure_folders(given: argparse.Namespace) -> tuple[Path, ...]:
    """Where an id is looked for: the shipped procedures, then the yard's own."""
    from coach.yard.starter import own_procedures

    return (paths.procedures(), own_procedures(_folder(given)))


def rendered(problem: Problem) -> str:
    """A problem in the language of the person; what it needs is imported with the first one."""
    from coach.view.texts import rendered as worded

    return worded(problem)


def _misuse(problem: Problem) -> int:
    print(rendered(problem), file=sys.stderr)
    return MISUSE


def tablet(given: argparse.Namespace) -> int:
    """Open the tablet app."""
    from coach.tablet.start import run

    problem = run(_folder(given), given.language)
    if problem is not None:
        print(rendered(problem), file=sys.stderr)
        return FINDING
    return FINE


def _demo(given: argparse.Namespace) -> int:
    try:
        if given.screens is not None:
            from coach.tablet.album import write_album

            written = write_album(given.screens, print, only=given.only)
            print(f"{len(written)} pictures; look at {given.screens / 'index.html'}")
            return FINE
        from coach.demo import play

        return play(given.out, print, window=not given.no_window)
    except OSError as fault:
        slots = {"folder": given.screens or given.out, "detail": fault.strerror or str(fault)}
        raise StoreError(Problem("C118", "the folder %(folder)s cannot be used (%(detail)s)", "the demonstration is written into it",
                                 "name a folder that can be written, with --out DIR or --screens DIR", slots=slots)) from fault


def _walk(given: argparse.Namespace) -> int:
    from coach.core.policy import TECHNICIAN
    from coach.core.session import Refusal
    from coach.prover.cache import vouches
    from coach.sheet.page import STATES
    from coach.terminal import Walk
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    folder = _folder(given)
    desk = Desk.open(folder, device_clock(), vouches(folder))
    if given.job:
        job = desk.job(given.job)
    else:
        if not given.procedure:
            return _misuse(Problem("C116", "there is nothing to walk through", "a new job goes by a procedure, and a job under way is known by its id",
                                   "name a procedure, or give --job ID; coach list shows both"))
        if not given.boat or not given.by:
            return _misuse(Problem("C101", "a new job needs a boat and a technician", "every record says for which boat and by whom",
                                   "add --boat NAME --by PERSON (the crew stands in policy.yaml of the data folder)"))
        crew = [person.id for person in desk.policy.people.values() if TECHNICIAN in person.roles]
        if given.by not in crew:
            mend = "take one of: %(crew)s" if crew else NO_CREW
            return _misuse(Problem("C111", "'%(by)s' is no technician of the crew", "every record says by whom", mend,
                                   slots={"by": given.by, "crew": ", ".join(crew), "file": folder / "policy.yaml"}))
        started = desk.start(desk.load(given.procedure), given.boat, given.by, given.practice)
        if isinstance(started, Refusal):
            for reason in started.reasons:
                print(rendered(Problem(reason.code, reason.what, reason.why, reason.mend, slots=reason.slots)), file=sys.stderr)
            return FINDING
        job = started
    Walk(job, desk.now, input, print, given.units or desk.policy.units, lambda file: _attach(desk, Path(file))).run()
    print(_("job %(job)s: %(state)s") % {"job": job.id, "state": _(STATES.get(job.state.status, job.state.status))})
    return FINE


def _attach(desk: Any, file: Path) -> str:
    """Keep the picture of a file; answers with its hash."""
    try:
        return str(desk.photos.keep(file.read_bytes()))
    except OSError as fault:
        raise StoreError(Problem("C115", "the picture '%(file)s' cannot be read: %(why)s", "the record names a picture by its content",
                                 "give the path of the picture's file", slots={"file": file, "why": fault.strerror})) from fault


def _size(given: argparse.Namespace) -> int:
    from coach.core.problems import QuantityError, nearest
    from coach.core.sizing.registry import FUNCTIONS
    from coach.reader.load import load_procedure
    from coach.view.measures import read_typed
    from coach.view.sizing import as_json, as_lines

    procedure = load_procedure(given.procedure, _procedure_folders(given))
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
            mend = "did you mean %(near)s?" if near else "the measures are: %(known)s"
            slots = {"word": name, "near": near, "known": ", ".join(procedure.measures)}
            return _misuse(Problem("C103", "there is no measure '%(word)s'", "the procedure does not ask for it", mend, slots=slots))
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
    desk = Desk.open(folder, device_clock(), vouches(folder), pins=False)
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
    from coach import custody

    return custody.verify(given.files, _folder(given), print)


def _now() -> int:
    from coach.yard.clock import device_clock

    return device_clock()().wall


def _exchange(given: argparse.Namespace) -> int:
    from coach import custody

    if given.word == "send":
        from coach.prover.cache import vouches
        from coach.yard.clock import device_clock
        from coach.yard.desk import Desk

        folder = _folder(given)
        unsealed = Desk.open(folder, device_clock(), vouches(folder), pins=False).seal_finished()
        for problem in unsealed:
            print(rendered(problem))
        return max(custody.send(folder, given.folder, print), FINDING if unsealed else FINE)
    return custody.receive(_folder(given), given.folder, _now(), print)


def _keys(given: argparse.Namespace) -> int:
    from coach import custody

    words = {"show": 0, "begin": 0, "trust": 2, "enrol": 1, "revoke": 1}[given.act]
    if len(given.words) != words:
        return _misuse(Problem("C114", "'%(act)s' takes %(due)s words", "the list of keys decides whom the yard trusts",
                               "write: trust ID FILE, enrol PEM --name NAME, or revoke KEY --why WHY", slots={"act": given.act, "due": words}))
    due = {"enrol": "name", "revoke": "why"}.get(given.act, "")
    if due and not getattr(given, due).strip():
        return _misuse(Problem("C113", "'%(act)s' needs --%(due)s", "the list of keys says of each tablet which it is, and why it left",
                               "write: enrol PEM --name NAME, or revoke KEY --why WHY", slots={"act": given.act, "due": due}))
    folder, given_words = _folder(given), given.words
    acts: dict[str, Callable[[], int]] = {
        "show": lambda: custody.show_keys(folder, print),
        "begin": lambda: custody.begin_yard(folder, print),
        "trust": lambda: custody.join_yard(folder, given_words[0], Path(given_words[1]), print),
        "enrol": lambda: custody.enrol(folder, Path(given_words[0]), given.name, _now(), print),
        "revoke": lambda: custody.revoke(folder, given_words[0], given.why, _now(), print),
    }
    return acts[given.act]()


def _office(given: argparse.Namespace) -> int:
    from coach import custody

    return custody.office(_folder(given), given.address, given.folders, _now(), print)


def _retire(given: argparse.Namespace) -> int:
    from coach import custody
    from coach.yard.desk import yard_policy

    days = yard_policy(_folder(given)).limit("retention_days")
    return custody.retire(_folder(given), given.archive, days, _now(), print)


def _review(given: argparse.Namespace) -> int:
    from coach import answers
    from coach.yard.review import Filters

    if given.stories and given.html is None:
        return _misuse(Problem("C121", "--stories needs --html", "the stories are pages that lie beside the page of the review",
                               "add --html FILE"))
    source = answers.Source.open(_folder(given), given.office)
    if given.job:
        return answers.story(source, given.job, print, given.html)
    filters = Filters(given.who, given.week, given.kind, given.state)
    return answers.review(source, filters, _now(), print, given.json, given.html, given.stories)


def _flames(given: argparse.Namespace) -> int:
    from coach import answers

    return answers.flames_of(answers.Source.open(_folder(given), given.office), given.day, print, given.json)


def _prove(given: argparse.Namespace) -> int:
    from coach.prover.command import run
    from coach.prover.rules.surroundings import Surroundings
    from coach.view.boat import PICTURES

    own = language.current()
    translations = {own: language.catalogue(own).gettext} if own != "en" else {}
    surroundings = Surroundings(frozenset(PICTURES), translations)
    return run(list(given.files), given.json, print, surroundings, _procedure_folders(given), _, rendered)


def _new(given: argparse.Namespace) -> int:
    from coach.yard.starter import own_procedures, write_starter

    file = write_starter(given.id, given.dir or own_procedures(_folder(given)))
    print(_("Written: %(file)s") % {"file": file})
    print(_("Change it, then prove it: coach prove %(file)s") % {"file": file})
    return FINE


def _list(given: argparse.Namespace) -> int:
    from coach.prover.cache import vouches
    from coach.reader.load import list_procedures
    from coach.view.review import STATE_WORDS
    from coach.yard.clock import device_clock
    from coach.yard.desk import Desk

    status = FINE
    folder = _folder(given)
    for id, title in list_procedures(_procedure_folders(given)):
        if isinstance(title, Problem):
            status = FINDING
            print(f"{id:28} {_('CANNOT BE USED')}\n{rendered(title)}")
        else:
            print(f"{id:28} {_(title)}")
    if (folder / "ledger.sqlite").is_file():
        for row in Desk.open(folder, device_clock(), vouches(folder), pins=False).board():
            print(f"{row.job:28} {row.boat}, {row.name}: {_(STATE_WORDS.get(row.state, row.state))}")
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
        return _misuse(Problem("C112", "practice needs a trainee", "the record says who practised", "add --by PERSON"))
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
    if given.run is not None:
        return command.show_run(desk.policy, desk.book, given.run, print, given.html)
    if given.person:
        return command.show_runs(desk.policy, desk.needs, desk.book, given.person, today, print)
    return command.show_crew(desk.policy, desk.record.shown(today), desk.needs, desk.book, today, print, given.html)

COMMANDS: dict[str, Callable[[argparse.Namespace], int]] = {
    "crew": _crew,
    "demo": _demo,
    "exchange": _exchange,
    "flames": _flames,
    "keys": _keys,
    "list": _list,
    "load": _load,
    "new": _new,
    "office": _office,
    "practice": _practice,
    "prove": _prove,
    "retire": _retire,
    "review": _review,
    "size": _size,
    "verify": _verify,
    "walk": _walk,
    "tablet": tablet,
}
