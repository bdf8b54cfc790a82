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
from coach.tablet.routes import to
from coach.tablet.screens.frame import button
from coach.tablet.screens.heat import loss_page
from coach.tablet.shell import Shell
from coach.tablet.strokes import add_line
from coach.tablet.theme import theme
from coach.tablet.widgets.body import Foot, PageBox, Pair, ScrollBody
from coach.tablet.widgets.buttons import IconButton
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.text import Paragraph
from coach.view.drawing import Line, Point, leaves
from coach.view.marks import Stroke
from coach.view.practice import site_view
from coach.view.practice_film import FilmShape, boat_behind, film_look, film_shape, hole, room_for, wrinkles

FRAME = 1 / 20  # s between two looks at the finger
LONGEST = 0.2  # s of heat at most between two frames, so that a stalled screen burns no hole
TALLEST = 2.5  # times that heights are drawn larger than lengths, at most
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
        self.tall = 1.0
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
        if frame is None:
            return None
        scale, left, low = frame
        return (pixel[0] - left) / scale, (pixel[1] - low) / scale / self.tall

    def pixel_of(self, place: Point) -> Point:
        """The pixel of a place on the boat."""
        scale, left, low = self._frame() or (1.0, 0.0, 0.0)
        return left + place[0] * scale, low + place[1] * self.tall * scale

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
        self._paint(flame)

    # -- the picture ---------------------------------------------------------------------------------------------

    def _draw(self, *_args: object) -> None:
        tall = self._tallness()
        if tall != self.tall:
            self.tall, self.drawing = tall, boat_behind(self.shape, tall)  # and comes here again
            return
        super()._draw()
        self._shown = ()

    def _tallness(self) -> float:
        """How much larger heights are drawn than lengths: what the place allows, so that a finger finds its section."""
        wide, high = room_for(self.shape)
        edge = 2 * self.margin * theme.mm
        fits = (self.height - edge) / max(1.0, (self.width - edge) / wide * high)
        return round(min(TALLEST, max(1.0, fits)), 2)

    def _paint(self, flame: Flame) -> None:
        look = film_look(self.run.world.film, self.part)
        glow = {section: round(heat, 1) for section, heat in look.glow.items()}
        now = (look.by_look, glow, self.finger, self.pos[:], self.size[:], theme.dark)
        if self._frame() is None or now == self._shown:
            return
        self._shown = now
        group = self._film
        group.clear()
        for state in (COLD, SHRUNK, OVERHEATED):
            role, opacity = FILLS[state]
            self._fill(look.by_look[state], role, opacity)
        through = (*look.by_look[HOLED], *look.by_look[BURNING])
        self._fill(tuple(section for section in glow if section not in through), "flame", 0.35)
        self._lines(look.by_look[COLD], look.wanted)
        self._stripes(look.by_look[OVERHEATED])
        for state in (HOLED, BURNING):
            self._holes(look.by_look[state], *FILLS[state])
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

    def _holes(self, holed: Sequence[int], role: str, opacity: float) -> None:
        """A ragged hole with a rim; one that burns has the flame's colour."""
        for section in holed:
            edge = [self.pixel_of(point) for point in hole(self.shape, section)]
            middle = self.pixel_of(self.shape.centre(section))
            vertices = [number for point in (middle, *edge, edge[0]) for number in (*point, 0, 0)]
            self._film.add(self._colour(role, opacity))
            self._film.add(Mesh(vertices=vertices, indices=list(range(len(edge) + 2)), mode="triangle_fan"))
            self._film.add(self._colour("bad"))
            add_line(self._film, edge, max(1.5, 0.35 * theme.mm), closed=True)

    def _nozzle(self, place: Point, flame: Flame) -> None:
        """Where the finger is, and where the wind puts the spot."""
        scale = (self._frame() or (1.0, 0, 0))[0]
        radius = flame.radius * scale
        x, y = self.pixel_of((place[0] - flame.drift, place[1]))
        self._film.add(self._colour("flame", 0.6))
        high = radius * self.tall
        self._film.add(Ellipse(pos=(x - radius, y - high), size=(2 * radius, 2 * high)))
        self._film.add(self._colour("ink"))
        add_line(self._film, (self.pixel_of(place), (x, y)), max(1.0, 0.2 * theme.mm))


class FlamePage(PageBox):
    """The page of a lit flame in practice: what is done and how the film is, the film, the two ways out."""

    def __init__(self, shell: Shell, run: Run) -> None:
        super().__init__(orientation="vertical")
        self.run = run
        self.view = FilmView(run)
        self.words = Paragraph(words=self._words(run), size_name="note")
        self.counts = Paragraph(words=self._counts(run), size_name="note", bold=True)
        both = Pair(share=0.47, upright=0.46)
        both.add_widget(self._words_beside(shell, run))
        around = BoxLayout(orientation="vertical", padding=(theme.gap, theme.gap, theme.pad, theme.gap))
        hint = Paragraph(words=_("The finger is the flame. Keep it moving."), size_name="note", tone="soft")
        for widget in (self.view, self.counts, hint):  # under the film: beside it they would push the wind out of sight
            around.add_widget(widget)
        both.add_widget(around)
        self.add_widget(both)
        row = Foot(gate=True)
        row.add_widget(button(_("Something is lost"), lambda: shell.open(loss_page), icon="alert", gate=True))
        out = button(
            _("Flame out"), lambda: shell.send(act.FlameOut(shell.person)), "primary", icon="flame-off", gate=True
        )
        row.add_widget(out)
        self.add_widget(row)
        self.on_tick = self._tick

    def _words_beside(self, shell: Shell, run: Run) -> ScrollBody:
        """The step, the hand's distance, the emergency cards, gas and wind."""
        step = run.rules.steps[run.job.state.flame]
        title = Paragraph(words=_(step.do), bold=True)
        cards = IconButton(icon="alert", words=_("Emergency"), framed=True)
        cards.bind(on_act=lambda *_args: shell.open(to("emergency_page"), under_lock=True))
        hand = BoxLayout(size_hint_y=None, height=theme.touch, spacing=theme.gap)
        hand.add_widget(button(_("Closer"), lambda: self._move(-STEP)))
        hand.add_widget(button(_("Further"), lambda: self._move(STEP)))
        hand.add_widget(cards)
        body = ScrollBody()
        for widget in (title, hand, self.words):
            body.add_widget(widget)
        return body

    def _move(self, by: float) -> None:
        self.view.distance = min(FAR, max(NEAR, round(self.view.distance + by, 2)))
        self._tick()

    def _tick(self) -> None:
        self.words.words = self._words(self.run)
        self.counts.words = self._counts(self.run)

    def _counts(self, run: Run) -> str:
        """How many places are cold, overheated, holed: of the step's part, as words beside the picture."""
        states, part = run.world.film.states(), self.view.part
        mine = [states[section] for section in part.sections] if part else []
        slots = {state: mine.count(state) for state in (COLD, OVERHEATED)}
        slots["holed"] = mine.count(HOLED) + mine.count(BURNING)
        return _("Cold places: %(cold)d. Overheated: %(overheated)d. Holes: %(holed)d.") % slots

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
