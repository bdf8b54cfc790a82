"""Reads a drill from YAML (procedures/drills/FORMAT.md), or says everything that is wrong with it.

Rules kept here:
 1. A drill belongs to one procedure, and every name in it is looked up there, in the gate, or in the drill itself.
 2. The text is as strict as a procedure's: same reader, same faults, all of them at once.
 3. A drill whose good work cannot tell a pass from a failure (nothing that must be done) is refused.
Knows nothing of: how a run goes.
"""

from __future__ import annotations

import re
from collections.abc import Callable
from dataclasses import replace
from datetime import UTC, date, datetime
from functools import cache
from pathlib import Path

from coach import paths
from coach.core.canonical import composed, text_hash
from coach.core.gate import DEBTS, SAFEGUARDS, Safeguard, own_safeguard
from coach.core.model import Procedure
from coach.core.problems import CoachError, Problem, ProcedureError, nearest
from coach.practice.drill import HANDED, MEASURE, OWN_WORK, SUPERVISOR, TECHNICIAN, TURNS, Drill
from coach.practice.drill_parts import length, read_deed, read_event, read_good, read_look, seconds
from coach.practice.drill_values import Names, read_answers, read_measures, read_slips, read_truth
from coach.reader.faults import Faults, clip
from coach.reader.fields import ID, Fields, unknown_word
from coach.reader.files import read_bytes
from coach.reader.load import ENDING, load_procedure
from coach.reader.nodes import read_tree
from coach.reader.scalars import read_quantity
from coach.reader.schema import same_as_file
from coach.yard.skills import SKILLS

KEYS = (
    "drill",
    "version",
    "title",
    "about",
    "turns_on",
    "skills",
    "procedure",
    "role",
    "boat",
    "starts",
    "begins",
    "until",
    "handed",
    "excuses",
    "air",
    "wind",
    "pace",
    "band",
    "seed",
    "measures",
    "slips",
    "truth",
    "answers",
    "claims",
    "looks",
    "acts",
    "events",
    "good",
)
_START = re.compile(r"(\d{4}-\d{2}-\d{2}) (\d{2}):(\d{2})")
FindProcedure = Callable[[str], Procedure]


class DrillError(CoachError):
    """A drill file that cannot be used."""


def load_drill(path_or_id: str | Path, find: FindProcedure = load_procedure) -> Drill:
    """The drill of a file, or of an id among the shipped drills.

    Raises:
        DrillError: every fault, with its place, or why the file cannot be read.
    """
    path = _path(path_or_id)
    try:
        data = read_bytes(path, str(path))
    except ProcedureError as error:
        raise DrillError(*error.problems) from error
    return read_drill(data, path.name, find)


def list_drills(folder: Path | None = None, find: FindProcedure = load_procedure) -> list[Drill]:
    """Every drill of a folder (the shipped ones), by id. Raises DrillError for the first that cannot be used."""
    place = folder or paths.procedures() / "drills"
    once = cache(find)  # most drills are of the same procedure
    return [load_drill(path, once) for path in sorted(place.glob(f"*{ENDING}"))]


def _path(path_or_id: str | Path) -> Path:
    text = str(path_or_id)
    if isinstance(path_or_id, Path) or text.endswith(ENDING) or "/" in text or "\\" in text:
        return Path(path_or_id)
    folder = paths.procedures() / "drills"
    if ID.fullmatch(text) and (folder / f"{text}{ENDING}").exists():
        return folder / f"{text}{ENDING}"
    known = sorted(path.stem for path in folder.glob(f"*{ENDING}"))
    near = nearest(text[:60], known)
    raise DrillError(
        Problem(
            "D310",
            "there is no drill '%(id)s'",
            "no file of that name lies among the drills",
            "take '%(near)s'" if near else "take one of: %(known)s",
            None,
            {"id": clip(text), "near": near, "known": ", ".join(known)},
        )
    )


def read_drill(data: bytes, file: str, find: FindProcedure = load_procedure) -> Drill:
    """The drill that the bytes of its file say.

    Args:
        data: the file's bytes, any bytes at all.
        file: its name for messages, `<id>.yaml`.
        find: gives the procedure of an id, or raises ProcedureError.

    Raises:
        DrillError: every fault, with its place.
    """
    faults = Faults(DrillError)
    tree = read_tree(data, file, faults)
    if tree is None:
        faults.stop_if_any()
        raise AssertionError("a tree is missing only after a fault")
    fields = Fields(tree, faults, "a drill", KEYS)
    if not fields.usable:
        faults.stop_if_any()
    procedure = _procedure(fields, find)
    starts = _starts(fields)
    if procedure is None:
        faults.stop_if_any()
        raise AssertionError("a procedure is missing only after a fault")
    own = {each.id: own_safeguard(each.id, each.name, each.ask, each.why, each.mend) for each in procedure.safeguards}
    rows: dict[str, Safeguard] = {**SAFEGUARDS, **own}
    debts = (*DEBTS, *(debt.id for debt in procedure.debts))
    names = Names(procedure, rows, debts, _day(starts))
    drill = _drill(fields, file, procedure, starts, names)
    faults.stop_if_any()
    return replace(drill, hash=text_hash(composed(data.decode("utf-8-sig"))))


def _procedure(fields: Fields, find: FindProcedure) -> Procedure | None:
    scalar = fields.scalar("procedure", required=True, due="the id of a procedure")
    if scalar is None:
        return None
    try:
        return find(scalar.text)
    except ProcedureError as error:
        first = error.problems[0]
        fields.faults.add(
            "D311",
            "the procedure '%(id)s' cannot be used: %(fault)s",
            "a drill is walked on a real procedure",
            "load that procedure by itself to see its faults, or name another",
            scalar.place,
            id=clip(scalar.text),
            fault=first.code,
        )
        return None


def _starts(fields: Fields) -> int:
    """The drill's beginning, ms since 1970 UTC."""
    due = "a day and time such as 2026-11-03 09:30"
    scalar = fields.scalar("starts", required=True, due=due)
    match = _START.fullmatch(scalar.text) if scalar else None
    try:
        if match:
            moment = datetime.fromisoformat(f"{match[1]}T{match[2]}:{match[3]}").replace(tzinfo=UTC)
            return int(moment.timestamp() * 1000)
    except ValueError:
        match = None  # a moment that no calendar has: said below
    if scalar is not None and match is None:
        fields.wrong("starts", scalar, due)
    return 0


def _day(wall: int) -> date:
    return datetime.fromtimestamp(wall / 1000, UTC).date()


def _drill(fields: Fields, file: str, procedure: Procedure, starts: int, names: Names) -> Drill:
    id = fields.id("drill", required=True)
    if id is not None:
        same_as_file(fields.faults, id, file.removesuffix(ENDING))
    role = fields.word("role", (TECHNICIAN, SUPERVISOR)) or TECHNICIAN
    made = Drill(
        id.text if id else "",
        fields.whole("version", 1, 999_999, required=True) or 0,
        fields.text("title", required=True),
        fields.text("about", required=True),
        fields.word("turns_on", TURNS, required=True),
        _skills(fields),
        procedure.id,
        fields.text("boat", required=True),
        starts,
        fields.whole("seed", 0, 999_999_999, required=True) or 0,
        fields.place,
        role,
        _step(fields, "begins", names),
        _step(fields, "until", names),
        fields.word("handed", HANDED) or OWN_WORK,
        _excuses(fields, names),
        _celsius(fields),
        _wind(fields),
        seconds(fields, "pace", 120),
        length(fields, "band") or 0.2,
    )
    made = replace(
        made,
        measures=read_measures(fields, names),
        slips=read_slips(fields, names),
        truth=read_truth(fields, "truth", names),
        answers=read_answers(fields, "answers", names),
        claims=read_answers(fields, "claims", names),
    )
    made = _lists(fields, made, names)
    _check(fields, made, procedure)
    return made


def _lists(fields: Fields, made: Drill, names: Names) -> Drill:
    """Events first: looks, deeds and good work name them."""
    faults = fields.faults
    events = tuple(read_event(faults, node, names) for node in fields.list("events", "events"))
    looks = tuple(read_look(faults, node, names) for node in fields.list("looks", "looks"))
    deeds = tuple(read_deed(faults, node, names) for node in fields.list("acts", "acts"))
    names.looks, names.deeds = [look.id for look in looks], [deed.id for deed in deeds]
    good = tuple(read_good(faults, node, names) for node in fields.list("good", "good work"))
    return replace(made, events=events, looks=looks, deeds=deeds, good=good)


def _skills(fields: Fields) -> tuple[str, ...]:
    found = []
    for word in fields.words("skills", "skills", required=True):
        if word.text in SKILLS:
            found.append(word.text)
        else:
            unknown_word(fields.faults, word, "'skills'", SKILLS)
    return tuple(found)


def _step(fields: Fields, key: str, names: Names) -> str:
    scalar = fields.scalar(key, due="the id of a step")
    if scalar is not None and scalar.text not in names.steps:
        unknown_word(fields.faults, scalar, f"'{key}'", names.steps)
    return scalar.text if scalar else ""


def _excuses(fields: Fields, names: Names) -> dict[str, str]:
    found = {}
    for id, node in fields.pairs("excuses", "reasons, each under its step"):
        if id.text not in names.steps:
            unknown_word(fields.faults, id, "'excuses'", names.steps)
        found[id.text] = getattr(node, "text", "")
    return found


def _celsius(fields: Fields) -> float:
    quantity = read_quantity(fields.faults, fields.scalar("air", due="a temperature"), "temperature")
    return 5.0 if quantity is None else float(quantity.value) - 273.15


def _wind(fields: Fields) -> float:
    quantity = read_quantity(fields.faults, fields.scalar("wind", due="a speed"), "speed")
    return 2.5 if quantity is None else float(quantity.value)


def _check(fields: Fields, drill: Drill, procedure: Procedure) -> None:
    """What the parts of a drill owe each other."""
    if fields.has("good") and not any(good.must for good in drill.good):
        fields.faults.add(
            "D312",
            "no good work must be done here",
            "everybody would pass",
            "write 'good' with something that must be done",
            fields.place_of("good"),
        )
    if not fields.has("good"):
        fields.missing("good")
    loose = [good for good in drill.good if good.skill and good.skill not in drill.skills]
    for good in loose:
        fields.faults.add(
            "D313",
            "'%(id)s' is good work of '%(skill)s', which is none of the drill's skills",
            "the record would miss it",
            "add '%(skill)s' to 'skills', or correct it",
            good.place,
            id=good.id,
            skill=good.skill,
        )
    if drill.role == SUPERVISOR and not drill.handed:
        fields.faults.add(
            "D314",
            "a supervisor's drill without a job to review",
            "only a job that has ended is reviewed",
            "add 'handed: stopped' or 'handed: signed'",
            fields.place,
        )
    if drill.turns_on == MEASURE and not (drill.slips or drill.claims or drill.measures):
        fields.faults.add(
            "D315",
            "the drill turns on a wrong measure and has no true ones",
            "nobody could tell right from wrong",
            "add 'measures', and 'slips' or 'claims'",
            fields.place,
        )
