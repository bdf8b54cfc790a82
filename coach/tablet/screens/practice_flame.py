"""The flame in practice: the finger is the flame over the boat's film; wrinkles go, shiny places and holes come.

Rules kept here:
 1. What the film does is the run's own physics; here a finger's place becomes a flux, and states become pictures.
 2. Flame out and 'something is lost' are as large and as near as on the real page.
 3. A state is told by shape as well as by colour: wrinkles, none, bright stripes, a hole with a rim.
"""

from __future__ import annotations

from collections.abc import Sequence

from kivy.clock import Clock
from kivy.graphics import Color, Ellipse, InstructionGroup, Mesh
from kivy.input.motionevent import MotionEvent
from kivy.uix.boxlayout import BoxLayout
from kivy.utils import get_color_from_hex

from coach.core import actions as act
from coach.language import _
from coach.practice.film import BURNING, COLD, HOLED, OVERHEATED, SHRUNK, Flame
from coach.practice.film_work import DISTANCE, PARTS, SHRINK
from coach.practice.run import Run
from coach.tablet.screens.frame import PageBox, button
from coach.tablet.screens.heat import loss_page
from coach.tablet.shell import Shell
from coach.tablet.strokes import add_line
from coach.tablet.theme import theme
from coach.tablet.widgets.body import Foot, Pair
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.text import Paragraph
from coach.tablet.widgets.topbar import TopBar
from coach.view.drawing import Line, Point, leaves
from coach.view.marks import Stroke
from coach.view.practice import site_view
from coach.view.practice_film import FilmShape, boat_behind, film_look, film_shape, wrinkles

FRAME = 1 / 20  # s between two looks at the finger
LONGEST = 0.2  # s of heat at most between two frames, so that a stalled screen burns no hole
NEAR, FAR, STEP = 0.10, 0.60, 0.05  # m between nozzle and film
FILLS = {
    COLD: ("film", 0.10),
    SHRUNK: ("film", 0.45),
    OVERHEATED: ("caution", 0.75),
    HOLED: ("ink", 0.9),
    BURNING: ("flame", 1.0),
}


class FilmView(PictureView):
    """The boat's film. `run` is the run, `distance` how far the flame is held; a finger on it is the flame."""

    def __init__(self, run: Run, **kwargs: object) -> None:
        self.run = run
        self.shape: FilmShape = film_shape(run.rules, run.job.state.measures)
        self.part = PARTS.get(run.job.state.flame)
        self.distance = DISTANCE[self.part.kind if self.part else SHRINK]
        self.finger: Point | None = None
        self._film = InstructionGroup()
        self._shown: tuple[object, ...] = ()
        super().__init__(drawing=boat_behind(self.shape), **kwargs)
        self.canvas.add(self._film)
        self._ticking = Clock.schedule_interval(self._burn, FRAME)

    def release(self) -> None:
        """Stop looking at the finger: the page is gone."""
        self._ticking.cancel()

    # -- places --------------------------------------------------------------------------------------------------

    def _frame(self) -> tuple[float, float, float] | None:
        """Pixels to the metre, and where (0, 0) lies; None before the first layout."""
        if self.sheet is None or self.drawing is None:
            return None
        known = next(part for part in leaves(self.drawing.parts) if isinstance(part, Line)).start
        unit, edge = theme.mm, self.margin * theme.mm
        scale = self.sheet.scale * unit
        drawn = next(mark for mark in self.sheet.marks if isinstance(mark, Stroke))  # the same line, laid out
        first = drawn.points[0]
        return (
            scale,
            self.x + edge + first[0] * unit - known[0] * scale,
            self.y + edge + first[1] * unit - known[1] * scale,
        )

    def place_of(self, pixel: Point) -> Point | None:
        """The place on the boat under a pixel, m."""
        frame = self._frame()
        return None if frame is None else ((pixel[0] - frame[1]) / frame[0], (pixel[1] - frame[2]) / frame[0])

    def pixel_of(self, place: Point) -> Point:
        """The pixel of a place on the boat."""
        scale, left, low = self._frame() or (1.0, 0.0, 0.0)
        return left + place[0] * scale, low + place[1] * scale

    # -- the finger ----------------------------------------------------------------------------------------------

    def on_touch_down(self, touch: MotionEvent) -> bool:
        """The flame comes on the film."""
        if not self.collide_point(*touch.pos):
            return bool(super().on_touch_down(touch))
        touch.grab(self)
        self.finger = self.place_of(touch.pos)
        return True

    def on_touch_move(self, touch: MotionEvent) -> bool:
        """The flame moves."""
        if touch.grab_current is not self:
            return bool(super().on_touch_move(touch))
        self.finger = self.place_of(touch.pos)
        return True

    def on_touch_up(self, touch: MotionEvent) -> bool:
        """The flame leaves the film."""
        if touch.grab_current is not self:
            return bool(super().on_touch_up(touch))
        touch.ungrab(self)
        self.finger = None
        return True

    def flame(self) -> Flame:
        """The flame as it is held now, in the wind of this second."""
        return Flame(self.distance, wind=self.run.world.wind.speed_at(self.run.second))

    def _burn(self, passed: float) -> None:
        flame = self.flame()
        if self.finger is not None and self.run.world.burning and self.shape.touches(self.finger):
            spot = (self.finger[0] - flame.drift, self.finger[1])
            for section, flux in self.shape.heated(spot, flame).items():
                self.run.warm(section, flux, min(passed, LONGEST))
            self.run.world.film.cool(min(passed, LONGEST), flame.wind)
        self._paint(flame)

    # -- the picture ---------------------------------------------------------------------------------------------

    def _draw(self, *_args: object) -> None:
        super()._draw()
        self._shown = ()

    def _paint(self, flame: Flame) -> None:
        look = film_look(self.run.world.film, self.part)
        glow = {section: round(heat, 1) for section, heat in look.glow.items()}
        now = (look.by_look, glow, self.finger, self.pos[:], self.size[:], theme.dark)
        if self._frame() is None or now == self._shown:
            return
        self._shown = now
        group = self._film
        group.clear()
        for state, sections in look.by_look.items():
            role, opacity = FILLS[state]
            self._fill(sections, role, opacity)
        self._fill(tuple(glow), "flame", 0.35)
        self._lines(look.by_look[COLD], look.wanted)
        self._stripes(look.by_look[OVERHEATED])
        self._holes((*look.by_look[HOLED], *look.by_look[BURNING]))
        if self.finger is not None:
            self._nozzle(self.finger, flame)

    def _colour(self, role: str, opacity: float = 1.0) -> Color:
        red, green, blue, _alpha = get_color_from_hex(getattr(theme.palette, role))
        return Color(red, green, blue, opacity)

    def _fill(self, sections: Sequence[int], role: str, opacity: float) -> None:
        """Many sections in one mesh of triangles."""
        vertices: list[float] = []
        indices: list[int] = []
        for section in sections:
            base = len(vertices) // 4
            for corner in self.shape.cell(section):
                vertices += [*self.pixel_of(corner), 0, 0]
            indices += [base, base + 1, base + 2, base, base + 2, base + 3]
        if indices:
            self._film.add(self._colour(role, opacity))
            self._film.add(Mesh(vertices=vertices, indices=indices, mode="triangles"))

    def _segments(self, pairs: Sequence[tuple[Point, Point]], role: str, opacity: float) -> None:
        vertices: list[float] = []
        for one, other in pairs:
            vertices += [*self.pixel_of(one), 0, 0, *self.pixel_of(other), 0, 0]
        if vertices:
            self._film.add(self._colour(role, opacity))
            self._film.add(Mesh(vertices=vertices, indices=list(range(len(vertices) // 4)), mode="lines"))

    def _lines(self, cold: Sequence[int], wanted: frozenset[int]) -> None:
        """Wrinkles: dark where this step wants heat, pale elsewhere."""
        for role, opacity, mine in (("ink", 0.85, True), ("soft", 0.3, False)):
            pairs = [pair for section in cold if (section in wanted) is mine for pair in wrinkles(self.shape, section)]
            self._segments(pairs, role, opacity)

    def _stripes(self, hot: Sequence[int]) -> None:
        """Bright stripes: film that is too thin."""
        corners = [self.shape.cell(section) for section in hot]
        self._segments([(a, c) for a, _b, c, _d in corners] + [(b, d) for _a, b, _c, d in corners], "ink", 0.9)

    def _holes(self, holed: Sequence[int]) -> None:
        for section in holed:
            a, b, c, d = (self.pixel_of(corner) for corner in self.shape.cell(section))
            self._film.add(self._colour("bad"))
            add_line(self._film, (a, b, c, d), max(1.2, 0.3 * theme.mm), closed=True)

    def _nozzle(self, place: Point, flame: Flame) -> None:
        """Where the finger is, and where the wind puts the spot."""
        scale = (self._frame() or (1.0, 0, 0))[0]
        radius = flame.radius * scale
        x, y = self.pixel_of((place[0] - flame.drift, place[1]))
        self._film.add(self._colour("flame", 0.6))
        self._film.add(Ellipse(pos=(x - radius, y - radius), size=(2 * radius, 2 * radius)))
        self._film.add(self._colour("ink"))
        add_line(self._film, (self.pixel_of(place), (x, y)), max(1.0, 0.2 * theme.mm))


class FlamePage(PageBox):
    """The page of a lit flame in practice."""

    def __init__(self, shell: Shell, run: Run) -> None:
        super().__init__(orientation="vertical")
        step = run.rules.steps[run.job.state.flame]
        top = TopBar(
            title=_(step.do),
            under=_("The finger is the flame. Keep it moving, from the band upwards."),
            can_go_back=False,
        )
        self.add_widget(top)
        self.view = FilmView(run)
        around = BoxLayout(padding=(theme.pad, theme.gap))
        around.add_widget(self.view)
        self.add_widget(around)
        self.words = Paragraph(words=self._words(run), size_name="note")
        movers = BoxLayout(size_hint_y=None, height=theme.touch, spacing=theme.gap)
        movers.add_widget(button(_("Closer"), lambda: self._move(-STEP), icon="plus"))
        movers.add_widget(button(_("Further"), lambda: self._move(STEP), icon="minus"))
        beside = Pair(flows=True, share=0.54, padding=(theme.pad, 0, theme.pad, theme.gap))
        beside.add_widget(self.words)
        beside.add_widget(movers)
        self.add_widget(beside)
        row = Foot(gate=True)
        row.add_widget(button(_("Something is lost"), lambda: shell.open(loss_page), icon="alert", gate=True))
        out = button(
            _("Flame out"), lambda: shell.send(act.FlameOut(shell.person)), "primary", icon="flame-off", gate=True
        )
        row.add_widget(out)
        self.add_widget(row)
        self.run = run
        self.on_tick = self._tick

    def _move(self, by: float) -> None:
        self.view.distance = min(FAR, max(NEAR, round(self.view.distance + by, 2)))
        self._tick()

    def _tick(self) -> None:
        self.words.words = self._words(self.run)

    def _words(self, run: Run) -> str:
        view = site_view(run)
        centimetres = round(100 * self.view.distance)
        slots = {"distance": centimetres, "gas": view.gas, "wind": view.wind}
        return _("Flame at %(distance)d cm. The cylinder feeds %(gas)d %% of it. %(wind)s") % slots

    def on_parent(self, _page: object, parent: object) -> None:
        """Taken off the screen: the finger is looked at no more."""
        if parent is None:
            self.view.release()


def flame_page(shell: Shell, run: Run) -> FlamePage:
    """The page of the flame that is lit."""
    return FlamePage(shell, run)
