"""The two sounds of the app as waves made by arithmetic; `python -m coach.tablet.tones FOLDER` writes them as files.

Rules kept here:
 1. The trip's sound pulses between two tones inside 500 to 2,500 Hz, twice a second, and can be looped without a click.
 2. Nothing sounds like a fire alarm's slow whoop or an evacuation signal (three long pulses).
Source: ISO 7731, danger signals (from memory): parts between 500 and 2,500 Hz, pulsing at 0.2 to 5 Hz.
"""

from __future__ import annotations

import io
import math
import struct
import sys
import wave
from pathlib import Path

RATE = 22_050  # samples a second
LOUD = 0.9
EDGE = 0.008  # s in which a tone swells and dies, so that it does not click
# (Hz, s) one after the other; 0 Hz is silence.
TRIP = ((1000.0, 0.25), (750.0, 0.25), (1000.0, 0.25), (750.0, 0.25))
CALL = ((660.0, 0.16), (0.0, 0.04), (880.0, 0.24))
NAMES_OF = {"trip": TRIP, "call": CALL}


def samples(tones: tuple[tuple[float, float], ...]) -> list[int]:
    """The tones as 16-bit samples, each a whole swell of its own."""
    made: list[int] = []
    for pitch, seconds in tones:
        count = round(RATE * seconds)
        for place in range(count):
            near = min(place, count - 1 - place) / RATE
            swell = min(1.0, near / EDGE)
            made.append(round(32_767 * LOUD * swell * math.sin(2 * math.pi * pitch * place / RATE)))
    return made


def wave_bytes(tones: tuple[tuple[float, float], ...]) -> bytes:
    """The tones as a wave file: one channel, 16 bits."""
    data = samples(tones)
    held = io.BytesIO()
    with wave.open(held, "wb") as file:
        file.setnchannels(1)
        file.setsampwidth(2)
        file.setframerate(RATE)
        file.writeframes(struct.pack(f"<{len(data)}h", *data))
    return held.getvalue()


def write(folder: Path) -> None:
    """Write both sounds into a folder."""
    folder.mkdir(parents=True, exist_ok=True)
    for name, tones in NAMES_OF.items():
        (folder / f"{name}.wav").write_bytes(wave_bytes(tones))


if __name__ == "__main__":
    write(Path(sys.argv[1]))
