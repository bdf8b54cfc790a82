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
from coach.practice.keeping import judgements, keep
from coach.practice.questions import after, due, quality, questions
from coach.practice.run import PracticeJob
from coach.practice.schedule import day_of_questions
from coach.practice.trial import prepare, table, trial
from coach.reader.load import list_procedures, load_procedure
from coach.sheet.crew import crew_page
from coach.sheet.practice import result_page
from coach.view.practice import briefing, drill_lines
from coach.view.practice_crew import crew_view
from coach.view.practice_result import ResultView, result_view
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
    say(_("PRACTICE – this is not the record of a real job"))
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
    begin, _end = (needs.season if needs else Season()).around(today)
    view = crew_view(policy, record, needs, today, judgements(book.runs(since=begin)))
    if view.asks:
        say(view.asks)
    for person in view.people:
        say(f"{person.name} ({person.roles}): {person.tool}")
        for cell, head in zip(person.cells, view.heads, strict=True):
            needed = "*" if cell.needed else " "
            say(f"  {needed} {head:18} {cell.word:9} {cell.detail}")
    for pair in view.pairs:
        say(f"{pair.learner} + {pair.mentor}: {pair.skills}")
    for line in view.wrong:
        say(f"{line.people}/{line.of}  {line.what}")
    if html is not None:
        write(html, crew_page(view))
    return 0


def ask_questions(
    person: str, policy: Policy, needs: Needs | None, book: SkillBook, today: date, ask: Ask, say: Say
) -> int:
    """The questions of today, each graded and put back into the schedule; weak ones come again until they are good."""
    known = book.cards(person)
    found = policy.person(person)
    roles = found.roles if found else frozenset()
    skills = sorted({skill for role in roles for skill in needs.roles.get(role, ())}) if needs else list(SKILLS)
    made = {question.id: question for question in questions(shipped())}
    todays = {question.id: question for question in due(known, list(made.values()), skills, today)}

    def one(card: str, again: bool) -> int:
        question = todays[card]
        order = question.order(known[card].repetition if card in known else 0)
        say(_(question.ask) % {"do": _(question.do)})
        for place, choice in enumerate(order, 1):
            say(f"  {place}: {_(question.choices[choice])}")
        typed = ask(_("Number, with '!' if you are sure: ")).strip()
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


def shipped() -> list[Procedure]:
    """Every shipped procedure that can be used."""
    return [load_procedure(id) for id, title in list_procedures() if isinstance(title, str)]


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
