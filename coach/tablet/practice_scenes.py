"""Every page of practice, brought about without a finger: for pictures of them, and for whoever measures them.

    for scene in PRACTICE_SCENES:
        shell.presence.enter(scene.by, now)
        scene.open(shell)        # the page stands on shell.root

Rules kept here:
 1. Each page comes of a real drill on the real kernel; the film is heated by the run's own physics.
 2. What is kept of it goes into the book of practice of the shell's own folder, and nowhere else.
Knows nothing of: windows, files of pictures.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass
from datetime import timedelta

from coach.core import actions as act
from coach.practice.assess import assess
from coach.practice.assessment import Assessment
from coach.practice.command import season_questions
from coach.practice.drill import Drill
from coach.practice.film import HOLED, OVERHEATED, SHRUNK
from coach.practice.film_work import PARTS
from coach.practice.habits import CAREFUL, FORGETFUL, HASTY, RULE_BREAKING, Habits
from coach.practice.keeping import judgement, keep
from coach.practice.questions import after
from coach.practice.run import Run
from coach.practice.trainee import Trainee
from coach.practice.trial import prepare
from coach.tablet.routes import to
from coach.tablet.screens.heat import loss_page
from coach.tablet.screens.practice import drill_page, shipped_drills
from coach.tablet.screens.practice_crew import crew_page, person_page
from coach.tablet.screens.practice_flame import FlamePage
from coach.tablet.screens.practice_questions import questions_page
from coach.tablet.screens.practice_result import open_result
from coach.tablet.screens.practice_run import PracticeRoot, PracticeShell
from coach.tablet.screens.practice_site import tell_found
from coach.tablet.shell import Shell
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.choices import ChoiceTiles
from coach.view.practice_crew import crew_view
from coach.yard.job import Job

TRAINEE, LEAD = "ana", "marta"
GUST, WELD, REVIEW = "gust-at-the-sides", "marker-on-the-ground", "thin-weld"
STRONG = 30_000.0  # W/m2, a flux as of a torch held near; the film's own physics says what comes of it
# Who practised what, how, and how many days ago, before the pictures are taken.
SEASON: tuple[tuple[str, str, Habits, int], ...] = (
    ("ana", GUST, CAREFUL, 40), ("ana", WELD, HASTY, 33), ("ana", WELD, CAREFUL, 30), ("ana", "slack-tape", FORGETFUL, 12),
    ("joel", GUST, RULE_BREAKING, 38), ("joel", "home-before-the-watch", CAREFUL, 20), ("joel", "third-vent", HASTY, 9),
    ("marta", REVIEW, CAREFUL, 25), ("nia", GUST, HASTY, 6), ("nia", "slack-band", CAREFUL, 2),
)  # fmt: skip


@dataclass(frozen=True)
class PracticeScene:
    """One page. by: who is at the tablet; open: brings the page about; marked: whether the mark stands on it.

    Only the lead's pages about people are not marked: they speak of real jobs as well.
    """

    name: str
    says: str
    open: Callable[[Shell], object]
    by: str = TRAINEE
    marked: bool = True


def stage(shell: Shell) -> None:
    """Fill the book of practice, once, with what an invented crew did this season."""
    desk = shell.desk
    if desk.book.runs():
        return
    for number, (person, id, habits, ago) in enumerate(SEASON):
        run = prepare(_drill(id), desk.policy, person).run(person, number)
        Trainee(run, habits, number).work()
        keep(desk.book, run, assess(run), desk.today() - timedelta(days=ago))
    for question in season_questions()[:3]:
        for person, graded in (("ana", 2), ("joel", 1), ("nia", 5)):
            day = desk.today() - timedelta(days=8)
            desk.book.answered(person, after(None, question.id, graded, day), day, graded, question.skill)
    desk.record.forget()


def _drill(id: str) -> Drill:
    return next(drill for drill in shipped_drills() if drill.id == id)


def _drills(shell: Shell) -> None:
    stage(shell)
    shell.open(to("practice_page"))


def _briefing(shell: Shell) -> None:
    stage(shell)
    shell.open(lambda shell: drill_page(shell, _drill(GUST)))


def _begun(shell: Shell, id: str = GUST) -> PracticeShell:
    """A drill that was just begun."""
    stage(shell)
    shell.open(lambda shell: drill_page(shell, _drill(id)))
    _buttons(shell)[-1].dispatch("on_act")
    root = shell.page
    assert isinstance(root, PracticeRoot)
    return root.shell


def _buttons(shell: Shell) -> list[BigButton]:
    return [each for each in shell.root.walk() if isinstance(each, BigButton)]


def _shown(run: Run) -> None:
    """Every safeguard looked at and stated as it is."""
    for id in run.rules.safeguards:
        if id != "operator":
            run.look(id)
        run.pass_seconds(15)
        run.ask(act.Observe(run.trainee, id, run.world.safeguard(id)))


def _lit(shell: Shell, id: str = GUST) -> PracticeShell:
    inner = _begun(shell, id)
    _shown(inner.run)
    inner.send(act.Light(inner.run.trainee, inner.run.drill.begins))
    return inner


def _heat(run: Run, section: int, until: str) -> None:
    """Hold the flame on a section until it looks like that."""
    for _tenth in range(200):
        if run.warm(section, STRONG, 0.1) == until:
            return


def _at_work(shell: Shell, id: str = GUST) -> FlamePage:
    """Half the film is done, well and badly, and a finger is on it."""
    inner = _lit(shell, id)
    run, sections = inner.run, PARTS[inner.run.drill.begins].sections
    half = len(sections) // 2
    for place, section in enumerate(sections[:half]):
        _heat(run, section, {3: HOLED, 4: OVERHEATED, 5: OVERHEATED, half - 4: OVERHEATED}.get(place, SHRUNK))
    inner.refresh()
    page = inner.page
    assert isinstance(page, FlamePage)
    page.view.finger = page.view.shape.centre(sections[half])
    return page


def _at_the_boat(shell: Shell) -> None:
    inner = _begun(shell)
    inner.run.pass_seconds(90)
    inner.go_to_the_boat()


def _found(shell: Shell) -> None:
    inner = _begun(shell)
    inner.go_to_the_boat()
    tell_found(inner, inner.run.look("wind"))


def _gust(shell: Shell) -> None:
    inner = _lit(shell)
    while not inner.run.notices:
        inner.run.pass_seconds(1)
    inner.refresh()


def _loss(shell: Shell) -> None:
    _lit(shell).open(loss_page)


def _trip(shell: Shell) -> None:
    inner = _lit(shell)
    inner.send(act.Observe(inner.run.trainee, "wind", {"how": "meter", "mean": 4_100, "gust": 8_600}))


def _refused(shell: Shell) -> None:
    inner = _begun(shell)
    inner.send(act.Light(inner.run.trainee, inner.run.drill.begins))


def _leave(shell: Shell) -> None:
    _begun(shell).ask_leave()


def _judged(shell: Shell, habits: Habits) -> None:
    stage(shell)
    run = prepare(_drill(GUST), shell.desk.policy, shell.person).run(shell.person, 1)
    Trainee(run, habits, 1).work()
    open_result(shell, assess(run), shell.desk.policy.people[shell.person].name)


def _question(shell: Shell) -> None:
    stage(shell)
    shell.open(questions_page)


def _answered(choice: str) -> Callable[[Shell], None]:
    def then(shell: Shell) -> None:
        _question(shell)
        next(each for each in shell.root.walk() if isinstance(each, ChoiceTiles)).dispatch("on_choose", choice)
        _buttons(shell)[-1].dispatch("on_act")

    return then


def _no_question(shell: Shell) -> None:
    """A crew member whose questions are all answered for today."""
    _question(shell)
    while tiles := [each for each in shell.root.walk() if isinstance(each, ChoiceTiles)]:
        tiles[0].dispatch("on_choose", "0")
        for _page in range(2):
            _buttons(shell)[-1].dispatch("on_act")


def _crew(shell: Shell) -> None:
    stage(shell)
    shell.open(crew_page)


def _person(shell: Shell) -> None:
    stage(shell)
    desk = shell.desk
    view = crew_view(desk.policy, desk.record.shown(desk.today()), desk.needs, desk.today())
    ana = next(person for person in view.people if person.id == TRAINEE)
    shell.open(lambda shell: person_page(shell, ana))


def _later(shell: Shell) -> None:
    """The lead reads the judgement of somebody else's drill."""
    stage(shell)
    done: Assessment | None = judgement(shell.desk.book.runs(TRAINEE)[1])
    assert done is not None
    open_result(shell, done, shell.desk.policy.people[TRAINEE].name)


def _real_pages(shell: Shell) -> None:
    """A job's own procedure, practised without a drill."""
    job = shell.desk.start(shell.desk.load("power-boat-trailer"), "Dunlin", shell.person, practice=True)
    assert isinstance(job, Job)
    shell.job = job
    shell.open(to("walk_page"))


# Each kind of page once, then the same pages at other moments: who looks for every kind need not go on.
PRACTICE_SCENES: tuple[PracticeScene, ...] = (
    PracticeScene("practice-drills", "The list of drills", _drills),
    PracticeScene("practice-briefing", "What is told before a drill", _briefing),
    PracticeScene("practice-at-the-boat", "What may be looked at and done at the boat", _at_the_boat),
    PracticeScene("practice-failed", "The judgement of a bad run", lambda shell: _judged(shell, HASTY)),
    PracticeScene("practice-question", "A question of the day", _question),
    PracticeScene("practice-question-right", "A right answer", _answered("0")),
    PracticeScene("crew", "The crew by skill, for the lead", _crew, by=LEAD, marked=False),
    PracticeScene("crew-person", "One person's skills and drills, for the lead", _person, by=LEAD, marked=False),
    PracticeScene("practice-gate", "A drill at the gate", _begun),
    PracticeScene("practice-found", "What a look found", _found),
    PracticeScene("practice-refused", "The real kernel refuses in practice", _refused),
    PracticeScene("practice-flame-cold", "The flame over cold film, wrinkles everywhere", _lit),
    PracticeScene("practice-flame", "The finger is the flame: shrunk, overheated, holed", _at_work),
    PracticeScene("practice-flame-weld", "The finger welds the pleats", lambda shell: _at_work(shell, WELD)),
    PracticeScene("practice-gust", "A gust comes while the flame is lit", _gust),
    PracticeScene("practice-loss", "Something is lost, in practice", _loss),
    PracticeScene("practice-trip", "A trip in practice", _trip),
    PracticeScene("practice-leave", "Leave the drill", _leave),
    PracticeScene("practice-passed", "The judgement of a good run", lambda shell: _judged(shell, CAREFUL)),
    PracticeScene("practice-review", "A supervisor's drill", lambda shell: _begun(shell, REVIEW), by=LEAD),
    PracticeScene("practice-question-wrong", "A wrong answer", _answered("2")),
    PracticeScene("practice-questions-done", "All questions answered", _no_question, by="joel"),
    PracticeScene("practice-job", "A whole procedure practised without a drill", _real_pages),
    PracticeScene("crew-judgement", "The lead reads a judgement later", _later, by=LEAD),
)
