"""What every page is given: the desk, the person, the open job, the way on and back, and the one way to act.

Rules kept here:
 1. Every act goes through `send`; a refusal is shown with all its reasons, and nothing is shown as done before the
    store has acknowledged it.
 2. Once a second the job is looked at, so that time itself can trip a flame; a trip takes the page over.
 3. What a person has typed and not yet sent stands in `draft`, by step; it is dropped when the step is done.
 4. Over every page of a practice job, and on every sheet that opens there, stands that it is practice; no page can be
    shown without it.
 5. A locked tablet shows only that it is locked, and the emergency cards; except while a flame may burn: then the
    job's page stays, and takes without a PIN that the flame is out and that something is lost, and nothing else.
What only an open job or a sheet needs is imported there: the first page has neither, and comes sooner without.
Knows nothing of: what pages show.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import replace
from typing import TYPE_CHECKING, Any

from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.core.problems import CoachError, Problem
from coach.language import _
from coach.tablet import drafts
from coach.tablet.presence import Presence
from coach.tablet.routes import to
from coach.tablet.tongue import tongue
from coach.tablet.wishes import Wishes
from coach.yard.desk import Desk

if TYPE_CHECKING:
    from coach.core.actions import Action
    from coach.tablet.alarm import Alarm
    from coach.tablet.camera import Camera
    from coach.tablet.widgets.dialog import Dialog
    from coach.view.announce import Heard
    from coach.yard.job import Job

Page = Callable[["Shell"], Widget]


class Shell:
    """One for the app."""

    def __init__(self, desk: Desk, code: str = "en", alarm: Alarm | None = None) -> None:
        """alarm: what speaks up; left out, the tablet is silent (pictures, most tests)."""
        self.desk = desk
        self.alarm = alarm
        self.camera: Camera | None = None
        self.wishes = Wishes.load(desk.folder)
        self._heard: Heard | None = None
        self._kept = ""
        self._seconds: list[Callable[[], None]] = []
        self.presence = Presence(desk.pins is not None)
        self.job: Job | None = None
        self.system = desk.policy.units
        self.draft: dict[str, Any] = {}
        self.root = BoxLayout(orientation="vertical")
        self._stack: list[Page] = []
        self._free: set[Page] = set()
        self._mode = ""
        self._dialogs: list[Dialog] = []
        self.speak(code)

    @property
    def person(self) -> str:
        """The id of the person at the tablet; '' for nobody."""
        return self.presence.person

    @property
    def page(self) -> Widget | None:
        """The page that is shown."""
        return self.root.children[0] if self.root.children else None

    def speak(self, code: str) -> None:
        """Change the language of everything, in the middle of a step too."""
        tongue.use(code)
        if self._stack:
            self.refresh()

    def open(self, page: Page, under_lock: bool = False) -> None:
        """Show a page; back leads to the one before. under_lock: a locked tablet shows it too."""
        self._stack.append(page)
        if under_lock:
            self._free.add(page)
        self.refresh()

    def lay_under(self, page: Page) -> None:
        """Put a page on the stack without building it: it is what back leads to from the next one."""
        self._stack.append(page)

    def home(self, page: Page) -> None:
        """Show a page as the first one; there is no way back behind it."""
        self._stack = [page]
        self.refresh()

    def swap(self, page: Page) -> None:
        """Show a page in place of this one."""
        self._stack[-1:] = [page]
        self.refresh()

    def back(self) -> None:
        """The page before this one."""
        if len(self._stack) > 1:
            self._stack.pop()
        self.refresh()

    @property
    def depth(self) -> int:
        """How many pages lie on each other."""
        return len(self._stack)

    def back_to(self, depth: int) -> None:
        """Take pages off until so many are left, at least one."""
        del self._stack[max(1, depth):]
        self.refresh()

    @property
    def can_go_back(self) -> bool:
        """Whether there is a page before this one."""
        return len(self._stack) > 1

    def refresh(self) -> None:
        """Build the page anew from what is true now."""
        if self.job is not None:
            from coach.view.walk import mode_of

            self._mode = mode_of(self.job.rules, self.job.state, self.desk.now())
        self._seconds = []
        page = self._top()(self)
        mark = self._mark()
        self.root.clear_widgets()
        if mark is not None:
            self.root.add_widget(mark)
        self.root.add_widget(page)

    def _mark(self) -> Widget | None:
        """What stands over the page, whichever it is: the mark of practice, else nothing."""
        if not self.is_practice:
            return None
        from coach.tablet.widgets.banner import Banner
        from coach.view.practice import practice_mark

        return Banner(title=practice_mark())

    @property
    def is_practice(self) -> bool:
        """Whether the open job is practice."""
        return self.job is not None and self.job.state.practice

    def _top(self) -> Page:
        top: Page = self._stack[-1]
        if not self.presence.locked or self.may_burn or top in self._free:
            return top
        return to("lock_page")

    @property
    def may_burn(self) -> bool:
        """Whether the open job is at a flame or a trip."""
        job = self.job
        if job is None:
            return False
        from coach.view.walk import LIT, TRIP, mode_of

        return mode_of(job.rules, job.state, self.desk.now()) in (LIT, TRIP)

    def touched(self) -> bool:
        """A finger or a key: whether it must not reach the page, since the tablet locks itself first."""
        now = self.desk.now()
        if self.presence.gone(now):
            self.lock()
            return not self.may_burn
        self.presence.touch(now)
        return False

    def lock(self) -> None:
        """Lock the tablet; what was opened and typed is kept for the person's return."""
        self.presence.lock()
        self._close_dialogs()
        if self.may_burn:
            self._take_over()
        else:
            self.refresh()

    def tick(self) -> None:
        """Once a second: let the kernel look at the clock; follow a change of what the job is at; lock when left."""
        if self.presence.gone(self.desk.now()):
            self.lock()
        job = self.job
        if job is not None:
            from coach.view.walk import mode_of

            tripped = self._guarded(lambda: job.look(self.desk.now()))
            if tripped or mode_of(job.rules, job.state, self.desk.now()) != self._mode:
                self._take_over()
                self._speak_up()
                return
        self._speak_up()
        self._keep_draft()
        for do in tuple(self._seconds):
            do()
        tick = getattr(self.page, "tick", None)
        if tick is not None:
            tick()

    def each_second(self, do: Callable[[], None]) -> None:
        """Do this once a second for as long as the page stands that is being built now."""
        self._seconds.append(do)

    def has_taken(self, key: str) -> bool:
        """Whether a person has taken note of what calls under this key."""
        return self._heard is not None and key in self._heard.taken

    def take_note(self, key: str) -> None:
        """A person has taken note of what calls under this key: it is not said again."""
        from coach.view.announce import Heard, acknowledge

        self._heard = acknowledge(self._heard or Heard(), key)

    def _speak_up(self) -> None:
        """Say aloud what is to be said of the open job; with none open, nothing is. A drill that is shown speaks itself."""
        job = self.job
        if job is None and isinstance(getattr(self.page, "shell", None), Shell):
            return
        if job is None and self._heard is None:  # no job was open yet: nothing was said, nothing stands to be said
            if self.alarm is not None:
                self.alarm.follow((), ())  # a drill that is no longer shown
            return
        from coach.view.announce import Heard, due, in_practice, standing

        now = self.desk.now()
        stands = standing(job.rules, job.state, now, self.system) if job is not None else ()
        self._heard, say = due(self._heard or Heard(), stands, now)
        if self.alarm is not None:
            self.alarm.follow(stands, in_practice(say) if self.is_practice else say)

    def _keep_draft(self) -> None:
        """Keep on disk what has been given and not yet sent, if it has changed."""
        job = self.job
        if job is None or job.state.practice:
            return
        text = drafts.text_of(job.id, self.draft)
        if text != self._kept:
            self._kept = text
            drafts.save(self.desk.folder, text)

    def _take_over(self) -> None:
        """Something changed that comes first: leave what was opened on top of the walk."""
        walk_page = to("walk_page")
        self._close_dialogs()
        if walk_page in self._stack:
            del self._stack[self._stack.index(walk_page) + 1:]
        self.refresh()

    def _close_dialogs(self) -> None:
        for dialog in self._dialogs:
            dialog.dismiss(animation=False)
        self._dialogs.clear()

    def send(self, action: Action, stay: bool = False, beside: str = "") -> bool:
        """Ask the kernel; True if it was done. The page is built anew either way unless `stay`.

        beside: a second person who has just shown who they are.
        """
        job = self.job
        if job is None:
            return False
        from coach.core.actions import Accept, FlameOut, Withdraw
        from coach.view.texts import reason_text

        if self.presence.locked and not isinstance(action, FlameOut | Withdraw):
            self._ask_unlock()
            return False
        action = replace(action, identified=self.presence.identified(action.by, beside))
        refusal = self._guarded(lambda: job.act(action, self.desk.now()))
        if refusal is not None and refusal is not False:
            self.refused(tuple(reason_text(reason, self.system) for reason in refusal.reasons))
            return False
        if isinstance(action, Accept):
            self.desk.forget_record()
        if not stay:
            self._take_over()
        self._speak_up()
        return refusal is None

    def _ask_unlock(self) -> None:
        to("unlock_sheet")(self)

    def _guarded(self, work: Callable[[], Any]) -> Any:
        """The answer of work on the store; an error of the disk is shown in plain words and answers False."""
        try:
            return work()
        except CoachError as error:
            self.trouble(*error.problems)
            return False

    def refused(self, reasons: tuple[Any, ...]) -> None:
        """Show why something was not done."""
        from coach.tablet.widgets.dialog import Dialog
        from coach.tablet.widgets.reasons import ReasonLine, ReasonList

        lines = [ReasonLine(str(number), reason.what, reason.why + " " + reason.mend, english=reason.english) for number, reason in enumerate(reasons)]
        dialog = Dialog(title=_("Not yet"), words="")
        dialog.put(ReasonList(reasons=lines))
        self.ask(dialog, ("ok", _("Go on")))

    def trouble(self, *problems: Problem) -> None:
        """Show a problem of the device or of something typed."""
        from coach.tablet.widgets.dialog import Dialog
        from coach.tablet.widgets.reasons import ReasonLine, ReasonList
        from coach.view.texts import problem_text

        dialog = Dialog(title=_("Something is wrong"), words="")
        lines = []
        for number, problem in enumerate(problems):
            what, why, mend = problem_text(problem)
            lines.append(ReasonLine(str(number), what, f"{why} {mend}"))
        dialog.put(ReasonList(reasons=lines))
        self.ask(dialog, ("ok", _("Go on")))

    def ask(self, dialog: Dialog, *answers: tuple[str, str], then: Callable[[str], None] | None = None) -> None:
        """Open a sheet with these answers; the last one is the big way on, unless it only leaves. In practice it says so."""
        if self.is_practice:
            dialog.title = _("PRACTICE · %(title)s") % {"title": dialog.title}
        for place, (key, words) in enumerate(answers):
            dialog.offer(key, words, "primary" if place == len(answers) - 1 and key else "secondary")
        if then is not None:
            dialog.bind(on_answer=lambda _sheet, key: then(key))
        dialog.bind(on_answer=lambda sheet, _key: sheet in self._dialogs and self._dialogs.remove(sheet))
        self._dialogs.append(dialog)
        dialog.open(animation=False)
