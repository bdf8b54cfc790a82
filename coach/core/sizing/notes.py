"""What a front end says beside a number: where trade sayings and published data differ, and how fuel is kept.

Rules kept here: both sides of a disagreement are told, and the numbers follow the published one; each note has its
source. Texts are English templates without slots.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass


@dataclass(frozen=True)
class Note:
    """A short text beside a number: its id, the number's subject, the text, where it comes from."""

    id: str
    subject: str
    text: str
    source: str


NOTES: tuple[Note, ...] = (
    Note(
        "strap_stretch",
        "strap",
        "The trade says that the cord stretches 1 to 2 % just before it breaks. "
        "Published polyester yarn breaks near 13 %. "
        "Take 1 to 2 % as stretch at work. A strap that has hardly stretched may still be near its limit.",
        "fibre maker's comparative table; trade saying, no source",
    ),
    Note(
        "strap_sag",
        "strap",
        "A strap as tight as a guitar string sees more force under snow than one that may sag. "
        "Half the sag is twice the force.",
        "statics of a parabola",
    ),
    Note(
        "strap_both_sides",
        "strap",
        "Tighten a strap from both sides. Friction over a ridge board can leave the far side 40 % slacker.",
        "Euler-Eytelwein at 90 degrees and friction 0.3 (friction from memory)",
    ),
    Note(
        "film_load",
        "film",
        "The trade says that the thinnest film carries 256 lb on a square foot. "
        "That is true only where film spans about a foot. "
        "It is no capacity of the cover.",
        "membrane stress against the published strength of LDPE; trade saying, no source",
    ),
    Note(
        "slope_credit",
        "snow",
        "No snow code gives a slope credit below 15 degrees. Steeper sheds more.",
        "ASCE 7-16 figure 7.4-1; NBC 4.1.6.2",
    ),
    Note(
        "propane_rough",
        "heat",
        "The film itself takes about a tenth of the propane that is worked out here. "
        "The rest is a guess of what the flame loses, and may be far off.",
        "energy balance; no measured share is published",
    ),
    Note(
        "cylinder_cold",
        "fuel",
        "A cold cylinder starves before it is empty: what boils off cools the rest. "
        "Change it. Never warm it with the tool.",
        "Kohler TP-6727 appendix D; energy balance",
    ),
    Note(
        "cylinder_upright",
        "fuel",
        "Keep cylinders upright and tied, on the truck and at the boat.",
        "California 8 CCR 1740; 29 CFR 1926.350(a)(9)",
    ),
    Note(
        "cylinder_distance",
        "fuel",
        "Keep the flame at least 6 ft from a cylinder, and never point it at one.",
        "29 CFR 1926.153(h)",
    ),
    Note(
        "cylinder_outdoors",
        "fuel",
        "Store cylinders outdoors with their valves closed. Count an empty one as full.",
        "WAC 296-24-47513 (mirror of 29 CFR 1910.110(f))",
    ),
    Note(
        "leak_test",
        "fuel",
        "Test for leaks with soapy water, never with a flame.",
        "NFPA 58, from memory",
    ),
    Note(
        "leak_low",
        "fuel",
        "Propane is heavier than air. A leak runs to the lowest place and stays there.",
        "OSHA chemical data 563: vapour density 1.55",
    ),
    Note(
        "frame_check",
        "frame",
        "This is a check for a temporary cover. It is not an engineer's design.",
        "ours",
    ),
    Note(
        "vent_rule",
        "air",
        "The vent area is compared with a rule for attics. More vents never hurt.",
        "IRC R806.2; common practice, no source",
    ),
)

# Which subjects a function speaks of, by the file that it stands in.
SUBJECTS: dict[str, tuple[str, ...]] = {
    "air": ("air",),
    "belly": ("strap",),
    "film": ("film",),
    "girth": ("film", "snow"),
    "heat": ("heat", "fuel"),
    "snow": ("snow",),
    "strap": ("strap",),
    "thickness": ("film",),
    "upright": ("frame",),
}


def notes_beside(functions: Iterable[Callable[..., object]]) -> tuple[Note, ...]:
    """The notes that belong beside numbers worked by these sizing functions.

    Args:
        functions: functions of this folder; others have no notes.

    Returns:
        Each note once, in their order here.

    Raises:
        Nothing.

    Source: each note's own.
    """
    files = {function.__module__.rpartition(".")[2] for function in functions}
    subjects = {subject for file in files for subject in SUBJECTS.get(file, ())}
    return tuple(note for note in NOTES if note.subject in subjects)


def notes_on(subject: str) -> tuple[Note, ...]:
    """The notes on a subject.

    Args:
        subject: strap, film, snow, heat, fuel, frame or air.

    Returns:
        Its notes, none for an unknown subject.

    Raises:
        Nothing.

    Source: each note's own.
    """
    return tuple(note for note in NOTES if note.subject == subject)
