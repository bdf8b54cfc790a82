"""Cutting pieces from equal stock lengths with the fewest lengths: exact for small lists, bounded beyond.

Rules kept here:
 1. Every plan carries a lower bound; `is_proven` says that no plan is better, and is never said without proof.
 2. Lengths are taken to whole nanometres, pieces up and stock down, so that no piece comes out short.
 3. No plan is worse than first-fit decreasing, which needs at most 11/9 of the best plus 6/9 (Dosa 2007).
 4. The search counts its own steps and has no clock: the same list gives the same plan on every device.
Source: bound L2 and reduction after S. Martello and P. Toth, Knapsack Problems (1990), ch. 8; bin completion after
    R. Korf (AAAI 2002). Instances with known optimum in tests/core/sizing/test_cutting.py.
"""

from __future__ import annotations

from collections.abc import Sequence
from dataclasses import dataclass
from fractions import Fraction

from coach.core.problems import Problem, QuantityError
from coach.core.sizing.constants import Number
from coach.core.sizing.ranges import Range, demand, length_shown
from coach.core.sizing.rounding import NANO, nanometres

STEPS = 20_000  # of the exact search before it settles for the best plan found
SMALL = 60  # pieces up to which the exact search is tried
FILL_STEPS = 30_000  # of all fullest-fit starts together
NUDGE = 0.3  # by how much of itself a piece's rank is nudged, up and down together, in starts after the first
_PIECE = Range("piece", "m", Fraction(1, 1000), 2000)
_STOCK = Range("stock length", "m", Fraction(1, 1000), 2000)


@dataclass(frozen=True)
class CutPlan:
    """Which pieces are cut from which stock length. bins: for each stock length the indices of its pieces."""

    bins: tuple[tuple[int, ...], ...]
    bound: int
    is_proven: bool

    @property
    def count(self) -> int:
        """How many stock lengths are used."""
        return len(self.bins)

    def left(self, pieces: Sequence[Number], stock: Number) -> tuple[Number, ...]:
        """What remains of each stock length, in the unit of `pieces`."""
        return tuple(stock - sum(pieces[i] for i in group) for group in self.bins)


def cut_plan(pieces: Sequence[Number], stock: Number, steps: int = STEPS) -> CutPlan:
    """The fewest stock lengths for the pieces, or the best plan found with its bound.

    Args:
        pieces: m, 0.001 to 2000 each, none longer than the stock; may be empty.
        stock: m, 0.001 to 2000.
        steps: of the search, 1 to 1e7.

    Returns:
        The plan; `is_proven` if its count is the least possible.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U330: a piece longer than the stock.

    Source: as the head of this file.
    """
    sizes, capacity = _whole(pieces, stock)
    demand((Range("search steps", "", 1, 10**7), steps))
    if not sizes:
        return CutPlan((), 0, True)
    order = sorted(range(len(sizes)), key=lambda i: (-sizes[i], i))
    falling = [sizes[i] for i in order]
    bound = lower_bound_of(falling, capacity)
    best = _first_fit(falling, capacity)
    if len(best) > bound:
        best = _best_fill(falling, capacity, best, bound)
    is_proven = len(best) == bound
    if not is_proven and len(falling) <= SMALL:
        search = _Search(falling, capacity, bound, best, steps)
        best, is_proven = search.run()
        bound = len(best) if is_proven else bound
    return CutPlan(tuple(tuple(order[i] for i in group) for group in best), bound, is_proven)


def first_fit_decreasing(pieces: Sequence[Number], stock: Number) -> CutPlan:
    """The plan of first-fit decreasing: longest piece first, each into the first stock length with room.

    Args:
        pieces, stock: as `cut_plan`.

    Returns:
        The plan with the lower bound.

    Raises:
        QuantityError: as `cut_plan`.

    Source: at most 11/9 of the best plus 6/9, G. Dosa, ESCAPE 2007.
    """
    sizes, capacity = _whole(pieces, stock)
    order = sorted(range(len(sizes)), key=lambda i: (-sizes[i], i))
    falling = [sizes[i] for i in order]
    bins = _first_fit(falling, capacity)
    bound = lower_bound_of(falling, capacity)
    return CutPlan(tuple(tuple(order[i] for i in group) for group in bins), bound, len(bins) == bound)


def worst_of_first_fit(best: int) -> int:
    """The most stock lengths that first-fit decreasing may take where the best takes `best`.

    Args:
        best: 0 to 1e6.

    Returns:
        The floor of 11/9 best + 6/9.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: G. Dosa, ESCAPE 2007; G. Dosa et al., Theor. Comput. Sci. 2013: tight.
    """
    demand((Range("best count", "", 0, 1_000_000), best))
    return (11 * best + 6) // 9


def lower_bound_of(sizes: Sequence[int], capacity: int) -> int:
    """No plan takes fewer stock lengths than this: Martello and Toth's L2.

    Args:
        sizes: whole numbers, each from 1 to `capacity`, in falling order.
        capacity: a whole number, 1 or more.

    Returns:
        The bound, never under the sum over the capacity.

    Raises:
        Nothing; sizes are checked by the callers.

    Source: S. Martello and P. Toth, Discrete Applied Mathematics 28 (1990) 59.
    """
    best = -(-sum(sizes) // capacity)
    for small in sorted({size for size in sizes if 2 * size <= capacity} | {0}):
        large = sum(1 for size in sizes if size > capacity - small)
        middle = [
            size for size in sizes if capacity >= 2 * size >= 2 * small or capacity - small >= size > capacity / 2
        ]
        halves = sum(1 for size in middle if 2 * size > capacity)
        room = halves * capacity - sum(size for size in middle if 2 * size > capacity)
        rest = sum(size for size in middle if 2 * size <= capacity)
        best = max(best, large + halves + max(0, -(-(rest - room) // capacity)))
    return best


def _whole(pieces: Sequence[Number], stock: Number) -> tuple[list[int], int]:
    """Pieces and stock as whole nanometres, checked."""
    demand((_STOCK, stock), *((_PIECE, piece) for piece in pieces))
    capacity = nanometres(stock, up=False)
    sizes = [nanometres(piece, up=True) for piece in pieces]
    longest = max(sizes, default=0)
    if longest > capacity:
        what = "a piece of %(piece)s does not fit a stock length of %(stock)s"
        why, mend = "a piece is cut whole", "order a longer stock length, or join two pieces"
        slots: dict[str, object] = {"piece": length_shown(longest / NANO), "stock": length_shown(capacity / NANO)}
        raise QuantityError(Problem("U330", what, why, mend, None, slots))
    return sizes, capacity


def _first_fit(falling: Sequence[int], capacity: int) -> list[list[int]]:
    bins: list[list[int]] = []
    room: list[int] = []
    for i, size in enumerate(falling):
        spot = next((k for k, left in enumerate(room) if left >= size), None)
        if spot is None:
            bins.append([i])
            room.append(capacity - size)
        else:
            bins[spot].append(i)
            room[spot] -= size
    return bins


def _best_fill(falling: Sequence[int], capacity: int, best: list[list[int]], bound: int) -> list[list[int]]:
    """The best of many fullest-fit starts, each with the pieces' ranks nudged by the same fixed sequence."""
    fill = _Fill(capacity, FILL_STEPS)
    ranks, state = list(range(len(falling))), 0
    while fill.steps > 0 and len(best) > bound:
        bins = fill.start([(i, falling[i]) for i in ranks])
        if bins is not None and len(bins) < len(best):
            best = bins
        keys = []
        for size in falling:
            state = (state * 6364136223846793005 + 1442695040888963407) % 2**64  # Knuth's MMIX sequence
            keys.append(size * (1 + NUDGE * (state / 2**64 - 0.5)))
        ranks = sorted(range(len(falling)), key=lambda i: -keys[i])
    return best


class _Fill:
    """Fullest fit: each stock length takes the first piece left and the fullest set that joins it."""

    def __init__(self, capacity: int, steps: int) -> None:
        self.capacity, self.steps = capacity, steps

    def start(self, pieces: list[tuple[int, int]]) -> list[list[int]] | None:
        """The groups of (index, size) pieces in this order; None if the steps ran out on the way."""
        bins = []
        while pieces:
            if self.steps <= 0:
                return None
            first, size = pieces[0]
            group = [first, *self._fullest(pieces[1:], self.capacity - size)]
            bins.append(group)
            taken = set(group)
            pieces = [piece for piece in pieces if piece[0] not in taken]
        return bins

    def _fullest(self, pieces: list[tuple[int, int]], room: int) -> tuple[int, ...]:
        """The fullest set of pieces for a room, by a bounded search that takes earlier pieces first."""
        best: tuple[int, ...] = ()
        best_size, spent = 0, 0
        stack: list[tuple[int, int, tuple[int, ...]]] = [(0, 0, ())]
        while stack and best_size < room and spent < 1_000:
            start, used, chosen = stack.pop()
            spent += 1 + (len(pieces) - start) // 40
            if used > best_size:
                best, best_size = chosen, used
            options, seen = [], set()
            for k in range(start, len(pieces)):
                index, size = pieces[k]
                if size not in seen and used + size <= room:
                    options.append((k + 1, used + size, (*chosen, index)))
                    seen.add(size)
            stack.extend(reversed(options))
        self.steps -= spent + 1
        return best


class _Search:
    """Depth-first bin completion: each stock length takes the longest piece left and one undominated set with it."""

    def __init__(self, falling: Sequence[int], capacity: int, bound: int, best: list[list[int]], steps: int) -> None:
        self.falling, self.capacity, self.bound = falling, capacity, bound
        self.best, self.steps, self.spent = best, steps, 0
        self.seen: set[tuple[int, ...]] = set()

    def run(self) -> tuple[list[list[int]], bool]:
        """The best plan found, and whether the whole tree was searched."""
        finished = self._go(list(range(len(self.falling))), [])
        return self.best, finished

    def _go(self, left: list[int], bins: list[list[int]]) -> bool:
        """Searches below a partial plan; False when the steps ran out."""
        if not left:
            if len(bins) < len(self.best):
                self.best = [list(group) for group in bins]
            return True
        self.spent += 1
        if self.spent > self.steps:
            return False
        sizes = [self.falling[i] for i in left]
        if len(bins) + lower_bound_of(sizes, self.capacity) >= len(self.best):
            return True
        key = (len(bins), *sizes)
        if key in self.seen:
            return True
        groups: list[tuple[int, list[int]]] = []
        if not self._extend(left, 1, self.capacity - self.falling[left[0]], [left[0]], groups):
            return False
        for _, group in sorted(groups):
            taken = set(group)
            if not self._go([i for i in left if i not in taken], [*bins, group]):
                return False
            if len(self.best) == self.bound:
                return True
        self.seen.add(key)
        return True

    def _extend(
        self, left: list[int], start: int, room: int, group: list[int], found: list[tuple[int, list[int]]]
    ) -> bool:
        """Notes every set with the longest piece that no piece left out could still join; False if steps ran out."""
        self.spent += 1
        if self.spent > self.steps:
            return False
        before = None
        for k in range(start, len(left)):
            size = self.falling[left[k]]
            if size <= room and size != before:
                before = size
                if not self._extend(left, k + 1, room - size, [*group, left[k]], found):
                    return False
        chosen = set(group)
        smallest = min((self.falling[i] for i in left if i not in chosen), default=room + 1)
        if smallest > room:
            found.append((room, group))
        return True
