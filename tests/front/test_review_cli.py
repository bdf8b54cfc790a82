"""`coach review` and `coach flames`: what is typed, what is seen, the statuses, and the pages in a real browser."""

from __future__ import annotations

import hashlib
import json
import os
import re
import shutil
import subprocess
import sys
from datetime import UTC
from pathlib import Path

import pytest

from coach import answers
from coach.cli import main
from coach.core import actions as act
from coach.practice.worker import Worker
from coach.record.store import Finding
from coach.sheet.page import Photo, page
from coach.view.checklist import checklist
from coach.yard.review import Filters
from tests.front.test_sheet import CHROMIUM, browse
from tests.helpers.yard_jobs import Yard

Jobs = tuple[Yard, dict[str, Worker]]
POLICY = (
    "yard: Pell Harbour Boatyard\ntime_zone: America/New_York\npeople:\n  ana: {name: Ana Ruiz, roles: [technician]}\n"
)
WHICH = "    why   the review could not tell which jobs are meant\n"
# The smallest whole PNG: one pixel (ISO/IEC 15948).
PIXEL = bytes.fromhex(
    "89504e470d0a1a0a0000000d4948445200000001000000010802000000907753de0000000c4944415408d763f8cfc0000003010100"
    "18dd8db00000000049454e44ae426082"
)


@pytest.fixture(scope="module")
def data(season_jobs: Jobs, tmp_path_factory: pytest.TempPathFactory) -> Path:
    """A data folder with the two weeks and a policy of the yard's own."""
    folder = tmp_path_factory.mktemp("review") / "data"
    shutil.copytree(season_jobs[0].desk.folder, folder)
    (folder / "policy.yaml").write_text(POLICY, encoding="utf-8")
    return folder


def coach(data: Path, *words: str) -> int:
    return main(["--data", str(data), *words])


def seen(capsys: pytest.CaptureFixture[str]) -> str:
    return capsys.readouterr().out


def test_the_board_at_the_terminal(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(data, "review", "--week", "2026-W45", "--who", "ana") == 1
    lines = seen(capsys).splitlines()
    assert lines[:2] == ["Pell Harbour Boatyard: 3 boats, 1 to look at first", "Crew: Ana Ruiz, Week: 2026-W45"]
    assert [line for line in lines if line.isupper() and line[0] != " "] == ["TO REVIEW", "SENT BACK", "ACCEPTED"]
    assert any(
        line.startswith("    ! Trip while the flame was lit (1): Lost in the flame: Wind under the limit.")
        for line in lines
    )
    assert any(
        re.match(r"         \d{3}  Nov 4, 2026, 12:\d\d:\d\d  Ana Ruiz: TRIP", line) for line in lines
    )  # 17:11 UTC


def test_where_nothing_asks_for_a_look_the_status_is_0(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(data, "review", "--state", "accepted") == 0
    assert "Dunlin" in seen(capsys)


def test_the_board_for_programs(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(data, "review", "--json", "--kind", "power-boat-trailer", "--week", "2026-W46") == 1
    answer = json.loads(seen(capsys))
    assert answer["asked"] == {"who": "", "week": "2026-W46", "kind": "power-boat-trailer", "state": ""}
    assert [(job["boat"], [flag["kind"] for flag in job["flags"]]) for job in answer["jobs"]] == [
        ("Scaup", []), ("Gadwall", ["tag"]), ("Smew", []),
    ]  # fmt: skip
    assert answer["season"]["since"] == "2026-11-09T00:00:00.000-05:00"


@pytest.mark.parametrize(
    ("words", "said"),
    [
        (("review", "--week", "2026-W60"), "C106 '2026-W60' is no week\n"),
        (("review", "--state", "close"), "C107 'close' is no state of a job\n"),
        (("flames", "3 November"), "C108 '3 November' is no day\n"),
        (("review", "--who", "anna"), f"C122 'anna' is not in the crew and has no job here\n{WHICH}    mend  did you mean ana?\n"),
        (("review", "--who", "zzz"), f"C122 'zzz' is not in the crew and has no job here\n{WHICH}    mend  take one of: ana"),
        (("review", "--json", "--kind", "pontoon"),
         f"C123 there is no procedure 'pontoon', and no job was done by it\n{WHICH}    mend  did you mean pontoon-boat?\n"),
        (("review", "--kind", "zzz"), f"C123 there is no procedure 'zzz', and no job was done by it\n{WHICH}    mend  take one of: cyl"),
    ],
)
def test_what_cannot_be_understood_is_misuse(
    data: Path, capsys: pytest.CaptureFixture[str], words: tuple[str, ...], said: str
) -> None:
    assert coach(data, *words) == 2
    assert seen(capsys).startswith(said)


def test_a_word_that_is_known_and_has_no_jobs_is_no_misuse(data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    """A shipped procedure that nobody worked by, one of the crew without a job, one who left the crew and has jobs."""
    assert coach(data, "review", "--kind", "pontoon-boat") == 0
    (tmp_path / "policy.yaml").write_text(POLICY, encoding="utf-8")
    assert coach(tmp_path, "review", "--who", "ana") == 0
    assert "0 boats" in seen(capsys)
    left = shutil.copytree(data, tmp_path / "left")
    (left / "policy.yaml").write_text(POLICY.replace("ana:", "nia:"), encoding="utf-8")
    assert coach(left, "review", "--who", "ana") == 1
    assert re.match(r"Pell Harbour Boatyard: [1-9]\d* boats", seen(capsys))


def test_a_drill_without_a_number_is_not_the_crew(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(data, "crew", "--run", "0") == 2
    assert "C117 --run: '0' is no whole number above zero\n" in capsys.readouterr().err


def test_a_reader_that_has_seen_enough_is_no_fault(data: Path) -> None:
    """As `coach flames DATE | head` ends: here the reader has gone before the first line is written."""
    command = [sys.executable, "-m", "coach", "--data", str(data), "flames", "2026-11-04"]
    reads, writes = os.pipe()
    os.close(reads)
    done = subprocess.run(command, stdout=writes, stderr=subprocess.PIPE, text=True, check=False)
    os.close(writes)
    assert (done.returncode, done.stderr) == (0, "")


def test_a_page_that_cannot_be_written_is_said(data: Path, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(data, "review", "--html", str(tmp_path / "none" / "board.html")) == 1
    assert "C109 the page" in capsys.readouterr().err


def test_the_inspectors_question(data: Path, season_jobs: Jobs, capsys: pytest.CaptureFixture[str]) -> None:
    """Teal's flames, one with a trip: each with eleven safeguards, their values and when they were stated."""
    jobs = season_jobs[1]
    lit = [event for event in jobs["Teal"].job.events if event.kind == "flame_lit"]
    assert coach(data, "flames", "2026-11-04") == 1
    text = seen(capsys)
    assert text.startswith(f"Pell Harbour Boatyard, Nov 4, 2026 (America/New_York): {len(lit)} flames at 1 boat\n")
    assert text.count("Wind under the limit: holds. How was it read? With a wind meter; Mean wind 4.9 mph; Strongest gust 8.1 mph. "
                      "(stated Nov 4, 2026, ") == len(lit)  # fmt: skip
    assert text.count(": holds. ") == 11 * len(lit)
    assert (
        "Wind under the limit: DOES NOT HOLD. How was it read? With a wind meter; Mean wind 9.2 mph; Strongest gust 19.2 mph."
        in text
    )
    assert text.count("TRIP: Gust 19.2 mph, it must be under 17.9 mph.") == 1
    assert text.count("Fire watch held until Nov 4, 2026, ") == 1
    assert text.count("Another flame followed at this boat") == len(lit) - 1


def test_a_day_on_which_every_flame_stood_on_all_safeguards_has_the_status_0(data: Path) -> None:
    assert coach(data, "flames", "2026-11-02") == 0


def test_a_flame_without_a_safeguard_has_the_status_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    yard = Yard(tmp_path)
    worker = yard.begin("Eider")
    yard.forge(worker, "flame_lit", step="weld-hem", operator="ana", proofs={})
    yard.forge(worker, "flame_out", step="weld-hem", confirmed=True)
    assert coach(tmp_path, "flames", "2026-11-02") == 1
    text = seen(capsys)
    assert text.count(": NOT SHOWN") == 11
    assert "Flame out, tool closed. No fire watch is recorded as held after it yet." in text


def test_a_finding_of_a_tablet_alone_has_the_status_1(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    Yard(tmp_path).desk.ledger.memory.note_finding(Finding("X304", "", "two copies of one tablet", "", 0))
    assert coach(tmp_path, "review", "--html", str(tmp_path / "board.html")) == 1
    assert seen(capsys).splitlines()[:2] == [
        "0 boats, 0 to look at first",
        "! The record does not fit: two copies of one tablet",
    ]


def test_without_stories_the_board_links_nowhere(data: Path, tmp_path: Path) -> None:
    assert coach(data, "review", "--html", str(tmp_path / "board.html")) == 1
    assert [path.name for path in tmp_path.iterdir()] == ["board.html"]
    assert "<a " not in (tmp_path / "board.html").read_text(encoding="utf-8")


def test_the_inspectors_question_for_programs(
    data: Path, season_jobs: Jobs, capsys: pytest.CaptureFixture[str]
) -> None:
    assert coach(data, "flames", "2026-11-04", "--json") == 1
    answer = json.loads(seen(capsys))
    lit = [event for event in season_jobs[1]["Teal"].job.events if event.kind == "flame_lit"]
    assert [flame["event"] for flame in answer["flames"]] == [
        season_jobs[1]["Teal"].job.events.index(event) + 1 for event in lit
    ]
    wind = next(each for each in answer["flames"][0]["safeguards"] if each["safeguard"] == "wind")
    assert (wind["met"], wind["values"]["gust"], wind["by"]) == (True, 3_600, "ana")
    assert coach(data, "flames", "2026-11-01", "--json") == 0
    assert json.loads(seen(capsys)) == {"day": "2026-11-01", "flames": [], "unread": []}


def test_one_boats_story(data: Path, season_jobs: Jobs, tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    job = season_jobs[1]["Teal"].job
    file = tmp_path / "teal.html"
    assert coach(data, "review", "--job", job.id, "--html", str(file)) == 0
    lines = seen(capsys).splitlines()
    assert len(lines) == 1 + len(job.events)
    assert lines[0] == "Teal, Cover a power boat on its trailer, Ana Ruiz"
    html = file.read_text(encoding="utf-8")
    assert html.count("<svg") >= 5  # time line, three drawings, the signature
    assert "<script" not in html and "http://" not in html.replace('xmlns="http://www.w3.org/2000/svg"', "")


def test_a_story_of_no_job_is_said(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert coach(data, "review", "--job", "heron-1") == 1
    assert "R414 there is no job 'heron-1' in this ledger" in capsys.readouterr().err


def test_photos_stand_in_the_page_by_their_bytes(season_jobs: Jobs) -> None:
    job = season_jobs[1]["Dunlin"].job
    list_ = checklist(job.rules, job.events, "us", UTC)
    photos = [
        Photo("a" * 64, "<b>the knot</b>", PIXEL),
        Photo("b" * 64, "gone", None),
        Photo("c" * 64, "odd", b"<svg onload=x>"),
    ]
    html = page(list_, photos=photos)
    assert '<img src="data:image/png;base64,iVBORw0KGgo' in html
    assert "&lt;b&gt;the knot&lt;/b&gt;" in html
    assert html.count("This picture is not on this device.") == 1
    assert html.count("This picture is neither JPEG nor PNG and is not shown.") == 1
    assert "onload" not in html


def test_every_text_of_the_board_is_escaped(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    yard = Yard(tmp_path / "data")
    worker = yard.until(yard.begin('Heron"><script>alert(1)</script>'), "look-over")
    worker.must(act.Excuse("ana", "look-over", "<img src=x onerror=alert(2)>"), "excuse")
    yard.desk.ledger.memory.note_finding(Finding("X304", "", "<b>two copies</b>", "", 0))
    assert coach(tmp_path / "data", "review", "--html", str(tmp_path / "board.html"), "--stories") == 1
    pages = [path.read_text(encoding="utf-8") for path in tmp_path.glob("*.html")]
    assert "! The record does not fit: <b>two copies</b>" in seen(capsys).splitlines()
    assert len(pages) == 2 and sum("&lt;b&gt;two copies" in html for html in pages) == 1
    for html in pages:
        assert "&lt;script&gt;alert(1)" in html and "&lt;img src=x" in html
        assert "<script" not in html and "<img" not in html


def test_a_changed_picture_is_not_shown_as_evidence(data: Path) -> None:
    source = answers.Source.open(data)
    hash = source.photos.keep(PIXEL)
    assert hash == hashlib.sha256(PIXEL).hexdigest()
    assert answers._bytes(source, hash) == PIXEL
    source.photos.path(hash).write_bytes(PIXEL + b"x")
    assert answers._bytes(source, hash) is None
    assert answers._bytes(source, "0" * 64) is None


@pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")
def test_the_page_in_a_browser(data: Path, tmp_path: Path) -> None:
    """Built by the browser, printed on pages, with links that lead to the pages beside it."""
    file = tmp_path / "board.html"
    source = answers.Source.open(data)
    lines: list[str] = []
    assert answers.review(source, Filters(), 1_793_604_600_000, lines.append, html=file, stories=True) == 1
    dom = browse(file, tmp_path, "--dump-dom").stdout
    links = re.findall(r'<a href="([^"]+)"', dom)
    assert sorted(links) == sorted(path.name for path in tmp_path.glob("*.html") if path != file)
    assert len(links) == 7
    assert dom.count("<svg") == 5
    assert "<script" not in dom
    printed = tmp_path / "board.pdf"
    browse(file, tmp_path, f"--print-to-pdf={printed}", "--no-pdf-header-footer")
    assert printed.read_bytes().startswith(b"%PDF")
