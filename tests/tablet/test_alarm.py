"""Sound, flash and voice: the waves, the real voice program writing a file, the flash's pace, and the app by touch."""

from __future__ import annotations

import os
import shutil
import wave
from pathlib import Path

import numpy as np
import pytest

from coach import paths
from coach.language import LANGUAGES
from coach.tablet import tones, voice
from coach.tablet.alarm import Alarm
from coach.tablet.flash import Flash
from coach.tablet.screens.menu import menu_page
from coach.tablet.sound import Player
from coach.tablet.widgets.strip import CallingKey, RunningLine
from coach.tablet.wishes import Wishes
from coach.view.announce import CALL, TRIP, Notice
from tests.tablet.driver import Driver  # first: it sets the toolkit up
from tests.tablet.test_app import Boat, lit

Array = np.ndarray


def read(path: Path) -> tuple[int, Array]:
    """Samples a second, and the samples, of a wave file."""
    with wave.open(str(path), "rb") as file:
        return file.getframerate(), np.frombuffer(file.readframes(file.getnframes()), "<i2").astype(float)


@pytest.mark.parametrize("name", ["trip", "call"])
def test_the_shipped_sounds_are_those_of_the_arithmetic(name: str, tmp_path: Path) -> None:
    tones.write(tmp_path)
    rate, made = read(tmp_path / f"{name}.wav")
    shipped_rate, shipped = read(paths.assets() / "sounds" / f"{name}.wav")
    assert rate == shipped_rate == 22_050
    assert len(made) == len(shipped) and np.abs(made - shipped).max() <= 1  # a library's sine may round the other way


def test_the_trip_pulses_between_500_and_2500_hertz() -> None:
    """ISO 7731 (from memory): a danger signal has its strong parts between 500 and 2,500 Hz."""
    rate, data = read(paths.assets() / "sounds" / "trip.wav")
    power = np.abs(np.fft.rfft(data)) ** 2
    hertz = np.fft.rfftfreq(len(data), 1 / rate)
    inside = power[(hertz >= 500) & (hertz <= 2500)].sum() / power.sum()
    assert inside > 0.99
    assert np.abs(data).max() > 29_000


@pytest.fixture
def speaking(tmp_path: Path) -> Path:
    """A folder with the real espeak-ng, told to write what it says into a file; the command line is the app's own."""
    real = shutil.which("espeak-ng")
    assert real is not None, "espeak-ng is not installed; .ci/run installs it"
    made = tmp_path / "bin" / "espeak-ng"
    made.parent.mkdir()
    made.write_text(f'#!/bin/sh\nexec {real} -w "{tmp_path}/said.wav" "$@"\n')
    made.chmod(0o755)
    return made.parent


@pytest.mark.parametrize("code", LANGUAGES)
def test_the_devices_voice_says_it_in_the_readers_language(code: str, speaking: Path, tmp_path: Path) -> None:
    found = voice.device_voice("linux", str(speaking))
    assert isinstance(found, voice.ProgramVoice) and found.name == "espeak-ng"
    found.say("-w /etc/hostname; $(reboot) 13 min", code)  # what looks like an option or a command is only said
    assert found._saying is not None and found._saying.wait(20) == 0
    rate, data = read(tmp_path / "said.wav")
    assert len(data) / rate > 1.0 and np.abs(data).max() > 3_000
    found.hush()


def test_languages_sound_different(speaking: Path, tmp_path: Path) -> None:
    found = voice.device_voice("linux", str(speaking))
    assert isinstance(found, voice.ProgramVoice)
    heard = set()
    for code in LANGUAGES:
        found.say("Put the flame out, 3 minutes", code)
        assert found._saying is not None and found._saying.wait(20) == 0
        heard.add((tmp_path / "said.wav").read_bytes())
    assert len(heard) == len(LANGUAGES)


def test_a_device_without_a_voice_is_silent_and_a_voice_that_went_missing_breaks_nothing(tmp_path: Path) -> None:
    silent = voice.device_voice("linux", str(tmp_path))
    assert silent.name == ""
    silent.say("anything", "en")
    silent.hush()
    gone = voice.ProgramVoice("gone", lambda code: ((str(tmp_path / "gone"),), {}))
    gone.say("anything", "en")
    gone.hush()


def test_a_new_text_ends_the_one_before(tmp_path: Path) -> None:
    slow = voice.ProgramVoice("slow", lambda code: (("/bin/sh", "-c", "exec sleep 60"), {}))
    slow.say("first", "en")
    first = slow._saying
    assert first is not None and first.poll() is None
    slow.say("second", "en")
    assert first.poll() is not None
    second = slow._saying
    slow.hush()
    assert second is not None and second.poll() is not None


def test_each_voice_is_given_the_language_and_never_the_text() -> None:
    for code in (*LANGUAGES, "xx"):
        for platform in voice.PROGRAMS.values():
            for name, command in platform:
                line, variables = command(name)(code)
                assert line[0] == name and all(isinstance(word, str) for word in line)
                wanted = voice.tongue_of(code)
                told = " ".join([*line[1:], *variables.values()])
                assert any(own in told for own in (wanted[0], wanted[0].split("-")[0], wanted[1]))


class Ears:
    """Stands where the loudspeaker and the voice would: keeps what was to be heard."""

    name = "ears"

    def __init__(self) -> None:
        self.said: list[str] = []
        self.on = False
        self.calls = 0

    def say(self, words: str, code: str) -> None:
        self.said.append(words)

    def hush(self) -> None:
        pass

    def trip(self, on: bool) -> None:
        self.on = on

    def call(self) -> None:
        self.calls += 1


def heard(boat: Boat, wants_voice: bool = True) -> tuple[Ears, Flash]:
    """Listen to the app."""
    ears = Ears()
    shell = boat.app.shell  # type: ignore[attr-defined]
    shell.wishes.voice = wants_voice
    flash = Flash(shell.root)
    shell.alarm = Alarm(ears, flash, ears, lambda: shell.wishes.voice)
    return ears, flash


@pytest.fixture
def drive():  # type: ignore[no-untyped-def]
    with Driver((1280, 800)) as driver:
        yield driver


def rgb(drive: Driver) -> Array:
    return np.frombuffer(drive.pixels(), np.uint8).astype(int)


def test_a_trip_sounds_flashes_and_speaks_until_the_flame_is_out(drive: Driver, tmp_path: Path) -> None:
    boat = lit(drive, tmp_path)
    ears, flash = heard(boat)
    drive.tap_text("Something is lost")
    drive.tap_text("The fire watch left")
    assert ears.on
    assert [words.split(".")[0] for words in ears.said] == ["Take the flame off the film and let go of the trigger"]
    bright: list[bool] = []
    seen: dict[bool, Array] = {}
    for _frame in range(130):
        drive.frames()
        bright.append(flash.bright)
        if len(seen) < 2:
            seen[flash.bright] = rgb(drive)
    assert (np.abs(seen[True] - seen[False]).reshape(-1, 3).max(axis=1) > 20).mean() > 0.8  # the whole screen
    starts = [place for place in range(1, 130) if bright[place] and not bright[place - 1]]
    assert starts
    for second in range(70):
        assert len([start for start in starts if second <= start < second + 60]) <= 3  # WCAG 2.2, 2.3.1
    while not flash.bright:
        drive.frames()
    drive.tap_text("The flame is out, the tool is closed")  # touches go through the flash
    assert boat.kinds()[-1] == "flame_out"
    assert not ears.on and not flash.bright
    drive.pass_time(2)
    assert not flash.bright


def test_the_switch_silences_the_voice_and_neither_sound_nor_flash() -> None:
    ears = Ears()
    flashes: list[bool] = []
    alarm = Alarm(ears, flashes.append, ears, lambda: False)
    trip, call = Notice("trip 1", TRIP, "Out."), Notice("wind", CALL, "Look.")
    alarm.follow((call,), (call,))
    alarm.follow((trip,), (trip,))
    assert ears.on and flashes == [True] and ears.calls == 1 and ears.said == []
    alarm.stop()
    assert not ears.on and flashes == [True, False]


def test_the_wind_that_is_nearly_too_old_speaks_up_on_another_screen_and_one_touch_leads_to_it(
    drive: Driver, tmp_path: Path
) -> None:
    boat = Boat(drive, tmp_path, "weld-hem")
    ears, _flash = heard(boat)
    boat.enter()
    boat.app.shell.open(menu_page)  # type: ignore[attr-defined]
    drive.settle()
    boat.clock.pass_minutes(10)
    drive.pass_time(2)
    assert [line.figures for line in drive.all(RunningLine) if line.words.startswith("Wind")] == ["5 minutes"]
    assert not any("Wind" in words for words in ears.said)
    boat.clock.pass_minutes(3)
    drive.pass_time(2)
    assert any(words.startswith("Wind under the limit: holds for") for words in ears.said) and ears.calls >= 1
    key = next(each for each in drive.all(CallingKey) if each.words.startswith("Wind"))
    drive.tap(key)
    drive.settle()
    assert any("mean wind" in text.lower() or "wind meter" in text.lower() for text in drive.texts())
    before = len([words for words in ears.said if words.startswith("Wind")])
    boat.clock.pass_minutes(1.5)
    drive.pass_time(2)
    assert len([words for words in ears.said if words.startswith("Wind")]) == before  # taken note of


def test_the_players_of_the_toolkit_load_the_shipped_sounds(monkeypatch: pytest.MonkeyPatch) -> None:
    monkeypatch.setenv("SDL_AUDIODRIVER", "dummy")
    assert os.environ["SDL_AUDIODRIVER"] == "dummy"
    player = Player()
    player.prepare()
    assert player.works
    player.trip(True)
    assert player.sounding
    player.trip(False)
    assert not player.sounding
    player.call()


def test_a_device_that_cannot_play_is_silent(tmp_path: Path) -> None:
    player = Player(tmp_path)
    player.prepare()
    player.trip(True)
    player.call()
    assert not player.works and not player.sounding


def test_the_menu_switches_the_voice_and_keeps_it(drive: Driver, tmp_path: Path) -> None:
    boat = Boat(drive, tmp_path, "look-over")
    ears, _flash = heard(boat)
    boat.enter()
    boat.app.shell.open(menu_page)  # type: ignore[attr-defined]
    drive.settle()
    drive.showing("On: ears")
    drive.tap_text("Voice")
    drive.showing("Off. A trip still sounds and flashes.")
    assert not Wishes.load(tmp_path).voice and Wishes.load(tmp_path).motion
    (tmp_path / "tablet.json").write_text("[")
    assert Wishes.load(tmp_path).voice
    assert ears.said == []
