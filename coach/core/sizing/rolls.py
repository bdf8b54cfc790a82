"""Which sheet of film comes from which roll, so that least film is wasted.

Rules kept here:
 1. Waste is film that lands on no boat and is no use later: the strip beside a narrower sheet, the extra of a thicker
    roll, and the end of a roll that was cut into and is shorter than the least useful length. Longer ends are offcuts.
 2. A sheet that fits no roll is left out and told; leaving out is always dearer than any waste.
 3. Exact for small lists (said only when proven); beyond, the best of several starts, each bettered by moves and swaps,
    and never worse than first-fit decreasing.
 4. The search counts its own steps and has no clock: the same day gives the same list on every device.
Source: bin packing with bins of different sizes; first-fit decreasing as in `cutting`.
"""

from __future__ import annotations

from collections.abc import Callable, Sequence
from dataclasses import dataclass

from coach.core.sizing.constants import FOOT, Number
from coach.core.sizing.ranges import FILM_LENGTH, FILM_WIDTH, THICKNESS, Range, demand
from coach.core.sizing.rounding import NANO, nanometres

USEFUL = 12 * FOOT  # an end shorter than this covers no boat of ours; common practice, no source
STEPS = 200_000  # of the exact search
SMALL = 10  # sheets up to which the exact search is tried
PASSES = 12  # over all sheets when a plan is bettered
_LEFT_OUT = 1e6  # m3: dearer than any waste of film

_LEFT = Range("length left on the roll", "m", 0, 5000)


@dataclass(frozen=True)
class Roll:
    """A roll in stock: width, length left, thickness, m."""

    width: Number
    left: Number
    thickness: Number


@dataclass(frozen=True)
class Sheet:
    """A sheet to cut: least width, length, least thickness, m."""

    width: Number
    length: Number
    thickness: Number


@dataclass(frozen=True)
class RollPlan:
    """For each sheet the index of its roll, or None; waste, its lower bound and that of first-fit decreasing, m3."""

    homes: tuple[int | None, ...]
    waste: float
    bound: float
    first_fit: float
    is_proven: bool


def roll_plan(sheets: Sequence[Sheet], rolls: Sequence[Roll], useful: Number = USEFUL, steps: int = STEPS) -> RollPlan:
    """The assignment of sheets to rolls with the least waste found.

    Args:
        sheets: width 0.1 to 40 m, length 0.1 to 2000 m, thickness 1e-5 to 1e-3 m each.
        rolls: width 0.1 to 40 m, left 0 to 5000 m, thickness 1e-5 to 1e-3 m each.
        useful: the least length of an offcut that is kept, m, 0 to 5000.
        steps: of the exact search, 1 to 1e7.

    Returns:
        The plan. Waste counts only for sheets that have a roll; a list with fewer left out wins over one that wastes
        less, and no list with as few left out wastes less than the bound.

    Raises:
        QuantityError U301 to U303: a number outside its range.

    Source: as the head of this file.
    """
    demand((_LEFT, useful), (Range("search steps", "", 1, 10**7), steps))
    bench = _Bench(sheets, rolls, useful)
    first_fit = bench.greedy(bench.by_length, bench.first_fit)
    best = first_fit
    for order in (bench.by_length, bench.by_width, bench.by_area):
        for pick in (bench.first_fit, bench.least_extra):
            plan = bench.bettered(bench.greedy(order, pick))
            best = min(best, plan, key=bench.cost)
    is_proven = bench.cost(best) <= bench.bound + 1e-12
    if not is_proven and len(sheets) <= SMALL:
        best, is_proven = bench.searched(best, steps)
    waste = bench.waste(best)
    bound = waste if is_proven else min(waste, bench.bound - bench.left_out_for_certain)
    return RollPlan(tuple(best), waste, bound, bench.waste(first_fit), is_proven)


Homes = list[int | None]
Pick = Callable[[int, list[int]], int | None]


class _Bench:
    """Sheets and rolls in whole nanometres, what each pair wastes, and the ways of assigning them."""

    def __init__(self, sheets: Sequence[Sheet], rolls: Sequence[Roll], useful: Number) -> None:
        for sheet in sheets:
            demand((FILM_WIDTH, sheet.width), (FILM_LENGTH, sheet.length), (THICKNESS, sheet.thickness))
        for roll in rolls:
            demand((FILM_WIDTH, roll.width), (_LEFT, roll.left), (THICKNESS, roll.thickness))
        self.lengths = [nanometres(sheet.length, up=True) for sheet in sheets]
        self.lefts = [nanometres(roll.left, up=False) for roll in rolls]
        self.useful = nanometres(useful, up=True)
        self.section = [float(roll.width) * float(roll.thickness) / NANO for roll in rolls]  # m3 a nanometre
        sheet_sizes = [
            (nanometres(s.width, up=True), float(s.width), float(s.thickness), float(s.length)) for s in sheets
        ]
        roll_sizes = [(nanometres(r.width, up=False), float(r.width), float(r.thickness)) for r in rolls]
        self.extra = [
            [self._extra(i, r, sheet, roll) for r, roll in enumerate(roll_sizes)] for i, sheet in enumerate(sheet_sizes)
        ]
        count = range(len(sheets))
        self.by_length = sorted(count, key=lambda i: (-self.lengths[i], i))
        self.by_width = sorted(count, key=lambda i: (-sheets[i].width, -self.lengths[i], i))
        self.by_area = sorted(count, key=lambda i: (-float(sheets[i].width) * self.lengths[i], i))
        self.narrow_first = sorted(
            range(len(rolls)), key=lambda r: (rolls[r].width, rolls[r].thickness, self.lefts[r], r)
        )
        least = [min((e for e in row if e is not None), default=_LEFT_OUT) for row in self.extra]
        self.bound = sum(least)
        self.left_out_for_certain = sum(e for e in least if e == _LEFT_OUT)
        self.least = least

    def _extra(
        self, i: int, r: int, sheet: tuple[int, float, float, float], roll: tuple[int, float, float]
    ) -> float | None:
        """Film wasted beside this sheet on this roll, m3; None if it does not fit."""
        least_width, width, thickness, length = sheet
        roll_width, wide, thick = roll
        if roll_width < least_width or thick < thickness * (1 - 1e-9) or self.lefts[r] < self.lengths[i]:
            return None
        return max(0.0, wide * thick - width * thickness) * length

    def tail(self, roll: int, left: int) -> float:
        """Film wasted as a useless end of a roll that was cut into, m3."""
        cut_into = left < self.lefts[roll]
        return left * self.section[roll] if cut_into and left < self.useful else 0.0

    def left_of(self, homes: Homes) -> list[int]:
        """What is left on each roll."""
        left = list(self.lefts)
        for i, roll in enumerate(homes):
            if roll is not None:
                left[roll] -= self.lengths[i]
        return left

    def piece(self, i: int, roll: int | None) -> float:
        """What a sheet costs on a roll, or left out."""
        extra = self.extra[i][roll] if roll is not None else None
        return _LEFT_OUT if extra is None else extra

    def cost(self, homes: Homes) -> float:
        """Waste, and the dear price of every sheet left out, m3."""
        tails = sum(self.tail(roll, left) for roll, left in enumerate(self.left_of(homes)))
        return sum(self.piece(i, roll) for i, roll in enumerate(homes)) + tails

    def waste(self, homes: Homes) -> float:
        """Waste alone, m3."""
        return self.cost(homes) - _LEFT_OUT * homes.count(None)

    def greedy(self, order: Sequence[int], pick: Pick) -> Homes:
        """Each sheet in turn goes where `pick` says."""
        homes: Homes = [None] * len(self.lengths)
        left = list(self.lefts)
        for i in order:
            homes[i] = pick(i, left)
            if (roll := homes[i]) is not None:
                left[roll] -= self.lengths[i]
        return homes

    def open_to(self, i: int, left: list[int]) -> list[int]:
        """The rolls that this sheet still fits on, narrowest first."""
        return [r for r in self.narrow_first if self.extra[i][r] is not None and left[r] >= self.lengths[i]]

    def first_fit(self, i: int, left: list[int]) -> int | None:
        """The narrowest roll that it fits on."""
        return next(iter(self.open_to(i, left)), None)

    def least_extra(self, i: int, left: list[int]) -> int | None:
        """The roll that wastes least now, the fullest use of it first."""
        open_rolls = self.open_to(i, left)
        return min(
            open_rolls,
            key=lambda r: (
                self.piece(i, r) + self.tail(r, left[r] - self.lengths[i]) - self.tail(r, left[r]),
                left[r],
                r,
            ),
            default=None,
        )

    def bettered(self, homes: Homes) -> Homes:
        """The plan after moves and swaps that lower its cost, until none does."""
        homes, left = list(homes), self.left_of(homes)
        for _ in range(PASSES):
            changed = False
            for i in range(len(homes)):
                changed |= self._move(homes, left, i)
            for i in range(len(homes)):
                for j in range(i):
                    changed |= self._swap(homes, left, i, j)
            if not changed:
                break
        return homes

    def _move(self, homes: Homes, left: list[int], i: int) -> bool:
        """Moves one sheet to the roll that lowers the cost most; whether it did."""
        here = homes[i]
        if here is not None:
            left[here] += self.lengths[i]
        base = self.piece(i, here) + (self._tail_change(left, here, self.lengths[i]))
        best, best_cost = here, base
        for roll in self.open_to(i, left):
            cost = self.piece(i, roll) + self._tail_change(left, roll, self.lengths[i])
            if cost < best_cost - 1e-12:
                best, best_cost = roll, cost
        homes[i] = best
        if best is not None:
            left[best] -= self.lengths[i]
        return best != here

    def _tail_change(self, left: list[int], roll: int | None, length: int) -> float:
        if roll is None:
            return 0.0
        return self.tail(roll, left[roll] - length) - self.tail(roll, left[roll])

    def _swap(self, homes: Homes, left: list[int], i: int, j: int) -> bool:
        """Swaps the rolls of two sheets if that lowers the cost; whether it did."""
        a, b = homes[i], homes[j]
        if a == b:
            return False
        if (b is not None and self.extra[i][b] is None) or (a is not None and self.extra[j][a] is None):
            return False
        delta = self.lengths[i] - self.lengths[j]
        new_a = None if a is None else left[a] + delta
        new_b = None if b is None else left[b] - delta
        if (new_a is not None and new_a < 0) or (new_b is not None and new_b < 0):
            return False
        before = self.piece(i, a) + self.piece(j, b) + sum(self.tail(r, left[r]) for r in (a, b) if r is not None)
        after = self.piece(i, b) + self.piece(j, a)
        after += sum(self.tail(r, n) for r, n in ((a, new_a), (b, new_b)) if r is not None and n is not None)
        if after >= before - 1e-12:
            return False
        homes[i], homes[j] = b, a
        if a is not None and new_a is not None:
            left[a] = new_a
        if b is not None and new_b is not None:
            left[b] = new_b
        return True

    def searched(self, best: Homes, steps: int) -> tuple[Homes, bool]:
        """The best plan by depth-first search with a bound, and whether the whole tree was searched."""
        order = self.by_area
        rest = [0.0] * (len(order) + 1)
        for k in range(len(order) - 1, -1, -1):
            rest[k] = rest[k + 1] + self.least[order[k]]
        found, best_cost, spent = list(best), self.cost(best), 0
        stack: list[tuple[int, float, Homes, list[int]]] = [(0, 0.0, [None] * len(order), list(self.lefts))]
        while stack:
            k, cost, homes, left = stack.pop()
            spent += 1
            if spent > steps:
                return found, False
            if cost + rest[k] >= best_cost - 1e-12:
                continue
            if k == len(order):
                whole = cost + sum(self.tail(r, n) for r, n in enumerate(left))
                if whole < best_cost - 1e-12:
                    found, best_cost = homes, whole
                continue
            stack.extend(self._branches(order[k], k, cost, homes, left))
        return found, True

    def _branches(
        self, i: int, k: int, cost: float, homes: Homes, left: list[int]
    ) -> list[tuple[int, float, Homes, list[int]]]:
        """Every roll that this sheet may go to, equal rolls once, the cheapest last and so tried next."""
        choices: list[int | None] = [None]
        seen = set()
        for roll in self.open_to(i, left):
            kind = (self.section[roll], left[roll], left[roll] == self.lefts[roll], self.extra[i][roll])
            if kind not in seen:
                seen.add(kind)
                choices.append(roll)
        branches = []
        for choice in sorted(choices, key=lambda r: -self.piece(i, r)):
            new_left, new_homes = list(left), list(homes)
            new_homes[i] = choice
            if choice is not None:
                new_left[choice] -= self.lengths[i]
            branches.append((k + 1, cost + self.piece(i, choice), new_homes, new_left))
        return branches
