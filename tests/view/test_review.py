"""The board and the season in words: reasons, moments, what is only counted, and figures that are the counts."""

from __future__ import annotations

from datetime import UTC, datetime, timedelta, timezone

from coach.demo import START
from coach.practice.worker import Worker
from coach.view.drawing import Polygon, Text, leaves
from coach.view.review import BoardView, board_data, board_lines, board_view
from coach.view.season import WIDE, bars, season_data, season_lines, season_view
from coach.yard.flags import KINDS, Flag
from coach.yard.review import Filters, Line, board
from coach.yard.season import season
from coach.yard.spans import season_span
from tests.helpers.yard_jobs import Yard

Jobs = tuple[Yard, dict[str, Worker]]


def view(yard: Yard, **more: int) -> BoardView:
    return board_view(board(yard.shelf, Filters(), UTC, **more), Filters(), "Pell Harbour Boatyard", zone=UTC)


def test_every_flag_says_its_reason_and_its_moments(season_jobs: Jobs) -> None:
    (teal,) = [job for _word, jobs in view(season_jobs[0]).groups for job in jobs if job.boat == "Teal"]
    assert [flag.head for flag in teal.flags] == [
        "Trip while the flame was lit (1)",
        "Left out (1)",
        "Corrected after the fact (1)",
        "Flame often refused (3)",
        "Safeguards had lapsed (12)",
    ]
    trip, left_out = teal.flags[:2]
    assert (
        trip.why
        == "Lost in the flame: Wind under the limit. See that the cause was mended before the flame was lit again."
    )
    assert [moment.text for moment in trip.moments] == [
        "Ana Ruiz: TRIP while the flame was lit: Gust 19.2 mph, it must be under 17.9 mph"
    ]
    assert left_out.why == "Not done, with a reason: Stick the door on with the bottom of its U down."
    assert all(flag.moments for flag in teal.flags)


def test_a_long_list_is_cut_and_says_how_much_is_more(season_jobs: Jobs) -> None:
    (knot,) = [job for _word, jobs in view(season_jobs[0]).groups for job in jobs if job.boat == "Knot"]
    quick = knot.flags[0]
    assert quick.kind == "quick"
    (line,) = board(season_jobs[0].shelf, Filters(who="joel", state="closed"), UTC).lines
    assert quick.why.endswith(f"; and {len(line.flags[0].about) - 4} more.")
    assert (len(quick.moments), quick.more) == (5, quick.count - 5)


def test_what_was_only_counted_says_so(season_jobs: Jobs) -> None:
    flags = [flag for _word, jobs in view(season_jobs[0], deep=0).groups for job in jobs for flag in job.flags]
    assert {flag.why for flag in flags} == {"Counted only: open the job to see the moments."}
    assert {flag.moments for flag in flags} == {()}


def test_every_kind_of_flag_has_its_words(season_jobs: Jobs) -> None:
    yard, _jobs = season_jobs
    (line,) = board(yard.shelf, Filters(state="open"), UTC).lines
    for kind in KINDS:
        made = Line(line.row, (Flag(kind, 2, (1,), ("wind", "ana"), ("what does not fit",)),), True, line.rules,
                    {1: yard.shelf.story(line.row.job).events[0]})  # fmt: skip
        (flag,) = board_view(board_of(made), Filters(), "").groups[0][1][0].flags
        assert "%(" not in flag.why and flag.title and flag.why
        due = "what does not fit" if kind in ("finding", "record") else "Wind under the limit; Ana Ruiz"
        assert due in flag.why


def board_of(line: Line):  # type: ignore[no-untyped-def]
    from coach.yard.review import Board

    return Board(((line.row.state, (line,)),))


def test_the_head_counts_what_asks_for_a_look(season_jobs: Jobs) -> None:
    assert view(season_jobs[0]).told == "7 boats, 3 to look at first"
    assert board_lines(view(season_jobs[0]))[:3] == [
        "Pell Harbour Boatyard: 7 boats, 3 to look at first",
        "",
        "FLAME LIT",
    ]


def test_an_accepted_job_asks_for_a_look_only_if_its_record_does_not_fit(season_jobs: Jobs) -> None:
    (line,) = board(season_jobs[0].shelf, Filters(state="accepted"), UTC).lines
    assert not Line(line.row, (Flag("trip", 1),)).asks
    assert Line(line.row, (Flag("trip", 1), Flag("finding", 1))).asks
    assert not Line(line.row).asks


def test_the_data_are_ids_and_iso_times_in_the_yards_zone(season_jobs: Jobs) -> None:
    yard, jobs = season_jobs
    zone = timezone(timedelta(hours=-5))
    data = {job["boat"]: job for job in board_data(board(yard.shelf, Filters(), zone), zone)}
    assert set(data) == set(jobs)
    trip = data["Teal"]["flags"][0]
    event = jobs["Teal"].job.events[trip["moments"][0]["event"] - 1]
    assert (trip["kind"], trip["count"], trip["about"], event.kind) == ("trip", 1, ["wind"], "tripped")
    local = datetime.fromtimestamp(event.at.wall / 1000, zone)
    assert trip["moments"][0]["at"] == f"{local:%Y-%m-%dT%H:%M:%S}.{event.at.wall % 1000:03d}-05:00"


# -- the season --------------------------------------------------------------------------------------------------------


def test_the_figures_are_the_counts(season_jobs: Jobs) -> None:
    counted = season(season_jobs[0].shelf, *season_span(START, UTC))
    shown = season_view(counted, UTC)
    assert shown.span == "Jul 1, 2026 to Jun 30, 2027"
    assert shown.told == f"6 boats, {counted.flames} flames, refused 3 times"
    assert shown.figures[0].rows == (
        ("People and things clear", 3), ("Fire watch at post", 3), ("No fuel or gas smell", 3), ("Wind under the limit", 3),
    )  # fmt: skip
    assert shown.back[1] == ("Lay a strip of tape over every seam and pleat", "Marta Oduya", "Ana Ruiz", 1)
    assert "     1  Lay a strip of tape over every seam and pleat: Marta Oduya > Ana Ruiz" in season_lines(shown)
    data = season_data(counted, UTC)
    assert (data["refused_for_safeguards"]["wind"], data["trips_by_safeguard"], data["flames"]) == (
        3,
        {"wind": 1},
        counted.flames,
    )


def test_a_bar_is_as_long_as_its_count() -> None:
    drawing = bars("x", "t", (("a", 8), ("b", 4), ("c", 1)))
    ends = [max(x for x, _y in part.points) for part in leaves(drawing.parts) if isinstance(part, Polygon)]
    assert ends == [WIDE, WIDE / 2, WIDE / 8]
    assert [part.words for part in leaves(drawing.parts) if isinstance(part, Text)] == ["1", "8", "2", "4", "3", "1"]


def test_a_season_without_anything_has_no_figures(season_jobs: Jobs) -> None:
    shown = season_view(season(season_jobs[0].shelf, 0, 1), UTC)
    assert shown.told == "0 boats, 0 flames, refused 0 times"
    assert [figure.plot for figure in shown.figures] == [None] * 5
