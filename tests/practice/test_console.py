"""Practice at a terminal: the real walk with the site around it, scripted; and the commands as a person types them."""

from __future__ import annotations

from collections.abc import Callable
from pathlib import Path

import pytest

from coach.cli import main
from coach.practice.assess import assess
from coach.practice.command import stand_in
from coach.practice.console import Console, Left, seconds_between
from coach.practice.run import Run
from coach.terminal import Walk
from coach.yard.skillbook import SkillBook
from tests.practice.by_hand import Hand, prepared


def script(answers: list[str], said: list[str]) -> Callable[[str], str]:
    left = list(answers)

    def ask(prompt: str) -> str:
        said.append(prompt)
        return left.pop(0) if left else "end"

    return ask


def walked(drill: str, answers: list[str], seconds: float = 12.0) -> tuple[Run, list[str]]:
    run, said = prepared(drill).run("ana"), list[str]()
    console = Console(run, script(answers, said), said.append, lambda: seconds)
    with pytest.raises(Left):
        Walk(run.job, run.clock, console.ask, console.say, "us", stand_in).run()
    return run, said


def test_a_drill_at_the_terminal() -> None:
    run, said = walked("hiss-at-dusk", ["look 1", "do 1", "look 1", "nothing", "yes"])
    assert run.over == "done"
    assert assess(run).passed
    assert "  What does the tool give when you press its trigger? A hiss." in said
    assert "YOU SEE: The rain gets heavier, and everybody makes for the shed." in said
    assert "  The hiss gets thin and ends. The valve is hand tight." in said


def test_every_question_says_practice() -> None:
    _run, said = walked("hiss-at-dusk", ["help", "here", "look", "do", "wait 1", "nothing"])
    prompts = [line for line in said if "| " in line]
    assert len(prompts) >= 6
    assert all(prompt.startswith("PRACTICE 16:1") for prompt in prompts)
    assert "  wait [minutes]: let time pass" in said


def test_answers_take_the_seconds_that_they_take() -> None:
    slow, _said = walked("hiss-at-dusk", ["nothing"], seconds=30)
    fast, _said = walked("hiss-at-dusk", ["nothing"], seconds=0.2)
    assert [note.kind for note in fast.track if note.kind == "quick"] == ["quick"]
    assert [note.kind for note in slow.track if note.kind == "quick"] == []


def test_the_flame_at_the_terminal() -> None:
    """Lit, the words of the site go on working: the film is swept, the gust breaks it off, the flame goes out."""
    hand = Hand("gust-at-the-sides").ready().light("shrink-sides")
    said: list[str] = []
    console = Console(hand.run, script(["flame", "here", "out"], said), said.append, lambda: 3.0)
    assert console.ask("lit: ") == "out"
    assert "YOU SEE: The loose top of the film lifts with a crack, and the flame bends flat along the hull." in said
    assert [line for line in said if line.startswith("  Cold places: 4")]


def test_without_a_flame_there_is_nothing_to_lead() -> None:
    _run, said = walked("hiss-at-dusk", ["flame"])
    assert "  There is no lit flame, or no film to lead it over." in said


def test_a_review_at_the_terminal() -> None:
    run, said = prepared("thin-weld").run("ana"), list[str]()
    answers = ["look 1", "hm", "send weld-hem hi", "send weld-hem The hem opens at the starboard bow."]
    Console(run, script(answers, said), said.append, lambda: 12.0).review()
    assert run.over == "reviewed"
    assert assess(run).passed
    assert any(line.startswith("  - The reason is missing.") for line in said)


def test_the_seconds_between() -> None:
    times = iter([10.0, 12.5, 12.5, 20.0])
    elapsed = seconds_between(lambda: next(times))
    assert [elapsed(), elapsed(), elapsed()] == [2.5, 0.0, 7.5]


# -- commands ----------------------------------------------------------------------------------------------------

POLICY = """\
yard: Pell Harbour Boatyard
people:
  ana: {name: Ana Ruiz, roles: [technician], flame_until: 2099-12-31}
  marta: {name: Marta Oduya, roles: [supervisor, fire_watch]}
"""


@pytest.fixture
def data(tmp_path: Path) -> Path:
    (tmp_path / "policy.yaml").write_text(POLICY, "utf-8")
    return tmp_path


def typed(monkeypatch: pytest.MonkeyPatch, answers: list[str]) -> None:
    left = list(answers)
    monkeypatch.setattr("builtins.input", lambda prompt="": left.pop(0) if left else "end")


def test_the_list_of_drills(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(data), "practice"]) == 0
    lines = capsys.readouterr().out.splitlines()
    assert len(lines) >= 12
    assert "gust-at-the-sides          In the flame A gust while the sides are shrunk (Shrink, Safety gate)" in lines


def test_a_drill_is_judged_kept_and_written(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Left at once: not passed, exit status 1, in the book, on a page that says practice; the ledger stays empty."""
    typed(monkeypatch, ["end"])
    page = data / "result.html"
    assert main(["--data", str(data), "practice", "hiss-at-dusk", "--by", "ana", "--html", str(page)]) == 1
    out = capsys.readouterr().out
    assert out.startswith("PRACTICE \u2013 this is not the record of a real job\nThe hose still hisses\n")
    assert "Not passed yet: 0 of 100" in out
    assert "PRACTICE" in page.read_text("utf-8")
    kept = SkillBook(data / "practice.sqlite").runs()
    assert [(run.person, run.drill, run.passed) for run in kept] == [("ana", "hiss-at-dusk", False)]
    assert main(["--data", str(data), "list"]) == 0
    assert "practice-hiss" not in capsys.readouterr().out


def test_a_drill_needs_a_trainee(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(data), "practice", "hiss-at-dusk"]) == 2
    assert capsys.readouterr().err == (
        "C112 practice needs a trainee\n    why   the record says who practised\n    mend  add --by PERSON\n"
    )


def test_an_unknown_drill(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(data), "practice", "hiss-at-dawn", "--by", "ana"]) == 1
    assert "D310 there is no drill 'hiss-at-dawn'" in capsys.readouterr().err


def test_a_page_that_cannot_be_written(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    typed(monkeypatch, ["end"])
    page = data / "no-folder" / "x.html"
    assert main(["--data", str(data), "practice", "hiss-at-dusk", "--by", "ana", "--html", str(page)]) == 1
    assert f"D332 the page {page} cannot be written: No such file or directory" in capsys.readouterr().err


def test_simulated_trainees(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(data), "practice", "third-vent", "--simulate", "careful", "--runs", "2"]) == 0
    assert capsys.readouterr().out.splitlines()[1] == (
        "third-vent                   careful             2       2  100.0        0        0          0"
    )


def test_the_questions_of_the_day(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Whoever answers '1' always is wrong at times, is asked again until it is right, and the book knows the next day."""
    answers = iter(["1!", "2", "3", "4"] * 50)
    monkeypatch.setattr("builtins.input", lambda prompt="": next(answers))
    assert main(["--data", str(data), "practice", "--questions", "--by", "ana"]) == 0
    out = capsys.readouterr().out
    assert out.splitlines()[-1].endswith(" of 3 right at first.")
    assert out.count("  Right.") >= 3
    assert len(SkillBook(data / "practice.sqlite").cards("ana")) == 3


def test_the_crew(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    page = data / "crew.html"
    assert main(["--data", str(data), "crew", "--html", str(page)]) == 0
    out = capsys.readouterr().out
    assert "Ana Ruiz (Technician): until Dec 31, 2099" in out
    assert out.startswith("The yard asks for no skills: the policy alone says who may hold the tool.")
    assert "<svg" in page.read_text("utf-8")
    lines = out.splitlines()
    heads = next(place for place, line in enumerate(lines) if line.split() == ["AR", "MO"])
    assert [line.split()[-2:] for line in lines[heads + 1 : heads + 8] if line.startswith("Safety gate")] == [
        ["–*", "–"]
    ]
    assert lines[heads + 8] == "✓ current   ! overdue   … begun   – not yet   * needed"
    (data / "skills.yaml").write_text("roles:\n  technician: [gate]\n", "utf-8")
    assert main(["--data", str(data), "crew"]) == 0
    assert "Ana Ruiz (Technician): needs: Safety gate" in capsys.readouterr().out


def test_the_lead_reads_a_judgement_later(
    data: Path, capsys: pytest.CaptureFixture[str], monkeypatch: pytest.MonkeyPatch
) -> None:
    """Word for word what the trainee was told, and on a page that says practice."""
    typed(monkeypatch, ["end"])
    assert main(["--data", str(data), "practice", "hiss-at-dusk", "--by", "ana"]) == 1
    told = capsys.readouterr().out.splitlines()
    assert main(["--data", str(data), "crew", "--person", "ana"]) == 0
    listed = capsys.readouterr().out.splitlines()
    assert listed[:2] == ["PRACTICE \u2013 this is not the record of a real job", "Ana Ruiz"]
    assert listed[2].split()[0] == "1"
    assert listed[2].endswith("0  Not passed yet: The hose still hisses")
    page = data / "later.html"
    assert main(["--data", str(data), "crew", "--run", "1", "--html", str(page)]) == 0
    read = capsys.readouterr().out.splitlines()
    verdict = told.index("Not passed yet: 0 of 100")
    assert read[0] == "PRACTICE \u2013 this is not the record of a real job"
    assert read[2:] == told[verdict:]
    assert len(read) > 4
    assert "PRACTICE" in page.read_text("utf-8")


def test_a_judgement_that_is_not_there(data: Path, capsys: pytest.CaptureFixture[str]) -> None:
    assert main(["--data", str(data), "crew", "--run", "7"]) == 1
    assert capsys.readouterr().err == (
        "D333 there is no drill number 7 whose judgement can be read\n"
        "    why   the book of practice has none, or an older program wrote it\n"
        "    mend  see the numbers with: coach crew --person PERSON\n"
    )
    assert main(["--data", str(data), "crew", "--person", "marta"]) == 0
    assert capsys.readouterr().out.splitlines()[-1] == "No drill this season."
