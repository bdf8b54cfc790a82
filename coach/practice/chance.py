"""Chance from a seed: the same numbers for the same seed on every machine and every version of the language.

Rules kept here:
 1. Only `Random.random` is used, whose sequence the language keeps for ever for the same seed; all else is made of it.
 2. A seed is the text of what it is drawn for, so two uses of one drill never share their numbers.
Knows nothing of: wind, people, drills.
"""

from __future__ import annotations

import hashlib
import math
from collections.abc import Sequence
from random import Random
from typing import TypeVar

T = TypeVar("T")


class Chance:
    """A source of numbers, drawn one after the other."""

    def __init__(self, *seed: object) -> None:
        digest = hashlib.sha256("/".join(str(part) for part in seed).encode()).digest()
        self._random = Random(int.from_bytes(digest[:8], "big"))
        self._spare: float | None = None

    def share(self) -> float:
        """A number from 0 up to, not including, 1, each as likely as the other."""
        return self._random.random()

    def between(self, low: float, high: float) -> float:
        """A number from low up to high, each as likely as the other."""
        return low + (high - low) * self.share()

    def whether(self, likely: float) -> bool:
        """Yes with this probability, 0 to 1."""
        return self.share() < likely

    def pick(self, from_: Sequence[T]) -> T:
        """One of these, each as likely as the other. Raises IndexError if there are none."""
        return from_[int(self.share() * len(from_))]

    def normal(self) -> float:
        """A number of the normal distribution with mean 0 and variance 1.

        Source: Box and Muller 1958, Annals of Mathematical Statistics 29, 610 (from memory).
        """
        if self._spare is not None:
            value, self._spare = self._spare, None
            return value
        radius = math.sqrt(-2 * math.log(1 - self.share()))
        turn = 2 * math.pi * self.share()
        self._spare = radius * math.sin(turn)
        return radius * math.cos(turn)
