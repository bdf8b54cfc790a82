"""The commands as a person types them: exit status, stable handles, messages."""

from __future__ import annotations

import json
import subprocess
import sys
from pathlib import Path

import pytest

from coach import language, paths
from coach.cli import main


def size(capsys: pytest.CaptureFixture[str], *arguments: str) -> tuple[int, str, str]:
    status = main(["size", "power-boat-trailer", *arguments])
    seen = capsys.readouterr()
    return status, seen.out, seen.err


def test_66_inches_give_a_12_foot_film(capsys: pytest.CaptureFixture[str]) -> None:
    """Common practice, no source: twice 66 in and 12 in for the tucks make 144 in, a 12 ft film. 12 ft is 3.6576 m."""
    status, out, _err = size(capsys, "--set", "ridge_to_edge=66in", "--json")
    answer = json.loads(out)
    assert status == 0
    film = answer["numbers"]["film_width"]
    assert film["si"] == 3.6576
    assert film["display"] == "12 ft"
    assert film["explanation"] == "2 × 5' 6\" + 2 × 6 in = 12 ft"


def test_an_eighth_more_takes_the_next_foot(capsys: pytest.CaptureFixture[str]) -> None:
    _status, out, _err = size(capsys, "--set", "ridge_to_edge=66 1/8 in", "--json")
    assert json.loads(out)["numbers"]["film_width"]["display"] == "13 ft"


def test_the_same_tape_in_metric_units(capsys: pytest.CaptureFixture[str]) -> None:
    _status, out, _err = size(capsys, "--set", "ridge_to_edge=1.6764 m", "--units", "metric", "--json")
    film = json.loads(out)["numbers"]["film_width"]
    assert film["si"] == 3.6576
    assert film["display"] == "3.66 m"


def test_a_number_says_which_measure_it_waits_for(capsys: pytest.CaptureFixture[str]) -> None:
    _status, out, _err = size(capsys, "--set", "ridge_to_edge=66in", "--json")
    numbers = json.loads(out)["numbers"]
    assert numbers["half_beam"]["si"] is None
    assert numbers["half_beam"]["waits_for"] == ["beam"]


def test_measures_that_disagree_are_a_finding(capsys: pytest.CaptureFixture[str]) -> None:
    """Half a tape shorter than the straight line: sqrt(48² + 36²) + 7 in = 67 in > 66 in (geometry)."""
    measures = ("ridge_to_edge=66in", "beam=8ft", "ridge_height=36in", "edge_drop=7in")
    status, out, _err = size(capsys, *(word for m in measures for word in ("--set", m)))
    assert status == 1
    assert "The half tape and the beam disagree." in out


@pytest.mark.parametrize(
    ("value", "status", "words"),
    [
        ("ridge_to_edge=66kg", 1, "kg is a mass, a length is due"),
        ("ridge_to_edge=", 1, "ridge_to_edge"),
        ("ridge_to_edge=1e309", 1, "ridge_to_edge"),
        ("ridge_to_edge=nan", 1, "ridge_to_edge"),
        ("ridge_to_edge=-66in", 1, "ridge_to_edge"),
        ("ridge_to_edge=66 ft", 1, "is outside the plausible range"),
        ("ridge_to_edg=66in", 2, "did you mean ridge_to_edge?"),
        ("66in", 2, "write NAME=VALUE, such as beam=8ft"),
    ],
)
def test_bad_values_are_named(value: str, status: int, words: str, capsys: pytest.CaptureFixture[str]) -> None:
    found, _out, err = size(capsys, "--set", value)
    assert found == status
    assert words in err


def test_an_unknown_command_is_misuse() -> None:
    assert main(["dance"]) == 2


def test_an_unknown_procedure_is_a_finding_with_the_nearest_name(capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["size", "power-boat-trailr"]) == 1
    assert "power-boat-trailer" in capsys.readouterr().err


def test_help_names_every_command() -> None:
    done = subprocess.run([sys.executable, "-m", "coach", "--help"], capture_output=True, text=True, check=False)
    assert done.returncode == 0
    for command in ("demo", "walk", "size", "verify", "prove"):
        assert command in done.stdout


def test_a_file_that_is_no_record_does_not_verify(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    bad = tmp_path / "some.coach"
    bad.write_text("not a record", encoding="utf-8")
    assert main(["verify", str(bad)]) == 1
    assert "DOES NOT VERIFY" in capsys.readouterr().out


def test_a_walk_without_boat_and_person_is_misuse(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(tmp_path), "walk", "power-boat-trailer"]) == 2
    assert "add --boat NAME --by PERSON" in capsys.readouterr().err


def test_a_walk_by_nobody_of_the_crew_names_the_crew_or_where_to_write_it(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    words = ["--data", str(tmp_path), "walk", "cylinder-change", "--boat", "The cart", "--by", "anna"]
    assert main(words) == 2
    file = tmp_path / "policy.yaml"
    assert f"mend  write the crew into {file}; procedures/yard/demo-policy.yaml shows one" in capsys.readouterr().err
    file.write_bytes((paths.procedures() / "yard" / "demo-policy.yaml").read_bytes())
    assert main(words) == 2
    assert capsys.readouterr().err == (
        "C111 'anna' is no technician of the crew\n    why   every record says by whom\n"
        "    mend  take one of: ana, joel, nia\n"
    )


def test_a_walk_without_a_procedure_is_misuse_and_with_a_job_needs_none(
    tmp_path: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    assert main(["--data", str(tmp_path), "walk"]) == 2
    assert "name a procedure, or give --job ID; coach list shows both" in capsys.readouterr().err
    assert main(["--data", str(tmp_path), "walk", "--job", "dunlin-1"]) == 1
    assert "R414 there is no job 'dunlin-1' in this ledger" in capsys.readouterr().err
    (tmp_path / "policy.yaml").write_bytes((paths.procedures() / "yard" / "demo-policy.yaml").read_bytes())
    monkeypatch.setattr("builtins.input", lambda _question: "quit")
    begin = ["walk", "cylinder-change", "--boat", "The cart", "--by", "ana"]
    assert main(["--data", str(tmp_path), *begin]) == 0
    job = capsys.readouterr().out.splitlines()[-1].split(" ")[1].rstrip(":")
    assert main(["--data", str(tmp_path), "walk", "--job", job]) == 0
    assert f"job {job}: " in capsys.readouterr().out


def test_a_procedure_that_cannot_be_used_is_a_finding_of_the_proof_in_the_language_asked_for(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    bad = tmp_path / "bad.yaml"
    bad.write_text("procedure: bad\nstges: []\n", encoding="utf-8")
    assert main(["prove", str(bad)]) == 1
    assert "P201 a procedure has no key 'stges'" in capsys.readouterr().out
    assert main(["--language", "fr", "prove", str(bad)]) == 1
    language.use("en")
    assert "    que faire  écrivez «\u00a0stages\u00a0»" in capsys.readouterr().out


@pytest.mark.parametrize("words", [("enrol", "tablet.pem"), ("revoke", "0" * 32)])
def test_a_key_is_not_taken_in_or_thrown_out_without_a_word(
    words: tuple[str, ...], tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["--data", str(tmp_path), "keys", *words]) == 2
    assert "C113 " in capsys.readouterr().err


def test_who_stops_reading_gets_no_traceback() -> None:
    piped = f"{sys.executable} -m coach size sailing-boat-mast-up | head -n 1"
    done = subprocess.run(["/bin/sh", "-c", piped], capture_output=True, text=True, check=True)
    assert (done.stdout, done.stderr) == ("Cover a sailing boat with its mast up\n", "")


def test_words_that_the_command_line_does_not_take_are_said_with_where_the_right_ones_stand(
    capsys: pytest.CaptureFixture[str],
) -> None:
    assert main(["keys", "dance"]) == 2
    err = capsys.readouterr().err
    assert "C117 act: 'dance': take one of: 'show', 'begin', 'trust', 'enrol', 'revoke'\n" in err
    assert err.endswith(
        "    why   the command cannot tell what is asked for\n    mend  see what it takes with: coach keys --help\n"
    )
    assert main(["--language"]) == 2
    assert "C117 --language: a value is missing behind it\n" in capsys.readouterr().err


@pytest.mark.parametrize(
    ("words", "status", "says"),
    [
        (["demo", "--no-window", "--out", "FILE"], 1, "C118 the folder FILE cannot be used (File exists)"),
        (
            ["practice", "--simulate", "all", "--runs", "0"],
            2,
            "C117 --runs: '0' is no whole number above zero",
        ),
        (["review", "--stories"], 2, "C121 --stories needs --html"),
        (["crew", "--person", "anna"], 1, "D334 'anna' is not in the crew and has done no drill"),
        (["new", "dinghy", "--dir", "FILE"], 1, "C143 the file 'dinghy.yaml' cannot be written: Not a directory"),
        (["send", "FILE"], 1, "X106 there is no folder FILE"),
        (["keys", "enrol", "FILE", "--name", "Tablet 1"], 1, "X204 this device belongs to no yard"),
    ],
)
def test_what_a_newcomer_gets_wrong_is_said_with_its_place(
    words: list[str], status: int, says: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    file = tmp_path / "file"
    file.write_text("nothing of ours", encoding="utf-8")
    given = [word.replace("FILE", str(file)) for word in words]
    assert main(["--data", str(tmp_path / "data"), *given]) == status
    err = capsys.readouterr().err
    assert says.replace("FILE", str(file)) in err
    assert "\n    why   " in err and "\n    mend  " in err


def test_a_fault_of_the_policy_is_said_with_the_whole_path(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "policy.yaml").write_text("yrad: Pell Harbour Boatyard\n", encoding="utf-8")
    assert main(["--data", str(tmp_path), "review"]) == 1
    assert f"{tmp_path / 'policy.yaml'}:1:1: P201 a policy has no key 'yrad'" in capsys.readouterr().err
