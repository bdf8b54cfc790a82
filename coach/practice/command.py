"""The commands of practice: the list of drills, a drill at the terminal, simulated runs, questions, the crew.

Rules kept here:
 1. What is printed of a drill says that it is practice.
 2. The exit status is 0 if the drill was passed or there was nothing to find, else 1.
Knows nothing of: argparse, the walk (it is passed in), where the data folder is.
"""

from __future__ import annotations

import hashlib
from collections.abc import Callable, Sequence
from datetime import date
from functools import cache
from pathlib import Path

from coach.core.model import Procedure
from coach.core.policy import Policy
from coach.core.problems import Problem, StoreError
from coach.language import _
from coach.practice.assess import assess
from coach.practice.console import Ask, Console, Left, Say
from coach.practice.drill import SUPERVISOR
from coach.practice.drill_file import list_drills, load_drill
from coach.practice.habits import ALL
from coach.practice.keeping import judgement, judgements, keep
from coach.practice.questions import Question, after, due, quality, questions
from coach.practice.run import PracticeJob
from coach.practice.schedule import day_of_questions
from coach.practice.trial import prepare, table, trial
from coach.reader.load import list_procedures, load_procedure
from coach.sheet.crew import crew_page
from coach.sheet.practice import result_page
from coach.view.practice import briefing, drill_lines, practice_mark
from coach.view.practice_crew import MARKS, CrewView, crew_view, mark_words
from coach.view.practice_result import ResultView, result_view, run_lines
from coach.yard.skillbook import SkillBook
from coach.yard.skills import SKILLS, Needs, Season, Shown

Walk = Callable[[PracticeJob, Ask, Say], None]


def list_all(book: SkillBook | None, person: str, say: Say) -> int:
    """Print the drills, with a person's best scores if a book is given."""
    runs = book.runs(person) if book else ()
    for line in drill_lines(list_drills(), runs):
        best = "" if line.best < 0 else f"  {line.best}{' ' + _('passed') if line.passed else ''}"
        say(f"{line.id:26} {line.kind:12} {line.title} ({line.skills}){best}")
    return 0


def simulate_all(id: str, kind: str, runs: int, policy: Policy, say: Say) -> int:
    """Print the table of simulated trainees over one drill, of one kind or of all."""
    ready = prepare(load_drill(id), policy)
    rows = [trial(ready, habits, runs) for habits in ALL if kind in ("all", habits.name)]
    for line in table(rows):
        say(line)
    return int(any(row.past_the_gate or row.unnamed for row in rows))


def practise(
    id: str, person: str, policy: Policy, proven: Callable[[Procedure], bool], book: SkillBook, today: date, walk: Walk,
    ask: Ask, say: Say, elapsed: Callable[[], float], html: Path | None = None, name: str = "",
) -> int:  # fmt: skip
    """One drill at the terminal, judged and kept. Raises DrillError, StoreError."""
    drill = load_drill(id)
    ready = prepare(drill, policy, person, name)
    told = briefing(drill, proven(ready.rules.procedure))
    say(practice_mark())
    for line in (told.title, told.about, f"{told.boat}, {told.when}. {told.role}.", told.unproven):
        if line:
            say(line)
    run = ready.run(person, len(book.runs(person)))
    console = Console(run, ask, say, elapsed)
    try:
        if drill.role == SUPERVISOR:
            console.review()
        while not run.over:
            walk(run.job, console.ask, console.say)
            if not run.over:
                raise Left
    except Left:
        if not run.over:
            run.give_up()
    done = assess(run)
    keep(book, run, done, today)
    shown = ready.rules.policy.people[person].name
    _print(result_view(done, shown), say)
    if html is not None:
        write(html, result_page(done, shown))
    return int(not done.passed)


def _print(view: ResultView, say: Say) -> None:
    say(_("%(verdict)s: %(score)d of 100") % {"verdict": view.verdict, "score": view.score})
    for line in view.findings:
        say(f"  {line.at:>8}  {line.word}: {line.what}")
        say(f"            {line.why}")


def show_crew(
    policy: Policy,
    record: Sequence[Shown],
    needs: Needs | None,
    book: SkillBook,
    today: date,
    say: Say,
    html: Path | None = None,
) -> int:
    """Print the crew by skill, and write the page if asked for. Raises StoreError."""
    begin = season_begins(needs, today)
    runs = judgements(book.runs(since=begin))
    view = crew_view(policy, record, needs, today, runs, book.missed(begin), season_questions())
    if view.asks:
        say(view.asks)
    if not view.people:
        say(_("Nobody is in the crew yet: the people stand in policy.yaml of the data folder."))
    for line in crew_table(view):
        say(line)
    for person in view.people:
        say(f"{person.name} ({person.roles}): {person.tool}")
        for cell, head in zip(person.cells, view.heads, strict=True):
            needed = "*" if cell.needed else " "
            say(f"  {needed} {head:18} {cell.word:9} {cell.detail}")
    for pair in view.pairs:
        say(f"{pair.learner} + {pair.mentor}: {pair.skills}")
    for wrong in view.wrong:
        say(f"{wrong.people}/{wrong.of}  {wrong.what}")
    if html is not None:
        write(html, crew_page(view))
    return 0


def season_begins(needs: Needs | None, today: date) -> date:
    """The first day that counts for the season at hand."""
    return (needs.season if needs else Season()).around(today)[0]


def crew_table(view: CrewView) -> list[str]:
    """The crew by skill: a line a skill, a column a person, and what the marks mean."""
    wide = max(len(head) for head in view.heads) + 2
    lines = [" " * wide + "".join(f"{person.initials:^5}" for person in view.people)]
    for place, head in enumerate(view.heads):
        cells = [person.cells[place] for person in view.people]
        lines.append(
            f"{head:{wide}}" + "".join(f"{MARKS[cell.state] + ('*' if cell.needed else ''):^5}" for cell in cells)
        )
    return [*(line.rstrip() for line in lines), f"{mark_words()}   * {_('needed')}"]


def show_runs(policy: Policy, needs: Needs | None, book: SkillBook, person: str, today: date, say: Say) -> int:
    """Print a person's drills of this season, the latest first. Raises StoreError D334: nobody is known by this id."""
    runs = [(row, judgement(row)) for row in book.runs(person, season_begins(needs, today))]
    known = policy.person(person)
    if known is None and not book.runs(person):
        raise StoreError(
            Problem(
                "D334",
                "'%(person)s' is not in the crew and has done no drill",
                "a slip in the id would look like a person without drills",
                "see the crew with: coach crew; the people stand in policy.yaml of the data folder",
                slots={"person": person},
            )
        )
    say(practice_mark())
    say(known.name if known else person)
    for line in run_lines(runs):
        say(f"  {line.no:4}  {line.day}  {line.score:3}  {line.verdict}: {line.title}")
    if not runs:
        say(_("No drill this season."))
    return 0


def show_run(policy: Policy, book: SkillBook, no: int, say: Say, html: Path | None = None) -> int:
    """Print the judgement of one run as its trainee saw it, and write the page if asked for. Raises StoreError D333."""
    row = next((row for row in book.runs() if row.no == no), None)
    done = judgement(row) if row else None
    if row is None or done is None:
        raise StoreError(
            Problem(
                "D333",
                "there is no drill number %(no)s whose judgement can be read",
                "the book of practice has none, or an older program wrote it",
                "see the numbers with: coach crew --person PERSON",
                slots={"no": no},
            )
        )
    known = policy.person(row.person)
    name = known.name if known else row.person
    say(practice_mark())
    say(f"{name}, {row.day.isoformat()}: {_(done.title)}")
    _print(result_view(done, name), say)
    if html is not None:
        write(html, result_page(done, name))
    return 0


def ask_questions(
    person: str, policy: Policy, needs: Needs | None, book: SkillBook, today: date, ask: Ask, say: Say
) -> int:
    """The questions of today, each graded and put back into the schedule; weak ones come again until they are good."""
    known = book.cards(person)
    found = policy.person(person)
    roles = found.roles if found else frozenset()
    skills = sorted({skill for role in roles for skill in needs.roles.get(role, ())}) if needs else list(SKILLS)
    made = {question.id: question for question in season_questions()}
    todays = {question.id: question for question in due(known, list(made.values()), skills, today)}

    def one(card: str, again: bool) -> int:
        question = todays[card]
        order = question.order(known[card].repetition if card in known else 0)
        say(_(question.ask) % {"do": _(question.do)})
        for place, choice in enumerate(order, 1):
            say(f"  {place}: {_(question.choices[choice])}")
        typed = ask(_("Number, with '!' if you are sure:") + " ").strip()
        graded = quality(typed.rstrip("!") == str(order.index(0) + 1), typed.endswith("!"))
        say("  " + (_("Right.") if graded >= 3 else _("No: %(text)s") % {"text": _(question.choices[0])}))
        if not again:
            book.answered(person, after(known.get(card), card, graded, today), today, graded, question.skill)
        return graded if not again else max(graded, 4 * (graded >= 3))

    first = day_of_questions(todays, one)
    say(
        _("%(right)d of %(count)d right at first.")
        % {"right": sum(q >= 3 for q in first.values()), "count": len(first)}
    )
    return 0


def stand_in(file: str) -> str:
    """The hash that stands for a photo in practice: nobody takes one of an invented boat."""
    return hashlib.sha256(f"practice/{file}".encode()).hexdigest()


@cache
def season_questions() -> tuple[Question, ...]:
    """The questions of every shipped procedure that can be used; made once, as the files do not change meanwhile."""
    return questions(load_procedure(id) for id, title in list_procedures() if isinstance(title, str))


def write(path: Path, text: str) -> None:
    """Write a page. Raises StoreError D332."""
    try:
        path.write_text(text, "utf-8")
    except OSError as fault:
        slots = {"file": str(path), "why": fault.strerror or str(fault)}
        problem = Problem(
            "D332",
            "the page %(file)s cannot be written: %(why)s",
            "nobody could read it later",
            "name a file that can be written",
            slots=slots,
        )
        raise StoreError(problem) from fault
