"""What the record answers at the command line: the supervisor's review, one boat's story, who had a flame lit on a day.

Rules kept here:
 1. The same questions go to a tablet's own ledger and to an office's on a server.
 2. Statuses: 0 nothing asks for a look, 1 something does, 2 the question cannot be understood. A page is written whole,
    or the fault is said.
Knows nothing of: the command line's grammar (cli), the clock (the caller passes ms since 1970 UTC).
Called by: cli.  Proved by: tests/front/test_review_cli.py.
"""

from __future__ import annotations

import json
from collections.abc import Callable
from contextlib import suppress
from dataclasses import dataclass
from datetime import date, tzinfo
from pathlib import Path

from coach import paths
from coach.core.policy import Policy
from coach.core.problems import Problem, RecordError, StoreError, nearest
from coach.core.state import fold
from coach.reader.load import procedure_ids
from coach.record.files import read_plain
from coach.record.ledger import Ledger
from coach.record.office import open_office
from coach.record.photos import LIMIT, PhotoFolder
from coach.record.store import JobQuery
from coach.sheet.page import Photo, page
from coach.sheet.review import review_page
from coach.view.boat import boat_picture
from coach.view.checklist import checklist
from coach.view.drawing import Drawing
from coach.view.flames import flame_data, flame_lines
from coach.view.review import board_data, board_lines, board_view
from coach.view.season import season_data, season_lines, season_view
from coach.view.story import photos_of, time_line
from coach.view.texts import rendered
from coach.yard.desk import yard_policy
from coach.yard.flames import OUT, flames
from coach.yard.review import BOARD_ORDER, Filters, board
from coach.yard.season import season
from coach.yard.shelf import Shelf, Story
from coach.yard.spans import day_span, season_span, week_span, zone_of
from coach.yard.starter import own_procedures

PICTURES = ("cross-section", "plan", "profile")  # of a boat's own page
FINE, FOUND, MISUSE = 0, 1, 2
Out = Callable[[str], object]


@dataclass(frozen=True)
class Source:
    """Where the answers come from: a store, the pictures of this device, the yard's policy, zone and procedures."""

    shelf: Shelf
    photos: PhotoFolder
    policy: Policy
    zone: tzinfo | None
    procedures: tuple[Path, ...] = ()

    @staticmethod
    def open(folder: Path, office: str = "") -> Source:
        """The ledger of a data folder, or an office's at an address; nothing is written to either but new tables.

        Raises:
            StoreError, RecordError: the ledger cannot be used; PolicyError: the policy or its zone has a fault.
        """
        made = paths.made_data_folder(folder)
        policy = yard_policy(made)
        ledger = open_office(office) if office else Ledger.open(made / "ledger.sqlite")
        return Source(Shelf(ledger), PhotoFolder(made / "photos"), policy, zone_of(policy), (paths.procedures(), own_procedures(made)))


def review(
    source: Source,
    filters: Filters,
    now: int,
    out: Out,
    as_json: bool = False,
    html: Path | None = None,
    stories: bool = False,
) -> int:
    """`coach review`: the board, and the figures of the season or the week.

    Args:
        source: where the jobs are.
        filters: which jobs.
        now: ms since 1970 UTC; says which season.
        out: takes each line.
        as_json: answer for programs.
        html: a page to write too.
        stories: write a page of each boat beside it.
    """
    problem = _misasked(filters, source)
    if problem is not None:
        out(rendered(problem))
        return MISUSE
    found = board(source.shelf, filters, source.zone)
    span = week_span(filters.week, source.zone) or season_span(now, source.zone)
    figures = season(source.shelf, *span, filters)
    person = source.policy.person(filters.who)
    view = board_view(
        found, filters, source.policy.yard, source.policy.units, source.zone, person.name if person else filters.who
    )
    if html is not None:
        pages = [line.row.job for line in found.lines if stories and _story_page(source, line.row.job, html.parent)]
        _write(html, review_page(view, season_view(figures, source.zone), pages))
    if as_json:
        asked = {"who": filters.who, "week": filters.week, "kind": filters.kind, "state": filters.state}
        answer = {
            "yard": source.policy.yard, "asked": asked, "jobs": board_data(found, source.zone), "left_out": found.left_out,
            "findings": [str(words) for words in found.apart],
            "season": season_data(figures, source.zone),
        }  # fmt: skip
        out(json.dumps(answer, indent=2, ensure_ascii=False))
    else:
        for line in [*board_lines(view), "", *season_lines(season_view(figures, source.zone))]:
            out(line)
    return FOUND if found.apart or figures.unread or any(line.asks for line in found.lines) else FINE


def story(source: Source, job: str, out: Out, html: Path | None = None) -> int:
    """`coach review --job ID`: one boat's story. Raises RecordError R414: there is no such job."""
    told = source.shelf.story(job)
    list_ = checklist(told.rules, told.events, source.policy.units, source.zone)
    out(f"{list_.boat}, {list_.procedure}, {list_.technician}")
    for line in list_.story:
        out(f"{line.seq:>4}  {line.day}, {line.clock}  {line.by}: {line.text}")
    if html is not None:
        _write(html, story_page(source, told))
    return FINE


def story_page(source: Source, told: Story) -> str:
    """The page of one boat: checklist, drawings, time line, and the photos that are on this device."""
    list_ = checklist(told.rules, told.events, source.policy.units, source.zone)
    photos = [
        Photo(hash, caption, _bytes(source, hash)) for hash, caption in photos_of(told.rules, told.events, source.zone)
    ]
    return page(
        list_, _drawings(told, source.policy.units), "", time_line(told.rules, told.events, source.zone), photos
    )


def _drawings(told: Story, system: str) -> list[tuple[str, Drawing]]:
    measures = fold(told.rules, told.events).measures
    made = [boat_picture(told.rules, measures, name, system) for name in PICTURES]
    return [(drawing.title, drawing) for drawing in made if drawing is not None]


def flames_of(source: Source, day: str, out: Out, as_json: bool = False) -> int:
    """`coach flames DATE`: who had a flame lit on this day of the yard's, with which safeguards at which values.

    Status 1 where a flame is not known to be out, tripped, or stood on a safeguard that was not shown to hold.
    """
    try:
        asked = date.fromisoformat(day)
    except ValueError:
        out(rendered(_no_day(day)))
        return MISUSE
    found = flames(source.shelf, *day_span(asked, source.zone))
    if as_json:
        out(json.dumps(flame_data(found, asked, source.zone), indent=2, ensure_ascii=False))
    else:
        policy = source.policy
        for line in flame_lines(found, asked, policy.yard, policy.units, source.zone, policy.time_zone):
            out(line)
    sound = all(flame.end == OUT and all(shown.met for shown in flame.shown) for flame in found.found)
    return FINE if sound and not found.unread else FOUND


def _misasked(filters: Filters, source: Source) -> Problem | None:
    if filters.week and week_span(filters.week, source.zone) is None:
        return Problem(
            "C106", "'%(week)s' is no week", "the review could not tell which jobs are meant",
            "write year and week as 2026-W45 (ISO 8601, weeks begin on Monday)", slots={"week": filters.week},
        )  # fmt: skip
    if filters.state and filters.state not in BOARD_ORDER:
        slots = {"word": filters.state, "near": nearest(filters.state, BOARD_ORDER), "known": ", ".join(BOARD_ORDER)}
        mend = "did you mean %(near)s?" if slots["near"] else "the states are: %(known)s"
        return Problem(
            "C107",
            "'%(word)s' is no state of a job",
            "the review could not tell which jobs are meant",
            mend,
            slots=slots,
        )
    rows, people = source.shelf.store.jobs, source.policy.people
    if filters.who and filters.who not in people and not rows(JobQuery(technician=filters.who, limit=1)):
        known = sorted({*people, *(row.technician for row in rows(JobQuery()))})
        return _unknown("C122", "'%(word)s' is not in the crew and has no job here", filters.who, known)
    if filters.kind and not rows(JobQuery(procedure=filters.kind, limit=1)):
        known = procedure_ids(source.procedures)
        if filters.kind not in known:
            done = {row.procedure for row in rows(JobQuery())}
            return _unknown("C123", "there is no procedure '%(word)s', and no job was done by it", filters.kind, sorted({*known, *done}))
    return None


def _unknown(code: str, what: str, word: str, known: list[str]) -> Problem:
    """A word that names nothing would look like a season without work."""
    mend = "take one of: %(known)s" if known else "see the crew with: coach crew; the people stand in policy.yaml of the data folder"
    slots = {"word": word, "near": nearest(word, known), "known": ", ".join(known)}
    return Problem(code, what, "the review could not tell which jobs are meant", "did you mean %(near)s?" if slots["near"] else mend, slots=slots)


def _no_day(day: str) -> Problem:
    return Problem(
        "C108", "'%(day)s' is no day", "the answer is for one day of the yard", "write year, month and day as 2026-11-03",
        slots={"day": day},
    )  # fmt: skip


def _story_page(source: Source, job: str, folder: Path) -> bool:
    """Write one boat's page beside the board's; whether its record could be read."""
    made = source.shelf.read(job, lambda told: story_page(source, told))
    if not isinstance(made, str):
        return False
    _write(folder / f"{job}.html", made)
    return True


def _bytes(source: Source, hash: str) -> bytes | None:
    """A picture's bytes if they are on this device and are those that the record names."""
    if source.photos.fault(hash) is not None:
        return None
    with suppress(RecordError):
        return read_plain(source.photos.path(hash), LIMIT)
    return None


def _write(file: Path, text: str) -> None:
    try:
        file.write_text(text, encoding="utf-8")
    except OSError as fault:
        raise StoreError(
            Problem(
                "C109",
                "the page '%(file)s' cannot be written (%(why)s)",
                "the answer would be lost",
                "give the name of a file in a folder that is there and may be written to",
                slots={"file": file, "why": fault.strerror or str(fault)},
            )
        ) from fault
