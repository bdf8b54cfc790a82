"""A drill on the tablet: the job's own pages under a banner that says practice, with the site beside them.

Rules kept here:
 1. Every page of a drill stands under the banner; there is no way to show one without it.
 2. The pages are those of a real job; only the flame's is another, where the finger is the flame.
 3. Its desk has the drill's clock and policy, no ledger and no key: whatever asks for one is refused.
 4. Sound, flash and voice are the app's own, with the same switches, for as long as the drill is on the screen.
Knows nothing of: how a run is judged.
"""

from __future__ import annotations

from collections.abc import Callable
from typing import Any

from kivy.uix.boxlayout import BoxLayout

from coach.core.actions import Action
from coach.core.problems import Problem, StoreError
from coach.language import _, current
from coach.practice.film_work import PARTS
from coach.practice.run import Run
from coach.tablet.routes import to
from coach.tablet.screens.frame import button
from coach.tablet.screens.practice_flame import flame_page
from coach.tablet.screens.practice_site import site_page
from coach.tablet.shell import Shell
from coach.tablet.widgets.banner import Banner
from coach.tablet.widgets.buttons import IconButton
from coach.tablet.widgets.dialog import Dialog
from coach.view.practice import clock_text
from coach.yard.desk import Desk

BUTTON = 62  # mm, the banner's button


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
        inner = Desk(desk.folder / "practice", run.clock, run.rules.policy, none, none, lambda procedure: True)
        super().__init__(inner, current(), outer.alarm)
        self.run = run
        self.system = outer.system
        self.wishes = outer.wishes
        self.job = run.job
        self.presence.enter(run.trainee, run.clock())
        self.root = PracticeRoot(self)
        self._finish = finish
        self._banner = self._build_banner()
        self.open(to("walk_page"))

    def refresh(self) -> None:
        """Build the page anew, under the banner."""
        if self.run.over:
            self._end()
            return
        super().refresh()
        self._tell()

    def _mark(self) -> Banner:
        self._banner = self._build_banner()
        return self._banner

    def _top(self) -> Any:
        top = super()._top()
        state = self.run.job.state
        is_flame = self.run.world.burning and state.trip is None and state.flame in PARTS
        return (lambda shell: flame_page(shell, self.run)) if is_flame and top is to("walk_page") else top

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
        if self.alarm is not None:
            self.alarm.follow((), ())
        self.root.clear_widgets()
        finish()

    def _tell(self) -> None:
        """The time at the boat, and what anybody would notice; the page stays as it is."""
        last = self.run.notices[-1] if self.run.notices else None
        self._banner.title = _("PRACTICE · %(time)s at the boat") % {"time": clock_text(self.run.clock().wall)}
        self._banner.words = _(last.text) if last else ""

    def _build_banner(self) -> Banner:
        banner = Banner()
        banner.put(button(_("At the boat"), self.go_to_the_boat, icon="boat"), BUTTON)
        leave = IconButton(icon="cross", words=_("Leave the drill"), framed=True)
        leave.bind(on_act=lambda *_args: self.ask_leave())
        banner.put(leave)
        return banner

    def go_to_the_boat(self) -> None:
        """The page of what may be looked at and done."""
        if self._at_boat not in self._stack:
            self.open(self._at_boat)

    def _at_boat(self, _shell: Shell) -> Any:
        return site_page(self, self.run)

    def ask_leave(self) -> None:
        """Ask before the drill is given up."""
        dialog = Dialog(title=_("Leave the drill?"), words=_("It is judged as it stands now."))
        self.ask(
            dialog,
            ("stay", _("Go on")),
            ("leave", _("Leave")),
            then=lambda key: self.leave() if key == "leave" else None,
        )
