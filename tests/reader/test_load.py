"""Files on disk: ids and paths, where parts are looked for, and every way in which a file may not be there."""

from __future__ import annotations

import os
from pathlib import Path

import pytest

from coach import paths
from coach.core.problems import Problem, ProcedureError
from coach.reader.load import list_procedures, load_procedure
from coach.reader.text import MAX_BYTES

TEXT = "procedure: {id}\nversion: 1\ntitle: A case {id}\npurpose: A.\nstages:\n  - use: shared\n"
PART = "part: shared\nstages:\n  - stage: work\n    title: Work\n    steps:\n" \
       "      - {step: look, do: Look., why: W., right: R., wrong: W.}\n"


@pytest.fixture
def folder(tmp_path: Path) -> Path:
    (tmp_path / "parts").mkdir()
    (tmp_path / "a.yaml").write_text(TEXT.format(id="a"), encoding="utf-8")
    (tmp_path / "parts" / "shared.yaml").write_text(PART, encoding="utf-8")
    return tmp_path


def message(path_or_id: str | Path, folders: list[Path]) -> str:
    with pytest.raises(ProcedureError) as caught:
        load_procedure(path_or_id, folders)
    return str(caught.value)


def test_by_id_and_by_path(folder: Path) -> None:
    by_id = load_procedure("a", [folder])
    by_path = load_procedure(folder / "a.yaml", [])
    by_text = load_procedure(str(folder / "a.yaml"), [])
    assert by_id.title == "A case a"
    assert by_id.hash == by_path.hash == by_text.hash
    assert str(by_id.place) == "a.yaml:1:1"
    assert by_path.place.file == (folder / "a.yaml").as_posix()
    assert by_path.steps[0].place.file == (folder / "parts" / "shared.yaml").as_posix()


def test_a_yards_own_procedure_may_use_shipped_parts_and_its_own_come_first(folder: Path, tmp_path: Path) -> None:
    own = tmp_path / "own"
    own.mkdir()
    (own / "b.yaml").write_text(TEXT.format(id="b"), encoding="utf-8")
    shipped_part = load_procedure("b", [own, folder])
    assert shipped_part.steps[0].do == "Look."
    (own / "parts").mkdir()
    (own / "parts" / "shared.yaml").write_text(PART.replace("do: Look.", "do: Look twice."), encoding="utf-8")
    assert load_procedure("b", [own, folder]).steps[0].do == "Look twice."
    assert load_procedure("b", [own, folder]).hash != shipped_part.hash


def test_an_unknown_id_is_offered_the_nearest(folder: Path) -> None:
    (folder / "power-boat.yaml").write_text(TEXT.format(id="power-boat"), encoding="utf-8")
    assert message("power-baot", [folder]) == (
        "P501 there is no procedure 'power-baot'\n"
        "    why   no file of that name lies in the folders of procedures\n"
        "    mend  take 'power-boat'"
    )
    assert message("xyz", [folder / "nowhere"]).endswith("mend  take one of: (there are none)")


@pytest.mark.parametrize("id", ["..", "a b", "A", "", "a\x00b", "a" * 300])
def test_an_id_never_leaves_its_folder(folder: Path, id: str) -> None:
    assert message(id, [folder / "parts"]).startswith("P501 there is no procedure")


def test_files_that_are_none(folder: Path) -> None:
    assert message(folder / "b.yaml", []) == (
        f"{(folder / 'b.yaml').as_posix()}: P502 there is no such file\n"
        "    why   only a file's bytes can be read\n"
        "    mend  correct the path"
    )
    assert "P502 this is not a plain file" in message(folder / "parts", [])
    assert "P502 there is no such file" in message("a/\x00.yaml", [])


@pytest.mark.skipif(not hasattr(os, "mkfifo"), reason="no pipes on this platform")
def test_a_pipe_does_not_hang_the_reader(folder: Path) -> None:
    os.mkfifo(folder / "pipe.yaml")
    assert "P502 this is not a plain file" in message(folder / "pipe.yaml", [])


@pytest.mark.skipif(os.name != "posix", reason="other platforms have no name that is too long to be asked for")
def test_what_the_system_says_is_passed_on(folder: Path) -> None:
    assert "P503 the file cannot be read: File name too long" in message(folder / ("a" * 5_000 + ".yaml"), [])


def test_a_file_that_is_too_large_is_not_read_whole(folder: Path) -> None:
    (folder / "big.yaml").write_bytes(b"#" * (MAX_BYTES * 3))
    assert "P101 the file is larger than 1000000 bytes" in message(folder / "big.yaml", [])


def test_a_part_that_is_not_utf8_is_a_fault_and_no_crash(folder: Path) -> None:
    (folder / "parts" / "shared.yaml").write_bytes(PART.encode("utf-16"))
    assert message("a", [folder]).startswith("parts/shared.yaml:1:1: P102 byte 0xFF is not UTF-8")


def test_the_list_shows_titles_and_for_a_faulty_one_the_first_problem(folder: Path) -> None:
    (folder / "b.yaml").write_text("procedure: b\n", encoding="utf-8")
    listed = list_procedures([folder])
    assert listed[0] == ("a", "A case a")
    id, problem = listed[1]
    assert id == "b" and isinstance(problem, Problem) and problem.code == "P203"
    assert list_procedures([folder / "nowhere"]) == []


def test_every_shipped_procedure_loads() -> None:
    listed = list_procedures()
    assert listed
    assert [(id, str(title)) for id, title in listed if isinstance(title, Problem)] == []
    assert "demo-policy" not in dict(listed)


def test_where_things_are(tmp_path: Path) -> None:
    assert (paths.procedures() / "FORMAT.md").is_file()
    assert paths.assets().is_dir()
    assert paths.locale().is_dir()
    package = tmp_path / "coach"
    (tmp_path / "procedures").mkdir()
    package.mkdir()
    assert paths.shipped("procedures", package) == tmp_path / "procedures"  # a checkout
    (package / "procedures").mkdir()
    assert paths.shipped("procedures", package) == package / "procedures"  # an installed program


@pytest.mark.parametrize(
    ("platform", "environment", "folder"),
    [
        ("linux", {"HOME": "/home/ana"}, "/home/ana/.local/share/cover-coach"),
        ("linux", {"HOME": "/home/ana", "XDG_DATA_HOME": "/data"}, "/data/cover-coach"),
        ("darwin", {"HOME": "/Users/ana"}, "/Users/ana/Library/Application Support/cover-coach"),
        ("win32", {"LOCALAPPDATA": "/c/local"}, "/c/local/cover-coach"),
        ("win32", {"USERPROFILE": "/c/ana"}, "/c/ana/AppData/Local/cover-coach"),
        ("linux", {"HOME": "/x", "ANDROID_PRIVATE": "/data/app"}, "/data/app/cover-coach"),
        ("linux", {"HOME": "/x", "COVER_COACH_DATA": "/mnt/stick/jobs"}, "/mnt/stick/jobs"),
        ("win32", {"LOCALAPPDATA": "/c/local", "COVER_COACH_DATA": "/d"}, "/d"),
    ],
)
def test_the_data_folder_is_the_platforms_own(platform: str, environment: dict[str, str], folder: str) -> None:
    assert paths.data_folder(environment, platform) == Path(folder)


def test_the_data_folder_is_made_for_its_owner_only(tmp_path: Path) -> None:
    made = paths.made_data_folder(tmp_path / "a" / "b")
    assert made.is_dir()
    assert paths.made_data_folder(made) == made
    if os.name == "posix":
        assert made.stat().st_mode & 0o077 == 0


def test_a_data_folder_that_cannot_be_made_says_so(tmp_path: Path) -> None:
    from coach.core.problems import StoreError

    (tmp_path / "file").write_text("x", encoding="utf-8")
    with pytest.raises(StoreError, match="P510 the data folder .* cannot be made"):
        paths.made_data_folder(tmp_path / "file" / "data")
