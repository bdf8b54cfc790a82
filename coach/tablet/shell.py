"""What every page is given: the desk, the person, the open job, the way on and back, and the one way to act.

Rules kept here:
 1. Every act goes through `send`; a refusal is shown with all its reasons, and nothing is shown as done before the
    store has acknowledged it.
 2. Once a second the job is looked at, so that time itself can trip a flame; a trip takes the page over.
 3. What a person has typed and not yet sent stands in `draft`, by step; it is dropped when the step is done.
Knows nothing of: what pages show.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.core.actions import Action
from coach.core.problems import CoachError, Problem
from coach.language import _
from coach.tablet.tongue import tongue
from coach.tablet.widgets.dialog import Dialog
from coach.tablet.widgets.reasons import ReasonLine, ReasonList
from coach.view.texts import problem_text, reason_text
from coach.view.walk import mode_of
from coach.yard.desk import Desk
from coach.yard.job import Job

Page = Callable[["Shell"], Widget]


class Shell:
    """One for the app."""

    def __init__(self, desk: Desk, code: str = "en") -> None:
        self.desk = desk
        self.person = ""
        self.job: Job | None = None
        self.system = desk.policy.units
        self.draft: dict[str, Any] = {}
        self.root = BoxLayout(orientation="vertical")
        self._stack: list[Page] = []
        self._mode = ""
        self.dialog: Dialog | None = None
        self.speak(code)

    @property
    def page(self) -> Widget | None:
        """The page that is shown."""
        return self.root.children[0] if self.root.children else None

    def speak(self, code: str) -> None:
        """Change the language of everything, in the middle of a step too."""
        tongue.use(code)
        if self._stack:
            self.refresh()

    def open(self, page: Page) -> None:
        """Show a page; back leads to the one before."""
        self._stack.append(page)
        self.refresh()

    def home(self, page: Page) -> None:
        """Show a page as the first one; there is no way back behind it."""
        self._stack = [page]
        self.refresh()

    def back(self) -> None:
        """The page before this one."""
        if len(self._stack) > 1:
            self._stack.pop()
        self.refresh()

    @property
    def can_go_back(self) -> bool:
        """Whether there is a page before this one."""
        return len(self._stack) > 1

    def refresh(self) -> None:
        """Build the page anew from what is true now."""
        if self.job is not None:
            self._mode = mode_of(self.job.rules, self.job.state, self.desk.now())
        page = self._stack[-1](self)
        self.root.clear_widgets()
        self.root.add_widget(page)

    def tick(self) -> None:
        """Once a second: let the kernel look at the clock; follow a change of what the job is at."""
        job = self.job
        if job is not None:
            tripped = self._guarded(lambda: job.look(self.desk.now()))
            if tripped or mode_of(job.rules, job.state, self.desk.now()) != self._mode:
                self._take_over()
                return
        tick = getattr(self.page, "tick", None)
        if tick is not None:
            tick()

    def _take_over(self) -> None:
        """Something changed that comes first: leave what was opened on top of the walk."""
        from coach.tablet.screens.walk import walk_page

        if self.dialog is not None:
            self.dialog.dismiss(animation=False)
            self.dialog = None
        if walk_page in self._stack:
            del self._stack[self._stack.index(walk_page) + 1:]
        self.refresh()

    def send(self, action: Action, stay: bool = False) -> bool:
        """Ask the kernel; True if it was done. The page is built anew either way unless `stay`."""
        job = self.job
        if job is None:
            return False
        refusal = self._guarded(lambda: job.act(action, self.desk.now()))
        if refusal is not None and refusal is not False:
            self.refused(tuple(reason_text(reason, self.system) for reason in refusal.reasons))
            return False
        if not stay:
            self._take_over()
        return refusal is None

    def _guarded(self, work: Callable[[], Any]) -> Any:
        """The answer of work on the store; an error of the disk is shown in plain words and answers False."""
        try:
            return work()
        except CoachError as error:
            self.trouble(*error.problems)
            return False

    def refused(self, reasons: tuple[Any, ...]) -> None:
        """Show why something was not done."""
        lines = [ReasonLine(str(number), reason.what, reason.why + " " + reason.mend) for number, reason in enumerate(reasons)]
        dialog = Dialog(title=_("Not yet"), words="")
        dialog.put(ReasonList(reasons=lines))
        self.ask(dialog, ("ok", _("Go on")))

    def trouble(self, *problems: Problem) -> None:
        """Show a problem of the device or of something typed."""
        dialog = Dialog(title=_("Something is wrong"), words="")
        lines = []
        for number, problem in enumerate(problems):
            what, why, mend = problem_text(problem)
            lines.append(ReasonLine(str(number), what, f"{why} {mend}"))
        dialog.put(ReasonList(reasons=lines))
        self.ask(dialog, ("ok", _("Go on")))

    def ask(self, dialog: Dialog, *answers: tuple[str, str], then: Callable[[str], None] | None = None) -> None:
        """Open a sheet with these answers; the last one is the big way on."""
        for place, (key, words) in enumerate(answers):
            dialog.offer(key, words, "primary" if place == len(answers) - 1 else "secondary")
        if then is not None:
            dialog.bind(on_answer=lambda _sheet, key: then(key))
        self.dialog = dialog
        dialog.open(animation=False)
