"""A drill on the tablet: the job's own pages under a banner that says practice, with the site beside them.

Rules kept here:
 1. Every page of a drill stands under the banner; there is no way to show one without it.
 2. The pages are those of a real job; only the flame's is another, where the finger is the flame.
 3. Its desk has the drill's clock and policy and no ledger: whatever asks for one is refused.
Knows nothing of: how a run is judged.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.uix.boxlayout import BoxLayout

from coach.core.actions import Action
from coach.core.problems import Problem, StoreError
from coach.core.state import ENDS
from coach.language import _, current
from coach.practice.drill import SUPERVISOR
from coach.practice.film_work import PARTS
from coach.practice.run import Run
from coach.tablet.routes import to
from coach.tablet.screens.frame import button
from coach.tablet.screens.practice_flame import flame_page
from coach.tablet.screens.practice_site import site_page
from coach.tablet.shell import Shell
from coach.tablet.theme import theme
from coach.tablet.widgets.card import Card
from coach.tablet.widgets.dialog import Dialog
from coach.tablet.widgets.text import Paragraph
from coach.view.practice import clock_text
from coach.yard.desk import Desk


class NoLedger:
    """What stands where a ledger would: practice has none, so nothing of it can be kept as a record."""

    def __getattr__(self, name: str) -> Any:
        raise StoreError(
            Problem(
                "D340", "practice has no ledger", "nothing of it may pass for a record of work", "leave the drill first"
            )
        )


class PracticeRoot(BoxLayout):
    """The drill as one page of the app: its second hand goes to the drill's own shell."""

    def __init__(self, shell: PracticeShell) -> None:
        super().__init__(orientation="vertical")
        self.shell = shell

    def tick(self) -> None:
        """A second has passed."""
        self.shell.tick()


class PracticeShell(Shell):
    """The shell of one drill, inside the app's own. finish: called once when the run is over."""

    def __init__(self, outer: Shell, run: Run, finish: Callable[[], None]) -> None:
        desk = outer.desk
        none: Any = NoLedger()
        inner = Desk(desk.folder / "practice", run.clock, run.rules.policy, none, desk.signer, lambda procedure: True)
        super().__init__(inner, current())
        self.run = run
        self.system = outer.system
        self.job = run.job
        self.presence.enter(run.trainee, run.clock())
        self.root = PracticeRoot(self)
        self._finish = finish
        self._told = 0
        self.open(to("walk_page"))

    def refresh(self) -> None:
        """Build the page anew, under the banner."""
        if self.run.over:
            self._end()
            return
        super().refresh()
        page = self.root.children[0]
        self.root.clear_widgets()
        self.root.add_widget(self._banner())
        self.root.add_widget(page)

    def _top(self) -> Any:
        top = super()._top()
        if top is to("walk_page") and self.run.world.burning and self.run.job.state.trip is None:
            if PARTS.get(self.run.job.state.flame) is not None:
                return lambda shell: flame_page(shell, self.run)
        return top

    def tick(self) -> None:
        """A second has passed here and at the boat."""
        self.run.pass_seconds(1)
        if self.run.over:
            self._end()
            return
        super().tick()
        self._tell()

    def send(self, action: Action, stay: bool = False, beside: str = "") -> bool:
        """Ask the kernel; the drill may be over by it."""
        done = super().send(action, stay, beside)
        if self.run.over:
            self._end()
        else:
            self._tell()
        return done

    def leave(self) -> None:
        """Give the drill up."""
        self.run.give_up()
        self._end()

    def _end(self) -> None:
        finish, self._finish = self._finish, lambda: None
        self._close_dialogs()
        finish()

    def _tell(self) -> None:
        """What anybody would notice takes the banner's line; the page stays as it is."""
        if len(self.run.notices) > self._told and self.root.children:
            self._told = len(self.run.notices)
            self.refresh()

    def _banner(self) -> Card:
        last = self.run.notices[-1] if self.run.notices else None
        card = Card(fill=theme.notice, edge=theme.notice)
        title = _("PRACTICE · %(time)s at the boat") % {"time": clock_text(self.run.clock().wall)}
        card.add_widget(Paragraph(words=title, bold=True, tone="notice_ink"))
        if last is not None:
            card.add_widget(Paragraph(words=_(last.text), size_name="lead", bold=True, tone="notice_ink"))
        row = BoxLayout(size_hint_y=None, height=theme.touch, spacing=theme.gap)
        row.add_widget(
            button(_("At the boat"), lambda: self.open(lambda shell: site_page(shell, self.run)), icon="question")
        )
        row.add_widget(button(_("Leave the drill"), self._ask_leave, icon="cross"))
        card.add_widget(row)
        return card

    def _ask_leave(self) -> None:
        dialog = Dialog(title=_("Leave the drill?"), words=_("It is judged as it stands now."))
        self.ask(
            dialog,
            ("stay", _("Go on")),
            ("leave", _("Leave")),
            then=lambda key: self.leave() if key == "leave" else None,
        )

    @property
    def is_review(self) -> bool:
        """Whether the trainee reviews a job that has ended."""
        return self.run.drill.role == SUPERVISOR and self.run.job.state.status in ENDS
