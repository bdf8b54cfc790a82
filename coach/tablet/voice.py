"""Says texts aloud with the voice that the device has, in the reader's language; a device without one stays silent.

Rules kept here:
 1. The text never stands on a command line and no shell reads it: it goes to the voice's program as plain input.
 2. Nothing waits for the voice; a new text ends the one before it.
 3. Only a program that was found, by its full path, is started, and only what was started here is ever ended.
Knows nothing of: what is said, and when.
What was tried: espeak-ng on Linux. spd-say, SAPI and Android's own are written from their documentation, not tried.
"""

from __future__ import annotations

import importlib
import os
import shutil
import subprocess
import sys
from collections.abc import Callable, Mapping, Sequence
from typing import Any

# language of the app -> (espeak-ng and speech-dispatcher, the name of a culture of Windows, Android)
TONGUES: Mapping[str, tuple[str, str, str]] = {
    "en": ("en-us", "en-US", "en-US"),
    "es": ("es-419", "es-MX", "es-MX"),
    "fr": ("fr", "fr-CA", "fr-CA"),
    "pt": ("pt-br", "pt-BR", "pt-BR"),
    "ht": ("ht", "fr-FR", "ht-HT"),
}
# Reads its input to the end and says it; a culture without a voice is said by the voice that is there.
SAPI = (
    "[Console]::InputEncoding = [Text.Encoding]::UTF8; Add-Type -AssemblyName System.Speech; "
    "$voice = New-Object System.Speech.Synthesis.SpeechSynthesizer; "
    "try { $voice.SelectVoiceByHints('NotSet', 'NotSet', 0, [Globalization.CultureInfo]$env:COACH_VOICE) } catch { }; "
    "$voice.Speak([Console]::In.ReadToEnd())"
)

Command = Callable[[str], tuple[Sequence[str], Mapping[str, str]]]


def tongue_of(code: str) -> tuple[str, str, str]:
    """The names of a language for the voices; English for one they do not have."""
    return TONGUES.get(code.split("_")[0].split("-")[0], TONGUES["en"])


class Silent:
    """No voice."""

    name = ""

    def say(self, words: str, code: str) -> None:
        """Nothing is said."""

    def hush(self) -> None:
        """Nothing is ended."""


class ProgramVoice:
    """A voice that is a program: it gets the text as its input. command: the words of its line, and its variables."""

    def __init__(self, name: str, command: Command) -> None:
        self.name = name
        self._command = command
        self._saying: subprocess.Popen[bytes] | None = None

    def say(self, words: str, code: str) -> None:
        """Begin to say this; whatever was being said ends."""
        self.hush()
        line, variables = self._command(code)
        flags = getattr(subprocess, "CREATE_NO_WINDOW", 0)
        try:
            self._saying = subprocess.Popen(
                list(line),
                stdin=subprocess.PIPE,
                stdout=subprocess.DEVNULL,
                stderr=subprocess.DEVNULL,
                env={**os.environ, **variables},
                creationflags=flags,
            )
            assert self._saying.stdin is not None
            self._saying.stdin.write(words.encode("utf-8") + b"\n")  # far less than a pipe holds: it does not wait
            self._saying.stdin.close()
        except OSError:
            self.hush()  # a voice that went missing is silence, not a fault of the job

    def hush(self) -> None:
        """End what is being said here."""
        saying, self._saying = self._saying, None
        if saying is None:
            return
        if saying.poll() is None:
            saying.terminate()
        try:
            saying.wait(timeout=0.2)
        except subprocess.TimeoutExpired:
            saying.kill()
            saying.wait()


class AndroidVoice:
    """Android's own voice, by the bridge to Java that the toolkit brings there."""

    name = "Android"

    def __init__(self, bridge: Any) -> None:
        self._locale = bridge.autoclass("java.util.Locale")
        engine = bridge.autoclass("android.speech.tts.TextToSpeech")
        activity = bridge.autoclass("org.kivy.android.PythonActivity").mActivity
        self._flush = engine.QUEUE_FLUSH
        self._engine = engine(activity, None)

    def say(self, words: str, code: str) -> None:
        """Begin to say this; whatever was being said ends."""
        self._engine.setLanguage(self._locale.forLanguageTag(tongue_of(code)[2]))
        self._engine.speak(words, self._flush, None, "coach")

    def hush(self) -> None:
        """End what is being said."""
        self._engine.stop()


def _espeak(path: str) -> Command:
    return lambda code: ((path, "-v", tongue_of(code)[0], "-s", "150", "--stdin"), {})


def _dispatcher(path: str) -> Command:
    return lambda code: ((path, "-w", "-l", tongue_of(code)[0].split("-")[0], "-e"), {})


def _sapi(path: str) -> Command:
    return lambda code: ((path, "-NoProfile", "-NonInteractive", "-Command", SAPI), {"COACH_VOICE": tongue_of(code)[1]})


PROGRAMS: Mapping[str, tuple[tuple[str, Callable[[str], Command]], ...]] = {
    "linux": (("espeak-ng", _espeak), ("spd-say", _dispatcher)),
    "win32": (("powershell", _sapi),),
}


def device_voice(platform: str = sys.platform, path: str | None = None) -> Silent | ProgramVoice | AndroidVoice:
    """The voice of this device. path: where programs are looked for, the process's own if not given."""
    if "ANDROID_ARGUMENT" in os.environ:
        try:
            return AndroidVoice(importlib.import_module("jnius"))
        except Exception:  # noqa: BLE001  the bridge raises whatever Java raises; then there is no voice
            return Silent()
    for name, command in PROGRAMS.get(platform, ()):
        found = shutil.which(name, path=path)
        if found:
            return ProgramVoice(name, command(found))
    return Silent()
