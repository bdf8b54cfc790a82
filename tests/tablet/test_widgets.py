"""What the widgets do under a finger: events out, properties in, states told by shape and word."""

from __future__ import annotations

from pathlib import Path

import pytest
from kivy.lang import Builder
from kivy.metrics import Metrics
from kivy.uix.boxlayout import BoxLayout
from kivy.uix.widget import Widget

from coach.core.quantity_entry import parse_quantity
from coach.tablet.theme import theme
from coach.tablet.tongue import tongue
from coach.tablet.widgets.body import Pair, ScrollBody, Tiles
from coach.tablet.widgets.buttons import BigButton, IconButton
from coach.tablet.widgets.caution import CautionPanel
from coach.tablet.widgets.choices import Choice, ChoiceTiles
from coach.tablet.widgets.dialog import Dialog
from coach.tablet.widgets.field import Field
from coach.tablet.widgets.icons import Icon
from coach.tablet.widgets.keypad import Keypad
from coach.tablet.widgets.number import NumberTile
from coach.tablet.widgets.people import Person, PersonTiles, initials
from coach.tablet.widgets.photo import PhotoTile
from coach.tablet.widgets.picture import PictureView
from coach.tablet.widgets.progress import ProgressByStage, StageMark
from coach.tablet.widgets.reasons import ReasonLine, ReasonList
from coach.tablet.widgets.rows import Counter, ListRow
from coach.tablet.widgets.safeguards import Guard, GuardTile, SafeguardBar, state_words
from coach.tablet.widgets.signature import SignaturePad
from coach.tablet.widgets.text import Fitted, Paragraph, natural_width
from coach.tablet.widgets.timer import TimerFace, figures
from coach.tablet.widgets.topbar import TopBar
from coach.view.pictures.cross_section import cross_section
from tests.tablet.driver import Driver, png
from tests.tablet.measure import cut_texts


class Heard(list[tuple[object, ...]]):
    """Collects what an event tells, without the widget itself."""

    def on(self, widget: Widget, event: str) -> Heard:
        widget.bind(**{event: lambda _, *told: self.append(told)})
        return self


def column(*widgets: Widget) -> ScrollBody:
    """Widgets in a scrolling column."""
    body = ScrollBody()
    for widget in widgets:
        body.add_widget(widget)
    return body


def test_a_tap_acts_once_and_a_disabled_button_not_at_all() -> None:
    with Driver() as drive:
        button = BigButton(words="Done")
        drive.show(column(button))
        heard = Heard().on(button, "on_act")
        drive.tap_text("Done")
        assert heard == [()]
        button.disabled = True
        drive.tap_text("Done")
        assert heard == [()]


def test_a_hold_acts_only_when_it_is_held_to_the_end() -> None:
    with Driver() as drive:
        button = BigButton(words="Light the torch", kind="danger", hold=2)
        drive.show(column(button))
        heard = Heard().on(button, "on_act")
        drive.hold(button, 1.5)
        assert heard == []
        assert "Keep holding" in drive.texts()
        assert button.held == 0
        drive.hold(button, 2.6)
        assert heard == [()]
        assert "Keep holding" not in drive.texts()


def test_a_finger_that_slides_off_does_not_act() -> None:
    with Driver() as drive:
        button = BigButton(words="Done")
        drive.show(column(button))
        heard = Heard().on(button, "on_act")
        drive.drag([(300, 700), (300, 640), (300, 400), (300, 200)])
        assert heard == []


def test_a_button_grows_with_its_words() -> None:
    with Driver((800, 1280)) as drive:
        short, long = BigButton(words="Done"), BigButton(words="Done, and every one of the vents is open again " * 6)
        drive.show(column(short, long))
        assert short.height == pytest.approx(15 * theme.mm)
        assert long.height > 2 * short.height


def test_one_choice_replaces_another_and_many_add_up() -> None:
    options = [Choice("a", "Power boat"), Choice("b", "Sailing boat")]
    with Driver() as drive:
        one, many = (
            ChoiceTiles(options=options),
            ChoiceTiles(options=[Choice("c", "Gloves"), Choice("d", "Eyes")], many=True),
        )
        drive.show(column(one, many))
        heard = Heard().on(one, "on_choose")
        drive.tap_text("Power boat")
        drive.tap_text("Sailing boat")
        assert one.chosen == ["b"]
        assert heard == [("a",), ("b",)]
        drive.tap_text("Gloves")
        drive.tap_text("Eyes")
        drive.tap_text("Gloves")
        assert many.chosen == ["d"]


@pytest.mark.parametrize(
    ("keys", "text"), [("5' 6 1/2\"", "5' 6 1/2\""), ('66"', '66"'), ("12'", "12'"), ('6 3/8"', '6 3/8"')]
)
def test_feet_and_inches_are_typed_on_the_keypad(keys: str, text: str) -> None:
    with Driver() as drive:
        pad = Keypad(kind="feet", label="Half beam")
        drive.show(column(pad))
        heard = Heard().on(pad, "on_enter")
        drive.keypad(keys)
        drive.tap(pad.ids.enter)
        assert heard == [(text,)]
        assert parse_quantity(text, "length").value == parse_quantity(keys, "length").value


def test_metres_with_the_reader_s_mark_and_the_way_to_feet() -> None:
    with Driver() as drive:
        pad = Keypad(kind="metres", separator=",", systems=True)
        drive.show(column(pad))
        heard = Heard().on(pad, "on_system")
        drive.keypad("1,68 m")
        assert pad.text == "1,68 m"
        drive.tap_text("Enter feet and inches instead")
        assert heard == [("feet",)]
        assert pad.text == ""


def test_the_keypad_erases_and_shows_trouble_in_the_place_of_the_echo() -> None:
    with Driver() as drive:
        pad = Keypad(kind="count", echo="fine")
        drive.show(column(pad))
        assert pad.ids.enter.disabled
        drive.keypad("42")
        drive.tap(drive.one(Widget, lambda each: getattr(each, "types", "") == "erase"))
        assert pad.text == "4"
        assert not pad.ids.enter.disabled
        pad.trouble = "at most 3"
        drive.settle()
        assert "at most 3" in drive.texts()
        assert "fine" not in drive.texts()


def test_each_state_of_a_safeguard_has_its_shape_and_its_word() -> None:
    states = {"Wind": "proven", "Vent": "missing", "Watch": "lapsed", "Smell": "withdrawn", "Cylinder": "unmet"}
    with Driver() as drive:
        bar = drive.show(BoxLayout())
        bar.add_widget(SafeguardBar(guards=[Guard(name, name, state) for name, state in states.items()]))
        drive.settle()
        shapes = {tile.words: tile.shape for tile in drive.all(GuardTile)}
        assert shapes == {"Wind": "tick", "Vent": "hollow", "Watch": "clock", "Smell": "cross", "Cylinder": "stop"}
        assert len({state_words(state) for state in states.values()}) == 5
        wanted = [
            words
            for name, state in states.items()
            for words in ((name,) if state == "proven" else (name, state_words(state)))
        ]
        assert drive.texts() == wanted


def test_a_blocked_bar_shows_the_reason_and_the_count_and_opens_as_one() -> None:
    with Driver() as drive:
        bar = SafeguardBar(
            guards=[Guard("a", "Wind", "proven")], reason="Fire watch is not at the post", left=3, total=9
        )
        drive.show(column(bar))
        assert drive.texts() == ["Heat is blocked", "Fire watch is not at the post", "3 of 9 left"]
        heard = Heard().on(bar, "on_open")
        drive.tap(bar)
        assert heard == [()]
        bar.reason = ""
        drive.settle()
        assert drive.texts() == ["Wind"]


def test_a_compact_bar_counts_the_proven_ones_and_names_the_others() -> None:
    guards = [Guard(str(place), f"Guard {place}", "proven") for place in range(6)] + [Guard("w", "Wind", "lapsed")]
    with Driver() as drive:
        drive.show(column(SafeguardBar(guards=guards, compact=True)))
        assert drive.texts() == ["6 proven", "Wind", "lapsed"]


def test_reasons_offer_the_act_that_clears_them() -> None:
    with Driver() as drive:
        reasons = ReasonList(
            reasons=[
                ReasonLine("wind", "The wind is not read", "Gusts lift the film", "Read the wind"),
                ReasonLine("smell", "It smells of gas", "Leave at once"),
            ]
        )
        drive.show(column(reasons))
        heard = Heard().on(reasons, "on_clear")
        drive.tap_text("Read the wind")
        assert heard == [("wind",)]
        assert [button.words for button in drive.all(BigButton) if not button.disabled] == ["Read the wind"]


@pytest.mark.parametrize(
    ("signal", "icon"), [("DANGER", "alert"), ("WARNING", "alert"), ("CAUTION", "alert"), ("NOTICE", "info")]
)
def test_a_signal_word_comes_with_its_sign_and_a_notice_without_the_triangle(signal: str, icon: str) -> None:
    # ANSI Z535.4: NOTICE is not about injury and carries no safety alert symbol.
    with Driver() as drive:
        drive.show(column(CautionPanel(signal=signal, words="Mind the strap.")))
        assert drive.texts() == [signal, "Mind the strap."]
        assert [each.name for each in drive.all(Icon) if each in drive.seen() and each.name] == [icon]


def test_a_number_that_waits_shows_what_it_waits_for_and_no_value() -> None:
    with Driver() as drive:
        tile = NumberTile(label="Film width", value="12 ft", why="2 × 66 in + 12 in", waits=["half beam", "ridge"])
        tiles = Tiles()
        tiles.add_widget(tile)
        drive.show(column(tiles))
        assert drive.texts() == ["Film width", "Waits for half beam, ridge"]
        tile.waits = []
        drive.settle()
        assert drive.texts() == ["Film width", "12 ft", "2 × 66 in + 12 in"]


def test_progress_says_the_stage_in_words() -> None:
    with Driver() as drive:
        drive.show(column(ProgressByStage(stages=[StageMark("Frame", 9, 9), StageMark("Film", 2, 8)], current=1)))
        assert drive.texts() == ["Stage 2 of 2: Film, 2 of 8 steps done"]


def test_strokes_are_whole_numbers_of_the_pad_and_stay_on_it() -> None:
    with Driver() as drive:
        pad = SignaturePad(who="Ana Ruiz", meaning="I did every step")
        drive.show(column(pad))
        heard = Heard().on(pad, "on_signed")
        drive.stroke(pad.ids.field, [(0.1, 0.5), (0.5, 0.9), (0.9, 2.0)])
        drive.stroke(pad.ids.field, [(0.5, 0.5), (0.5, 0.5)])
        assert pad.strokes == [[(1000, 5000), (5000, 9000), (9000, 10000)], [(5000, 5000)]]
        assert heard[-1] == (pad.strokes,)
        assert not pad.empty
        drive.tap_text("Clear and sign again")
        assert pad.strokes == []
        assert pad.empty


def test_a_stroke_that_begins_beside_the_pad_draws_nothing() -> None:
    with Driver() as drive:
        pad = SignaturePad(who="Ana Ruiz")
        drive.show(column(pad))
        drive.stroke(pad.ids.field, [(0.5, -0.3), (0.5, 0.5)])
        assert pad.strokes == []


@pytest.mark.parametrize(
    ("seconds", "shown"),
    [(0, "0:00"), (0.2, "0:01"), (59, "0:59"), (60, "1:00"), (3599.5, "1:00:00"), (3600, "1:00:00"), (-5, "0:00")],
)
def test_a_timer_never_shows_less_than_is_left(seconds: float, shown: str) -> None:
    assert figures(seconds) == shown


def test_a_timer_that_is_over_or_held_says_so() -> None:
    with Driver() as drive:
        face = TimerFace(left=30, total=60, label="Fire watch", note="Walk round")
        drive.show(column(face))
        assert drive.texts() == ["Fire watch", "0:30", "Walk round"]
        face.state = "held"
        drive.settle()
        assert "Held" in drive.texts()
        face.state = "over"
        drive.settle()
        assert "Time is over" in drive.texts()


def test_people_are_picked_and_the_barred_one_is_not() -> None:
    with Driver() as drive:
        crew = PersonTiles(
            people=[
                Person("ana", "Ana Ruiz", "Technician"),
                Person("joel", "Joel Baptiste", "Technician", "Cannot watch his own flame"),
            ]
        )
        drive.show(column(crew))
        heard = Heard().on(crew, "on_choose")
        drive.tap_text("Joel Baptiste")
        assert (crew.chosen, heard) == ("", [])
        assert "Cannot watch his own flame" in drive.texts()
        drive.tap_text("Ana Ruiz")
        assert (crew.chosen, heard) == ("ana", [("ana",)])


@pytest.mark.parametrize(("name", "letters"), [("Ana Ruiz", "AR"), ("Marta Ida Oduya", "MO"), ("Lars", "L"), ("", "")])
def test_initials(name: str, letters: str) -> None:
    assert initials(name) == letters


def test_a_photo_tile_asks_until_there_is_a_file(tmp_path: Path) -> None:
    photo = tmp_path / "vent.png"
    photo.write_bytes(png(2, 2, [b"\xff\0\0" * 2] * 2))
    with Driver() as drive:
        tile = PhotoTile(words="Fuel vent, taped")
        tiles = Tiles()
        tiles.add_widget(tile)
        drive.show(column(tiles))
        heard = Heard().on(tile, "on_take")
        drive.tap(tile)
        assert heard == [()]
        assert "Tap to take the photo" in drive.texts()
        tile.source = str(photo)
        drive.settle()
        assert drive.texts() == ["Fuel vent, taped"]


def test_a_counter_stays_within_its_bounds() -> None:
    with Driver() as drive:
        counter = Counter(label="Vents", value=1, least=0, most=2)
        drive.show(column(counter))
        heard = Heard().on(counter, "on_counted")
        more = drive.one(IconButton, lambda each: each.words == "More")
        for _ in range(4):
            drive.tap(more)
        assert (counter.value, heard) == (2, [(2,)])
        assert more.disabled


def test_the_top_bar_leads_back_and_offers_its_signs() -> None:
    with Driver() as drive:
        bar = TopBar(title="Dunlin", under="Frame", picks=[("steps", "list", "Steps")])
        drive.show(column(bar))
        back, pick = Heard().on(bar, "on_back"), Heard().on(bar, "on_pick")
        drive.tap(bar.ids.back)
        drive.tap(drive.one(IconButton, lambda each: each.words == "Steps"))
        assert (back, pick) == ([()], [("steps",)])


def test_a_row_leads_on() -> None:
    with Driver() as drive:
        row = ListRow(words="Dunlin", note="19 ft", badge="Shrink", badge_role="caution")
        drive.show(column(row))
        heard = Heard().on(row, "on_act")
        drive.tap_text("Shrink")
        assert heard == [()]


def test_a_dialog_answers_with_a_key_or_with_nothing_when_it_is_left() -> None:
    with Driver() as drive:
        drive.show(column(Paragraph(words="behind")))
        dialog = Dialog(title="Stop the job?", words="The flame is out.")
        dialog.offer("stop", "Stop safely", kind="danger")
        dialog.offer("back", "Go on")
        heard = Heard().on(dialog, "on_answer")
        dialog.open(animation=False)
        drive.settle()
        drive.tap_text("Stop safely")
        assert heard == [("stop",)]
        dialog.open(animation=False)
        drive.settle()
        drive.tap_at(5, 5)
        assert heard == [("stop",), ("",)]
        dialog.can_leave = False
        dialog.open(animation=False)
        drive.settle()
        drive.tap_at(5, 5)
        assert len(heard) == 2
        dialog.answer("back")


def test_a_field_takes_accents_and_no_more_than_its_length() -> None:
    with Driver() as drive:
        field = Field(label="Name", longest=8)
        drive.show(column(field))
        heard = Heard().on(field, "on_done")
        drive.tap(field.ids.entry)
        drive.type_text("Zoë Çà\b")
        assert field.text == "Zoë Ç"
        drive.type_text("abcdefgh")
        assert field.text == "Zoë Çabc"
        field.ids.entry.dispatch("on_text_validate")
        assert heard == [("Zoë Çabc",)]


def test_a_fitted_value_shrinks_and_then_wraps_but_is_never_cut() -> None:
    with Driver() as drive:
        value = Fitted(words="2 × 13 ft 6 in", size_hint_x=None, width=300)
        drive.show(column(value))
        value.largest, value.smallest = 80, 20  # after the .kv, which sets the theme's own
        assert 20 < value.font_size < 80
        assert natural_width(value.words, value.font_size) <= 300
        value.width = 60
        drive.settle()
        assert value.font_size == 20
        assert value.texture_size[0] <= 60
        assert value.height == value.texture_size[1] > 40


def test_a_body_whose_last_line_would_only_be_hidden_by_the_mark_has_no_mark() -> None:
    with Driver() as drive:
        filler = Widget(size_hint_y=None, height=2000)
        body = column(filler)
        drive.show(body)
        drive.settle()
        assert body.more
        filler.height -= body.wanted - body.height  # all of it fits, and would not beside the mark
        drive.settle()
        assert not body.more


def test_tiles_fill_their_rows_evenly_and_need_no_more_rows() -> None:
    for count in range(1, 30):
        for fit in range(1, 7):
            columns = Tiles.even(count, fit)
            assert columns <= fit
            rows = -(-count // columns)
            assert rows == -(-count // fit)
            assert columns == 1 or -(-count // (columns - 1)) > rows  # a column less would need a row more
    assert Tiles.even(4, 3) == 2


def test_a_body_says_that_there_is_more_until_its_end_is_seen() -> None:
    with Driver((800, 600)) as drive:
        body = column(*[Paragraph(words=f"Line {number}") for number in range(30)])
        drive.show(body)
        assert body.more
        assert "More below" in drive.texts()
        drive.reveal(drive.showing("Line 29"))
        body.ids.scroll.scroll_y = 0
        drive.settle()
        assert not body.more
        assert "Line 29" in drive.texts()
        assert "Line 0" not in drive.texts()


def test_a_body_written_in_kv_holds_what_is_written_in_it() -> None:
    with Driver((800, 600)) as drive:
        drive.show(
            Builder.load_string(
                "ScrollBody:\n    Paragraph:\n        words: 'one'\n    Paragraph:\n        words: 'two'"
            )
        )
        assert drive.texts() == ["one", "two"]
        assert drive.showing("one").parent is drive.by_id("column")


def test_a_finger_on_the_signature_draws_and_beside_it_scrolls() -> None:
    with Driver((800, 600)) as drive:
        pad = SignaturePad(who="Ana Ruiz", meaning="I did every step")
        body = column(Paragraph(words="Long text " * 80), pad)
        drive.show(body)
        drive.reveal(pad.ids.field)
        before = body.ids.scroll.scroll_y
        drive.stroke(pad.ids.field, [(0.5, 0.2), (0.5, 0.5), (0.5, 0.8)])
        assert pad.strokes == [[(5000, 2000), (5000, 5000), (5000, 8000)]]
        assert body.ids.scroll.scroll_y == before
        drive.drag([(400, 560), (400, 480), (400, 400), (400, 300)])
        assert body.ids.scroll.scroll_y != before


def test_two_panes_stand_beside_each_other_or_one_over_the_other() -> None:
    for size, across in (((1280, 800), True), ((800, 1280), False)):
        with Driver(size) as drive:
            pair = Pair(share=0.4, upright=0.3)
            first, second = Widget(), Widget()
            pair.add_widget(first)
            pair.add_widget(second)
            drive.show(pair)
            assert (first.right <= second.x + 1) is across
            assert (first.y >= second.top - 1) is not across
            share = first.width / size[0] if across else first.height / size[1]
            assert share == pytest.approx(0.4 if across else 0.3)


def test_sizes_follow_density_and_text_scale_while_shown() -> None:
    with Driver() as drive:
        button, words = BigButton(words="Done"), Paragraph(words="Read")
        drive.show(column(button, words))
        height, size = button.height, words.font_size
        Metrics.density = 1.5
        drive.settle()
        assert button.height == pytest.approx(1.5 * height, abs=2)
        assert words.font_size == pytest.approx(1.5 * size, abs=1)
        theme.scale = 1.2
        drive.settle()
        assert words.font_size == pytest.approx(1.8 * size, abs=2)


def test_dark_and_day_change_every_widget_at_once() -> None:
    with Driver((800, 600)) as drive:
        drive.show(
            column(
                BigButton(words="Done", kind="primary"),
                PictureView(drawing=cross_section(1.2, 1.0, 0.18), size_hint_y=None, height=300),
            )
        )
        day = drive.pixels()
        theme.dark = True
        drive.settle()
        dark = drive.pixels()
        assert day[:3] == bytes.fromhex(theme_hex("DAY"))
        assert dark[:3] == bytes.fromhex(theme_hex("DARK"))
        theme.dark = False
        drive.settle()
        assert drive.pixels() == day


def theme_hex(name: str) -> str:
    """The paper of a palette, as six digits."""
    from coach.view import palette

    return str(getattr(palette, name).paper).removeprefix("#")


def test_the_widgets_own_words_follow_the_language() -> None:
    with Driver() as drive:
        bar = SafeguardBar(guards=[Guard("a", "Wind", "missing")])
        drive.show(column(bar, Keypad(systems=True)))
        tongue.property("_").set(tongue, lambda words: f"¿{words}?")
        drive.settle()
        try:
            assert "¿missing?" in drive.texts()
            assert "¿Enter?" in drive.texts()
            assert "¿Enter metres instead?" in drive.texts()
        finally:
            tongue.use("en")


def test_a_shown_page_that_is_gone_is_not_kept_by_the_theme() -> None:
    import gc
    import weakref

    with Driver() as drive:
        view = PictureView(drawing=cross_section())
        drive.show(column(view, SafeguardBar(guards=[Guard("a", "Wind", "proven")])))
        gone = weakref.ref(view)
    del view
    gc.collect()
    assert gone() is None


def test_a_counter_s_label_stands_over_its_keys_where_a_word_finds_no_room_beside_them() -> None:
    with Driver((1280, 800)) as drive:
        counter = Counter(label="Sous-ventrières posées (au moins 2)", size_hint_x=None, width=110 * theme.mm)
        drive.show(counter)
        drive.settle()
        assert counter.stacked and cut_texts(drive) == []
        counter.width = 150 * theme.mm
        drive.settle()
        assert not counter.stacked and cut_texts(drive) == []


@pytest.mark.parametrize("icon", ["", "person"])
def test_a_row_s_badge_stands_under_its_lines_where_they_find_no_room_beside_it(icon: str) -> None:
    with Driver((800, 1280)) as drive:
        row = ListRow(words="Marta Oduya", note="MO · Superviseure, surveillance", icon=icon, badge_icon="lock")
        drive.show(column(row))
        for badge in ("non", "pas autorisée par le chantier cet hiver", "ok"):
            row.badge = badge
            drive.settle()
            assert row.under == (len(badge) > 9)
            assert cut_texts(drive) == []
            name = next(each for each in drive.all(Paragraph) if each.words == "Marta Oduya")
            assert name.height < 2 * theme.body, "the name stands on one line"
            assert drive.texts().count(badge) == 1
