"""The checklist in a real browser: it renders, it prints, it carries no script and needs no network."""

from __future__ import annotations

import shutil
import subprocess
from pathlib import Path

import pytest

from coach.demo import play

CHROMIUM = shutil.which("chromium") or shutil.which("chromium-browser") or shutil.which("google-chrome")
FLAGS = ("--headless", "--no-sandbox", "--disable-gpu", "--disable-quic", "--no-first-run", "--disable-background-networking",
         "--disable-component-update", "--disable-sync")

pytestmark = pytest.mark.skipif(CHROMIUM is None, reason="no Chromium on this machine")


def browse(sheet: Path, folder: Path, *more: str) -> subprocess.CompletedProcess[str]:
    profile = folder / "profile"
    command = [str(CHROMIUM), *FLAGS, f"--user-data-dir={profile}", *more, sheet.as_uri()]
    return subprocess.run(command, capture_output=True, text=True, check=True, timeout=120)


@pytest.fixture(scope="module")
def sheet(tmp_path_factory: pytest.TempPathFactory) -> Path:
    out = tmp_path_factory.mktemp("sheet")
    play(out, lambda line: None, window=False)
    (found,) = out.glob("*.html")
    return found


def test_the_browser_builds_the_page(sheet: Path, tmp_path: Path) -> None:
    dom = browse(sheet, tmp_path, "--dump-dom").stdout
    assert "Look at this first" in dom
    assert dom.count("<svg") >= 6  # three pictures, two signatures of the technician, one of the supervisor
    assert "Signed by Ana Ruiz" in dom
    assert "PRACTICE" not in dom


def test_it_prints_on_pages(sheet: Path, tmp_path: Path) -> None:
    printed = tmp_path / "sheet.pdf"
    browse(sheet, tmp_path, f"--print-to-pdf={printed}", "--no-pdf-header-footer")
    raw = printed.read_bytes()
    assert raw.startswith(b"%PDF")
    assert 2 <= raw.count(b"/Type /Page\n") + raw.count(b"/Type /Page ") + raw.count(b"/Type/Page/") <= 30


def test_a_picture_of_it_is_not_blank(sheet: Path, tmp_path: Path) -> None:
    shot = tmp_path / "sheet.png"
    browse(sheet, tmp_path, f"--screenshot={shot}", "--window-size=900,1400")
    assert shot.stat().st_size > 60_000
