"""The words that the command line takes, with their help in the language in use.

Rules kept here:
 1. A command is only named here; what it does stands in cli.
 2. The library's own words go through ours (`_said`) while a parser is made or at work, and are its own again after.
Knows nothing of: the commands' work.
Called by: cli.
"""

from __future__ import annotations

import argparse
import sys
from collections.abc import Iterator, Sequence
from contextlib import contextmanager
from pathlib import Path
from typing import Any, NoReturn

from coach import __version__, language
from coach.core.problems import CoachError, Problem
from coach.language import _


class Misuse(CoachError):
    """Words that the command line does not take."""


def _said(text: str | None) -> str | None:
    """A text of the library in our words and the language in use; one that no command of ours leads to stays its own."""
    one_of = _("take one of: %(known)s")
    own = {  # by what stands before its first slot, which is no text of ours
        "usage: ": _("usage") + ": ",
        "positional arguments": _("words to give"),
        "options": _("options to give"),
        "argument ": "%(argument_name)s: %(message)s",
        "invalid choice: ": "%(value)r: " + one_of.replace("(known)", "(choices)"),
        "ambiguous option: ": "%(option)s: " + one_of.replace("(known)", "(matches)"),
        "unrecognized arguments: ": _("these words are not known") + ": %s",
        "the following arguments are required: ": _("these words are missing") + ": %s",
        "expected one argument": _("a value is missing behind it"),
        "expected at least one argument": _("a value is missing behind it"),
        "ignored explicit argument ": "%r: " + _("it takes no value"),
    }
    return own.get((text or "").partition("%")[0], text)


@contextmanager
def _in_our_words() -> Iterator[None]:
    """The library finds its texts by the name `_` in its own module, as its use of gettext has it."""
    kept = vars(argparse)["_"]
    vars(argparse)["_"] = _said
    try:
        yield
    finally:
        vars(argparse)["_"] = kept


class _Parser(argparse.ArgumentParser):
    """A parser that says its help in the language in use, and what it does not take as everything else is said."""

    def __init__(self, **more: Any) -> None:
        super().__init__(add_help=False, **more)
        self.add_argument("-h", "--help", action="help", help="show this help and exit")

    def error(self, message: str) -> NoReturn:
        """As argparse has it, but for the end. Raises Misuse C117."""
        self.print_usage(sys.stderr)
        slots = {"words": message, "command": self.prog}
        raise Misuse(Problem("C117", "%(words)s", "the command cannot tell what is asked for",
                             "see what it takes with: %(command)s --help", slots=slots))

    def parse_args(self, *given: Any) -> Any:  # type: ignore[override]
        """As argparse has it, in our words."""
        with _in_our_words():
            return super().parse_args(*given)

    def add_argument(self, *names: Any, **more: Any) -> argparse.Action:
        """As argparse has it."""
        return super().add_argument(*names, **{**more, "help": _(more["help"])} if "help" in more else more)


def language_of(arguments: Sequence[str]) -> str:
    """The language that is asked for, read before everything else; English if it is none of ours."""
    early = argparse.ArgumentParser(add_help=False, exit_on_error=False)
    early.add_argument("--language", default="en")
    try:
        asked = early.parse_known_args(list(arguments))[0].language
    except argparse.ArgumentError:  # no language stands behind it: the parser of all commands says so
        return "en"
    return asked if asked in language.LANGUAGES else "en"


def build_parser() -> argparse.ArgumentParser:
    """The parser of all commands."""
    with _in_our_words():
        return _built()


def _built() -> argparse.ArgumentParser:
    parser = _Parser(
        prog="coach", description=_("Walks a crew through a winter covering job and keeps the flame out until it is safe."),
        epilog=_("Exit status: 0 fine, 1 a finding, 2 misuse. Local fire codes and the makers' instructions come first."),
    )
    parser.add_argument("--version", action="version", version=f"coach {__version__}", help="show the version and exit")
    parser.add_argument("--data", type=Path, default=None, metavar="DIR", help="folder of jobs, key and policy (default: the platform's own)")
    parser.add_argument("--language", default="en", choices=sorted(language.LANGUAGES), help="language of texts")
    parser.set_defaults(command="tablet")
    commands = parser.add_subparsers(title=_("commands"), metavar="COMMAND")
    _add_demo(commands)
    _add_walk(commands)
    _add_size(commands)
    _add_load(commands)
    _add_verify(commands)
    _add_exchange(commands)
    _add_review(commands)
    _add_prove(commands)
    _add_list(commands)
    _add_new(commands)
    _add_practice(commands)
    _add_crew(commands)
    return parser


def _add_demo(commands: Any) -> None:
    demo = commands.add_parser("demo", help=_("play an invented boat through the real kernel; writes record, sheet, screenshots"))
    demo.add_argument("--out", type=Path, default=Path("coach-demo"), metavar="DIR", help="where to write (default: ./coach-demo)")
    demo.add_argument("--no-window", action="store_true", help="leave the screenshots out")
    demo.add_argument("--screens", type=Path, default=None, metavar="DIR",
                      help=_("only write every screen of the app, in every language and size, with a page that shows them"))
    demo.add_argument("--only", default="", metavar="NAME", help=_("with --screens: only screens whose names begin so"))
    demo.set_defaults(command="demo")


def _add_walk(commands: Any) -> None:
    walk = commands.add_parser("walk", help=_("walk a procedure in the terminal"))
    walk.add_argument("procedure", nargs="?", default="", help="id, or a file")
    walk.add_argument("--boat", default="", help="name of the boat")
    walk.add_argument("--by", default="", metavar="PERSON", help="id of the technician in the crew list")
    walk.add_argument("--job", default="", help="go on with this job")
    walk.add_argument("--practice", action="store_true", help="practice: nothing counts, the record says so")
    walk.add_argument("--units", choices=("us", "metric"), default=None)
    walk.set_defaults(command="walk")


def _add_size(commands: Any) -> None:
    size = commands.add_parser("size", help=_("the numbers of a job from a few measures"))
    size.add_argument("procedure", help="id, or a file")
    size.add_argument("--set", action="append", default=[], metavar="NAME=VALUE", dest="values", help="a measure, such as ridge_to_edge=66in")
    size.add_argument("--json", action="store_true", help="as JSON: numbers.NAME.si in SI units, display, explanation")
    size.add_argument("--units", choices=("us", "metric"), default="us")
    size.set_defaults(command="size")


def _add_load(commands: Any) -> None:
    load = commands.add_parser("load", help=_("the load list for all boats that are measured, cut from the yard's stock"))
    load.add_argument("--stock", type=Path, default=None, metavar="FILE", help="stock file (default: stock.yaml in the data folder)")
    load.add_argument("--html", type=Path, default=None, metavar="FILE", help="write it as HTML too")
    load.set_defaults(command="load")


def _add_verify(commands: Any) -> None:
    verify = commands.add_parser("verify", help=_("verify exported jobs, or a ledger"))
    verify.add_argument("files", nargs="*", type=Path, metavar="FILE", help="exported jobs; without one, this tablet's ledger")
    verify.set_defaults(command="verify")


def _add_exchange(commands: Any) -> None:
    for word, text in (("send", _("put sealed jobs into a shared folder or on a stick")), ("receive", _("take in jobs of the yard's tablets"))):
        command = commands.add_parser(word, help=text)
        command.add_argument("folder", type=Path, metavar="DIR")
        command.set_defaults(command="exchange", word=word)
    keys = commands.add_parser("keys", help=_("this tablet's key, and the yard's list of keys"))
    keys.add_argument("act", nargs="?", default="show", choices=("show", "begin", "trust", "enrol", "revoke"))
    keys.add_argument("words", nargs="*", metavar="WORD", help="trust ID FILE; enrol PEM; revoke KEY")
    keys.add_argument("--name", default="", help="of the tablet that is enrolled")
    keys.add_argument("--why", default="", help="why a key is revoked")
    keys.set_defaults(command="keys")
    office = commands.add_parser("office", help=_("take jobs of many tablets into an office's ledger on a server"))
    office.add_argument("address", help="of the PostgreSQL database, such as postgresql://user@host/name (extra: office)")
    office.add_argument("folders", nargs="+", type=Path, metavar="DIR")
    office.set_defaults(command="office")
    retire = commands.add_parser("retire", help=_("export jobs that are old enough by the policy, then take them from the ledger"))
    retire.add_argument("archive", type=Path, metavar="DIR", help="folder on another disk")
    retire.set_defaults(command="retire")


def _add_review(commands: Any) -> None:
    review = commands.add_parser("review", help=_("all boats by state, what needs a look first, and the season's figures"))
    review.add_argument("--json", action="store_true", help="as JSON")
    review.add_argument("--html", type=Path, default=None, metavar="FILE", help="write it as a page")
    review.add_argument("--stories", action="store_true", help="with --html: a page of each boat beside it, with its time line and photos")
    review.add_argument("--job", default="", metavar="ID", help="the story of one boat, moment by moment")
    review.add_argument("--who", default="", metavar="ID", help="jobs of this technician only")
    review.add_argument("--week", default="", metavar="YYYY-Www", help="jobs that were under way in this week, such as 2026-W45")
    review.add_argument("--kind", default="", metavar="KIND", help="jobs by this procedure only, such as power-boat-trailer")
    review.add_argument("--state", default="", metavar="STATE", help="flame, tripped, stopped, closed, sent_back, open, paused or accepted")
    flames = commands.add_parser("flames", help=_("who had a flame lit on a day, with which safeguards at which values"))
    flames.add_argument("day", metavar="DATE", help="a day of the yard, such as 2026-11-03")
    flames.add_argument("--json", action="store_true", help="as JSON")
    for command in (review, flames):
        command.add_argument("--office", default="", metavar="ADDRESS", help="ask an office's ledger on a server, not this device's")
    review.set_defaults(command="review")
    flames.set_defaults(command="flames")


def _add_prove(commands: Any) -> None:
    prove = commands.add_parser("prove", help=_("prove procedures safe (all shipped ones without a FILE)"))
    prove.add_argument("files", nargs="*", metavar="FILE", help="procedure files, or ids of shipped procedures")
    prove.add_argument("--json", action="store_true", help="as JSON")
    prove.set_defaults(command="prove")


def _add_list(commands: Any) -> None:
    listing = commands.add_parser("list", help=_("the procedures there are, and the jobs on this tablet"))
    listing.set_defaults(command="list")


def _add_new(commands: Any) -> None:
    new = commands.add_parser("new", help=_("begin a procedure of the yard's own from a commented one"))
    new.add_argument("id", help="of the procedure, which is the file's name too, such as dinghy-on-rack")
    new.add_argument("--dir", type=Path, default=None, metavar="DIR", help="where to write it (default: procedures in the data folder)")
    new.set_defaults(command="new")


def _add_practice(commands: Any) -> None:
    practice = commands.add_parser("practice", help=_("practise a drill; without one, the list of drills"))
    practice.add_argument("drill", nargs="?", default="", help="id, or a file")
    practice.add_argument("--by", default="", metavar="PERSON", help="id of the trainee in the crew list")
    practice.add_argument("--name", default="", help="of a trainee who is not in the crew list")
    practice.add_argument("--html", type=Path, default=None, metavar="FILE", help="write the judgement as a page")
    practice.add_argument("--questions", action="store_true", help="the questions of today")
    practice.add_argument("--simulate", default="", choices=("", "all", "careful", "hasty", "forgetful", "rule-breaking"), help="simulated trainees")
    practice.add_argument("--runs", type=number_above_zero, default=20, metavar="N", help="runs of each simulated trainee (default: 20)")
    practice.set_defaults(command="practice")


def number_above_zero(text: str) -> int:
    """A count of runs, or the number of one. Raises ArgumentTypeError."""
    if not (text.isascii() and text.isdecimal() and int(text) > 0):
        raise argparse.ArgumentTypeError(_("'%(typed)s' is no whole number above zero") % {"typed": text})
    return int(text)


def _add_crew(commands: Any) -> None:
    crew = commands.add_parser("crew", help=_("the crew by skill: who may hold the tool, who goes with whom"))
    crew.add_argument("--person", default="", metavar="PERSON", help="the drills of one person this season, with their numbers")
    crew.add_argument("--run", type=number_above_zero, default=None, metavar="NUMBER", help="the judgement of one drill")
    crew.add_argument("--html", type=Path, default=None, metavar="FILE", help="write the crew, or the judgement, as a page")
    crew.set_defaults(command="crew")
