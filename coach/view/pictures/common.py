"""What the pictures share: how a length is written, how a missing measure looks.

Rules kept here:
 1. A measure that is None is not known yet: the picture takes a typical one, greys what hangs on it, and shows '?'.
 2. Lengths go through the function `show` that is handed in; words are translated as the picture is made.
"""

from __future__ import annotations

from collections.abc import Callable
from dataclasses import dataclass

Show = Callable[[float], str]


def metres(value: float) -> str:
    """A length in metres, to the centimetre."""
    return f"{value:.2f} m"


@dataclass(frozen=True)
class Measured:
    """A length for the picture: its value in metres, and whether somebody measured it."""

    value: float
    known: bool

    def style(self, name: str) -> str:
        """The style of a line that hangs on this measure."""
        return name if self.known else "unknown"

    def body(self, name: str) -> str:
        """The style of a filled shape that hangs on this measure."""
        return name if self.known else "unknown-body"

    def words(self, label: str, show: Show) -> str:
        """The label and the value under it, '?' where nobody measured; the label alone where `show` says nothing."""
        return f"{label}\n{show(self.value) if self.known else '?'}".rstrip()


def measured(value: float | None, typical: float) -> Measured:
    """The measure itself, or a typical one that is marked as not known."""
    return Measured(typical, False) if value is None else Measured(float(value), True)


def all_known(*measures: Measured) -> Measured:
    """A stand-in that is known when every one of these is; its value means nothing."""
    return Measured(0.0, all(measure.known for measure in measures))
