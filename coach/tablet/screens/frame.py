"""The frame of every page: title bar, safeguards bar, a picture beside the body, the foot with the way on.

What the first page does not show is imported where it is used, so that this page comes sooner.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from typing import TYPE_CHECKING

from kivy.uix.widget import Widget

from coach.language import _, n_
from coach.tablet.routes import to
from coach.tablet.shell import Shell
from coach.tablet.widgets.body import Foot, PageBox, Pair, Pane, ScrollBody
from coach.tablet.widgets.buttons import BigButton
from coach.tablet.widgets.topbar import TopBar

if TYPE_CHECKING:
    from coach.tablet.widgets.asking import Asking
    from coach.tablet.widgets.safeguards import Guard, SafeguardBar
    from coach.view.drawing import Drawing
    from coach.view.gate import GateView

# A proof that a changed clock or a restart ended is asked again as one that has lapsed.
BAR_STATE = {"proven": "proven", "missing": "missing", "lapsed": "lapsed", "clock": "lapsed", "withdrawn": "withdrawn", "unmet": "unmet"}


def page(
    shell: Shell, title: str, under: str, body: Sequence[Widget], foot: Sequence[Widget] = (), *, drawing: Drawing | None = None,
    bar: SafeguardBar | None = None, picks: Sequence[tuple[str, str, str]] = (), pick: Callable[[str], None] | None = None,
    gate: bool = False, back: bool | None = None, share: float = 0.42, emergency: bool = True, quiet: bool = False, alarm: bool = False,
    piled: bool = False, line: Widget | None = None, fills: Asking | None = None,
) -> PageBox:
    """A whole page.

    Args:
        body: the scrolling column.
        foot: the buttons, the big way on last.
        drawing: a picture that stands beside the body (above it in portrait).
        bar: the safeguards bar, where the job heats.
        picks: signs at the right of the title bar as (key, icon, words), answered by `pick`.
        gate: larger targets and gaps.
        back: whether the way back is shown; by default where there is one.
        share: the picture's part of the width.
        alarm: the page is danger red all over.
        line: what stands under the title bar (how far the job is).
        piled: the buttons of the foot stand one over the other in portrait.
        quiet: the strip of running times has no keys: the page has its own for each.
        fills: the body's last part, which takes the height that is left, and scrolls only where it finds too little.
        emergency: the sign that leads to the emergency cards, on every page but these themselves.
    """
    box = PageBox(alarm=alarm)
    signs = [*picks, *([("emergency", "alert", _("Emergency"))] if emergency else [])]
    top = TopBar(title=title, under=under, picks=signs, can_go_back=shell.can_go_back if back is None else back)
    top.bind(on_back=lambda *_: shell.back())
    top.bind(on_pick=lambda _bar, key: _picked(shell, key, pick))
    box.add_widget(top)
    if line is not None:
        box.add_widget(line)
    if bar is not None:
        bar.bind(on_open=lambda *_: shell.open(to("gate_page")))
    times = to("strip")(shell, quiet=quiet or (bar is not None and bool(bar.reason))) if shell.job is not None else None
    if bar is not None or times is not None:
        box.add_widget(_above(bar, times, line is not None))
    scroll = ScrollBody()
    for widget in body:
        scroll.add_widget(widget)
    if fills is not None:
        scroll.add_widget(fills)
        scroll.fill(fills)
    if drawing is None:
        box.add_widget(scroll)
    else:
        box.add_widget(_beside(shell, drawing, scroll, share, 0.42 if bar is None or piled else 0.36))
    if foot:
        row = Foot(gate=gate, alarm=alarm, piled=piled)
        for widget in foot:
            row.add_widget(widget)
        box.add_widget(row)
    return box


def _picked(shell: Shell, key: str, pick: Callable[[str], None] | None) -> None:
    if key == "emergency":
        shell.open(to("emergency_page"), under_lock=True)
    elif pick is not None:
        pick(key)


def _above(bar: SafeguardBar | None, times: Widget | None, spaced: bool) -> Widget:
    from coach.tablet.widgets.strip import Above

    above = Above(together=bar is not None and not bar.reason and len(bar.guards) <= 2, spaced=spaced)
    for widget in (bar, times):
        if widget is not None:
            above.add_widget(widget)
    return above


def _beside(shell: Shell, drawing: Drawing, scroll: ScrollBody, share: float, upright: float) -> Pair:
    from coach.tablet.widgets.moving import MovingPicture
    from coach.tablet.widgets.picture import PictureView
    from coach.view.pictures.motion import MOTIONS

    pair = Pair(share=share, upright=upright)
    pane = Pane()
    motion = MOTIONS.get(drawing.name)
    pane.add_widget(PictureView(drawing=drawing) if motion is None else MovingPicture(drawing=drawing, hint=motion, moves=shell.wishes.motion))
    pair.add_widget(pane)
    pair.add_widget(scroll)
    return pair


def safeguards_bar(view: GateView, reason: str = "", single: bool = False) -> SafeguardBar:
    """The bar of a gate's view. reason: it says that heat is blocked, and this; single: a tile for each, else one a state."""
    from coach.tablet.widgets.safeguards import Guard, SafeguardBar

    guards = [Guard(tile.id, tile.name, BAR_STATE[tile.kind]) for tile in view.tiles]
    return SafeguardBar(guards=guards if single else _grouped(guards), reason=reason, left=view.needed - view.held, total=view.needed)


def _grouped(guards: Sequence[Guard]) -> list[Guard]:
    """One tile for each state: how many, or the name where it is one."""
    from coach.tablet.widgets.safeguards import Guard

    found = []
    for state in ("withdrawn", "unmet", "lapsed", "missing", "proven"):
        same = [guard for guard in guards if guard.state == state]
        if len(same) == 1:
            found.append(same[0])
        elif same:
            found.append(Guard(state, n_("%(count)d safeguard", "%(count)d safeguards", len(same)) % {"count": len(same)}, state))
    return found


def button(words: str, act: Callable[[], object], kind: str = "secondary", **more: object) -> BigButton:
    """A button that does one thing."""
    made = BigButton(words=words, kind=kind, **more)
    made.bind(on_act=lambda *_: act())
    return made
