"""`coach new`: the commented starter, under the id asked for, loads and proves as it is; mistakes are met in words."""

from __future__ import annotations

from pathlib import Path

import pytest

from coach.cli import main
from coach.core.sizing.registry import FUNCTIONS
from coach.prover.cast import STANDARD
from coach.prover.lint import lint
from coach.prover.proof import PROVEN
from coach.prover.prove import prove
from coach.prover.rules.surroundings import Surroundings
from coach.reader.load import load_procedure
from coach.view.boat import PICTURES


def test_the_starter_proves_and_gives_no_hint(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["new", "dinghy-on-rack", "--dir", str(tmp_path / "own")]) == 0
    file = tmp_path / "own" / "dinghy-on-rack.yaml"
    assert f"Written: {file}" in capsys.readouterr().out
    procedure = load_procedure(file)
    assert procedure.id == "dinghy-on-rack"
    assert prove(procedure, STANDARD, FUNCTIONS).verdict == PROVEN
    assert lint(procedure, Surroundings(frozenset(PICTURES))) == ()


def test_the_starter_uses_the_shipped_gate_and_has_a_heat_step(tmp_path: Path) -> None:
    main(["new", "dinghy-on-rack", "--dir", str(tmp_path)])
    procedure = load_procedure(tmp_path / "dinghy-on-rack.yaml")
    assert procedure.heats
    assert {
        "parts/heat-gate.yaml",
        "parts/flame-out.yaml",
        "parts/vent-reopened.yaml",
        "parts/after-flame.yaml",
    } <= set(procedure.files)


def test_every_kind_of_thing_an_author_needs_is_explained_where_it_stands(tmp_path: Path) -> None:
    main(["new", "dinghy-on-rack", "--dir", str(tmp_path)])
    lines = (tmp_path / "dinghy-on-rack.yaml").read_text(encoding="utf-8").splitlines()
    assert sum("#" in line for line in lines) >= 20
    assert "#   coach prove dinghy-on-rack.yaml" in "\n".join(lines)


def test_without_a_folder_it_is_written_into_the_data_folder(tmp_path: Path) -> None:
    assert main(["--data", str(tmp_path), "new", "dinghy-on-rack"]) == 0
    assert (tmp_path / "procedures" / "dinghy-on-rack.yaml").is_file()


@pytest.mark.parametrize(
    ("id", "words"),
    [
        ("Dinghy", "C140 'Dinghy' is no id for a procedure"),
        ("../escape", "C140 '../escape' is no id for a procedure"),
        ("power-boat-trailer", "C141 there is a shipped procedure 'power-boat-trailer'"),
    ],
)
def test_an_id_that_cannot_be_is_refused(
    id: str, words: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    assert main(["new", id, "--dir", str(tmp_path)]) == 1
    assert words in capsys.readouterr().err
    assert list(tmp_path.iterdir()) == []


def test_nothing_is_written_over(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "mine.yaml").write_text("my work", encoding="utf-8")
    assert main(["new", "mine", "--dir", str(tmp_path)]) == 1
    assert "C142 the file 'mine.yaml' is there already" in capsys.readouterr().err
    assert (tmp_path / "mine.yaml").read_text(encoding="utf-8") == "my work"


def test_a_folder_that_cannot_be_is_said(tmp_path: Path, capsys: pytest.CaptureFixture[str]) -> None:
    (tmp_path / "plain").write_text("", encoding="utf-8")
    assert main(["new", "mine", "--dir", str(tmp_path / "plain" / "below")]) == 1
    assert "C143 the file 'mine.yaml' cannot be written" in capsys.readouterr().err


# What a foreman is likely to do to the starter, and what the app says: file, line, what was found, what to write.
SLIPS = [
    (
        "    kind: length                 # length",
        "    kind: lenght                 # length",
        "P208 unknown word 'lenght'",
        "write 'length'",
    ),
    (
        "film_over + 2 * 6 in",
        "film_ovr + 2 * 6 in",
        "F201 'film_ovr' is not a measure or number of this procedure",
        "write film_over",
    ),
    ("film_over + 2 * 6 in", "film_over + 12", "F204 12 is a plain number, a length is due", "write 12 in or 12 ft"),
    ("  - use: heat-gate", "  - use: heatgate", "P224 there is no part 'heatgate'", "write 'heat-gate', or make parts/heatgate.yaml"),
    (
        "        right: No edge can be felt through the padding.\n",
        "",
        "P203 a step lacks 'right'",
        "add 'right', with a colon",
    ),
    ("        do: Set the ridge pole so", "\tdo: Set the ridge pole so", "P103 a tab stands here", "write spaces"),
]


@pytest.mark.parametrize(("old", "new", "what", "mend"), SLIPS, ids=[slip[2][:24] for slip in SLIPS])
def test_a_slip_of_a_foreman_is_met_with_its_line_and_a_way_out(
    old: str, new: str, what: str, mend: str, tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["new", "mine", "--dir", str(tmp_path)])
    file = tmp_path / "mine.yaml"
    text = file.read_text(encoding="utf-8")
    assert old in text
    file.write_text(text.replace(old, new, 1), encoding="utf-8")
    line = 1 + text[: text.index(old)].count("\n")
    capsys.readouterr()
    assert main(["prove", str(file)]) == 1
    said = capsys.readouterr().out
    assert what in said and mend in said
    assert any(f"mine.yaml:{number}:" in said for number in range(line - 4, line + 1))


def test_a_gate_that_was_taken_out_is_a_finding_and_not_a_proof(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    main(["new", "mine", "--dir", str(tmp_path)])
    file = tmp_path / "mine.yaml"
    text = file.read_text(encoding="utf-8").replace("  - use: heat-gate", "  # - use: heat-gate")
    file.write_text(text, encoding="utf-8")
    capsys.readouterr()
    assert main(["prove", str(file)]) == 1
    assert "no step proves operator, protection, fuel_system" in capsys.readouterr().out


def test_the_help_is_in_the_language_asked_for(
    capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    from coach import language

    texts = language.Texts({"walk a procedure in the terminal": "recorrer un procedimiento"}, {}, lambda count: 0)
    monkeypatch.setattr(language, "catalogue", lambda code, folder=None: texts)
    assert main(["--language", "es", "--help"]) == 0
    language._current[0], language._code[0] = language._ENGLISH, "en"
    assert "recorrer un procedimiento" in capsys.readouterr().out


def test_a_procedure_of_the_yards_own_is_named_by_its_id_like_a_shipped_one(
    tmp_path: Path, capsys: pytest.CaptureFixture[str]
) -> None:
    yard = ["--data", str(tmp_path)]
    assert main([*yard, "new", "dinghy-on-rack"]) == 0
    capsys.readouterr()
    assert main([*yard, "size", "dinghy-on-rack", "--set", "film_over=9ft"]) == 0
    assert any(line.split()[:5] == ["Film", "to", "cut", "10", "ft"] for line in capsys.readouterr().out.splitlines())
    assert main([*yard, "prove", "dinghy-on-rack"]) == 0
    assert "dinghy-on-rack: proven" in capsys.readouterr().out
