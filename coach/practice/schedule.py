"""When a question comes again: the SM-2 algorithm as its author published it, in whole thousandths and days.

Rules kept here:
 1. Intervals are 1 day, 6 days, then the one before times the easiness, rounded up to whole days.
 2. The easiness begins at 2.5, moves with the quality of each answer, and never falls under 1.3.
 3. An answer of quality under 3 begins the repetitions anew without changing the easiness.
 4. Within one day all questions answered under 4 are asked again until they score 4; that changes no interval.
Source: P. A. Wozniak, Optimization of learning, Poznan 1990, chapter 3.2, read in a copy of the author's page. The text
leaves open which easiness makes the n-th interval; here it is the one before the answer, in the order of its steps, as
two published packages have it.
Knows nothing of: questions, people, clocks.
"""

from __future__ import annotations

from collections.abc import Callable, Iterable
from dataclasses import dataclass, replace

FIRST, SECOND = 1, 6  # days
BEGINS, LEAST = 2500, 1300  # easiness in thousandths
ANEW, AGAIN = 3, 4  # qualities under these begin anew, and are asked again the same day
BEST = 5


@dataclass(frozen=True)
class Memory:
    """How one question stands. repetition: answers in a row; easiness in thousandths; interval in days."""

    repetition: int = 0
    easiness: int = BEGINS
    interval: int = 0


def eased(easiness: int, quality: int) -> int:
    """The easiness after an answer: EF + (0.1 - (5 - q) (0.08 + (5 - q) 0.02)), never under 1.3; 4 changes nothing."""
    lack = BEST - quality
    return max(LEAST, easiness + 100 - lack * (80 + lack * 20))


def reviewed(memory: Memory, quality: int) -> Memory:
    """How a question stands after an answer.

    Args:
        memory: how it stood.
        quality: 5 perfect, 4 right after a hesitation, 3 right with difficulty, 2 wrong but easy, 1 wrong, 0 blank.

    Raises:
        ValueError: quality is not from 0 to 5.
    """
    if not 0 <= quality <= BEST:
        raise ValueError(quality)
    if quality < ANEW:
        return replace(memory, repetition=0, interval=FIRST)
    first = {0: FIRST, 1: SECOND}
    interval = first.get(memory.repetition) or -(-memory.interval * memory.easiness // 1000)
    return Memory(memory.repetition + 1, eased(memory.easiness, quality), interval)


def day_of_questions(cards: Iterable[str], answer: Callable[[str, bool], int]) -> dict[str, int]:
    """One day's session: each question once, then all that scored under 4 again until they score 4.

    Args:
        cards: the questions of the day.
        answer: asks one and gives the quality; its second argument says whether it is asked again today.

    Returns:
        The quality of each first answer, which is the one that counts.
    """
    first = {card: answer(card, False) for card in cards}
    weak = [card for card, quality in first.items() if quality < AGAIN]
    while weak:
        weak = [card for card in weak if answer(card, True) < AGAIN]
    return first
