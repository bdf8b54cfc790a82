"""The day's load for the truck: what each boat takes, cut from the yard's stock with least waste.

Rules kept here:
 1. Film is cut by `rolls.roll_plan`: proven best for a small day, never worse than first-fit decreasing beyond.
 2. A boat wider than every roll gets two films joined with a welded lap, if a pair is there.
 3. What the stock does not hold is told as a shortage; nothing is left out in silence.
Knows nothing of: procedures, files, how lines are drawn (loadtext, the sheet and the app show them).
"""

from __future__ import annotations

from collections.abc import Mapping, Sequence
from dataclasses import dataclass, replace

from coach.core.problems import Problem, QuantityError
from coach.core.sizing.constants import FOOT, MIL, Number
from coach.core.sizing.cutting import CutPlan, cut_plan
from coach.core.sizing.film import WELDED_LAP, two_films
from coach.core.sizing.heat import USABLE_SHARE
from coach.core.sizing.ranges import COUNT, FILM_LENGTH, FILM_WIDTH, THICKNESS, demand
from coach.core.sizing.rolls import USEFUL, Roll, RollPlan, Sheet, roll_plan
from coach.core.sizing.thickness import USUAL_DENSITY
from coach.core.sizing.upright import POST_LENGTH
from coach.yard.stock import CONTENTS, LEFT, Cylinder, Stock

USUAL_FILM = 7 * MIL
USED_UP = ("buckles", "staples", "vents", "doors")  # counted things that stay on the boat
DOORS_EACH = 1  # a door a boat, unless the boat says otherwise; common practice, no source
KERF = FOOT / 96  # m lost to each saw cut, 1/8 in; ours


@dataclass(frozen=True)
class Requirement:
    """What one boat takes, SI: film, strap in all, upright lengths, tape, propane, and counted things."""

    boat: str
    film_width: Number
    film_length: Number
    thickness: Number = USUAL_FILM
    strap: Number = 0
    uprights: tuple[Number, ...] = ()
    tape: Number = 0
    propane: Number = 0
    buckles: int = 0
    staples: int = 0
    vents: int = 0
    doors: int = DOORS_EACH


@dataclass(frozen=True)
class FilmCut:
    """One sheet: whose, from which roll, least width, length, thickness; part 1 or 2 of a joined cover, else 0."""

    boat: str
    roll: str
    width: Number
    length: Number
    thickness: Number
    part: int = 0


@dataclass(frozen=True)
class Offcut:
    """What is left of a roll or coil after the day, and whether it is long enough to keep."""

    id: str
    left: Number
    is_useful: bool = True


@dataclass(frozen=True)
class StrapCut:
    """Strap for a boat from one coil, m."""

    boat: str
    coil: str
    length: Number


@dataclass(frozen=True)
class TimberCut:
    """One piece of timber and the uprights cut from it: (boat, length)."""

    timber: str
    pieces: tuple[tuple[str, Number], ...]


@dataclass(frozen=True)
class Shortage:
    """What the stock has too little of.

    thing: film, strap, timber, tape, propane, spare or a counted thing; boat: '' for the day; amount: how much is
    missing, SI or a count (of film and timber the length of the piece); width: of film.
    """

    thing: str
    boat: str
    amount: Number
    width: Number = 0


@dataclass(frozen=True)
class LoadList:
    """The day's load. waste, bound and first_fit are film that lands on no boat, kg."""

    boats: tuple[str, ...]
    film: tuple[FilmCut, ...]
    offcuts: tuple[Offcut, ...]
    strap: tuple[StrapCut, ...]
    timber: tuple[TimberCut, ...]
    tape: tuple[tuple[str, Number], ...]
    cylinders: tuple[Cylinder, ...]
    propane: Number
    counts: Mapping[str, int]
    shortages: tuple[Shortage, ...]
    waste: float
    bound: float
    first_fit: float
    is_proven: bool


def requirement_of(boat: str, numbers: Mapping[str, Number], thickness: Number = USUAL_FILM) -> Requirement:
    """A boat's requirement from the numbers of its procedure.

    Args:
        boat: its name.
        numbers: by the ids of the shipped procedures (film_width, film_length, strap_total, uprights, upright_height,
            seam_tape, propane, buckles, staples, vents), SI; those that a procedure does not have count as none.
        thickness: of the film, m.

    Returns:
        The requirement.

    Raises:
        QuantityError L600: film_width or film_length is missing.
    """
    missing = [name for name in ("film_width", "film_length") if name not in numbers]
    if missing:
        what, why = "%(boat)s has no %(missing)s yet", "without it no film can be cut"
        mend = "take the boat's measures first"
        raise QuantityError(Problem("L600", what, why, mend, None, {"boat": boat, "missing": " and ".join(missing)}))

    def whole(name: str) -> int:
        return int(numbers.get(name, 0))

    return Requirement(
        boat,
        numbers["film_width"],
        numbers["film_length"],
        thickness,
        numbers.get("strap_total", 0),
        (numbers.get("upright_height", 0),) * whole("uprights") if "upright_height" in numbers else (),
        numbers.get("seam_tape", 0),
        numbers.get("propane", 0),
        whole("buckles"),
        whole("staples"),
        whole("vents"),
    )


def load_list(
    boats: Sequence[Requirement], stock: Stock, useful: Number = USEFUL, lap: Number = WELDED_LAP
) -> LoadList:
    """The day's load for some boats from a stock.

    Args:
        boats: of the day, in the order of the day.
        stock: of the yard.
        useful: the least length of film that is kept, m, 0 to 5000.
        lap: of two films joined, m, 0 to 1.

    Returns:
        The load with every shortage. The same boats and stock always give the same load.

    Raises:
        QuantityError U301 to U303: a requirement outside its range.
    """
    for boat in boats:
        _check(boat)
    sheets = [sheet for boat in boats for sheet in _sheets(boat, stock, lap)]
    rolls = [Roll(roll.width, roll.left, roll.thickness) for roll in stock.film]
    plan = roll_plan([Sheet(cut.width, cut.length, cut.thickness) for cut in sheets], rolls, useful)
    film, short = _film(sheets, plan, stock)
    strap, strap_left, strap_short = _strap(boats, stock)
    timber, timber_short = _timber(boats, stock)
    tape, tape_short = _tape(boats, stock)
    cylinders, gas_short = _cylinders(boats, stock)
    counts, count_short = _counts(boats, stock)
    offcuts = (*_film_offcuts(film, stock, useful), *strap_left)
    return LoadList(
        tuple(boat.boat for boat in boats),
        film,
        offcuts,
        strap,
        timber,
        tape,
        cylinders,
        sum(boat.propane for boat in boats),
        counts,
        (*short, *strap_short, *timber_short, *tape_short, *gas_short, *count_short),
        plan.waste * USUAL_DENSITY,
        plan.bound * USUAL_DENSITY,
        plan.first_fit * USUAL_DENSITY,
        plan.is_proven,
    )


def stock_after(stock: Stock, load: LoadList) -> Stock:
    """What the stock holds when everything on the list has been used as planned.

    Args:
        stock: that the list was made from.
        load: of the day.

    Returns:
        The stock; propane is taken from the loaded cylinders in their order.

    Raises:
        Nothing.
    """
    film = tuple(replace(r, left=r.left - sum(c.length for c in load.film if c.roll == r.id)) for r in stock.film)
    straps = tuple(replace(s, left=s.left - sum(c.length for c in load.strap if c.coil == s.id)) for s in stock.straps)
    timber = tuple(replace(t, count=t.count - sum(c.timber == t.id for c in load.timber)) for t in stock.timber)
    used = dict(load.tape)
    tape = tuple(replace(t, left=t.left - used.get(t.id, 0)) for t in stock.tape)
    burnt: dict[str, Number] = {}
    owed = load.propane
    for cylinder in load.cylinders:
        burnt[cylinder.id] = min(owed, cylinder.left * USABLE_SHARE)
        owed -= burnt[cylinder.id]
    cylinders = tuple(replace(c, left=c.left - burnt.get(c.id, 0)) for c in stock.cylinders)
    counts = {
        name: max(0, count - load.counts.get(name, 0) * (name in USED_UP)) for name, count in stock.counts.items()
    }
    return replace(stock, film=film, straps=straps, timber=timber, tape=tape, cylinders=cylinders, counts=counts)


def _check(boat: Requirement) -> None:
    demand((FILM_WIDTH, boat.film_width), (FILM_LENGTH, boat.film_length), (THICKNESS, boat.thickness))
    demand((LEFT, boat.strap), (LEFT, boat.tape), (CONTENTS, boat.propane))
    demand(*((POST_LENGTH, length) for length in boat.uprights))
    demand(*((COUNT, count) for count in (boat.buckles, boat.staples, boat.vents, boat.doors)))


def _sheets(boat: Requirement, stock: Stock, lap: Number) -> list[FilmCut]:
    """The boat's sheets, their roll still to be chosen: one, or two if no roll is wide enough and a pair is."""
    usable = [roll for roll in stock.film if roll.thickness >= boat.thickness and roll.left >= boat.film_length]
    widths = tuple(sorted({roll.width for roll in usable}))
    whole = FilmCut(boat.boat, "", boat.film_width, boat.film_length, boat.thickness)
    if not widths or max(widths) >= boat.film_width:
        return [whole]
    try:
        first, _ = two_films(boat.film_width, widths, lap)
    except QuantityError:
        return [whole]  # told as a shortage when no roll takes it
    second = boat.film_width + lap - first
    return [replace(whole, width=first, part=1), replace(whole, width=second, part=2)]


def _film(sheets: Sequence[FilmCut], plan: RollPlan, stock: Stock) -> tuple[tuple[FilmCut, ...], list[Shortage]]:
    """The cuts with their rolls, roll by roll, and a shortage for each sheet that no roll takes."""
    cuts, short = [], []
    for sheet, home in zip(sheets, plan.homes, strict=True):
        if home is None:
            short.append(Shortage("film", sheet.boat, sheet.length, sheet.width))
        else:
            cuts.append(replace(sheet, roll=stock.film[home].id))
    order = [roll.id for roll in stock.film]
    return tuple(sorted(cuts, key=lambda cut: order.index(cut.roll))), short


def _film_offcuts(film: Sequence[FilmCut], stock: Stock, useful: Number) -> list[Offcut]:
    """What is left of every roll that is cut into."""
    offcuts = []
    for roll in stock.film:
        taken = [cut.length for cut in film if cut.roll == roll.id]
        if taken:
            left = roll.left - sum(taken)
            offcuts.append(Offcut(roll.id, left, left >= useful))
    return offcuts


def _strap(boats: Sequence[Requirement], stock: Stock) -> tuple[tuple[StrapCut, ...], list[Offcut], list[Shortage]]:
    """Each boat's strap from the fullest coil that it leaves least on; split over coils only if none is long enough."""
    left = {coil.id: coil.left for coil in stock.straps}
    cuts: list[StrapCut] = []
    short: list[Shortage] = []
    for boat in sorted(boats, key=lambda boat: -boat.strap):
        owed = boat.strap
        while owed > 0:
            enough = [coil for coil in left if left[coil] >= owed]
            coil = min(enough, key=lambda id: left[id]) if enough else max(left, key=lambda id: left[id], default="")
            taken = min(owed, left.get(coil, 0))
            if taken <= 0:
                short.append(Shortage("strap", boat.boat, owed))
                break
            cuts.append(StrapCut(boat.boat, coil, taken))
            left[coil] -= taken
            owed -= taken
    used = {cut.coil for cut in cuts}
    return tuple(cuts), [Offcut(coil.id, left[coil.id]) for coil in stock.straps if coil.id in used], short


def _timber(boats: Sequence[Requirement], stock: Stock) -> tuple[tuple[TimberCut, ...], list[Shortage]]:
    """Uprights from the shortest timber that takes each, with the fewest pieces of every length."""
    cuts: list[TimberCut] = []
    waiting = [(boat.boat, length) for boat in boats for length in boat.uprights]
    for timber in sorted(stock.timber, key=lambda timber: timber.length):
        fitting = [piece for piece in waiting if piece[1] <= timber.length]
        plan = _timber_plan([length for _, length in fitting], timber.length)
        kept = plan.bins[: timber.count]
        cuts += [TimberCut(timber.id, tuple(fitting[i] for i in group)) for group in kept]
        done = [fitting[i] for group in kept for i in group]
        for piece in done:
            waiting.remove(piece)
    return tuple(cuts), [Shortage("timber", boat, length) for boat, length in waiting]


def _timber_plan(lengths: Sequence[Number], stock: Number) -> CutPlan:
    """Each cut loses a saw's width; a piece as long as its timber needs no cut."""
    return cut_plan([min(length + KERF, stock) for length in lengths], stock)


def _tape(boats: Sequence[Requirement], stock: Stock) -> tuple[tuple[tuple[str, Number], ...], list[Shortage]]:
    """Opened rolls of tape first, so that ends are used up."""
    owed: Number = sum(boat.tape for boat in boats)
    taken: list[tuple[str, Number]] = []
    for roll in sorted(stock.tape, key=lambda roll: roll.left):
        if owed <= 0:
            break
        part = min(owed, roll.left)
        if part > 0:
            taken.append((roll.id, part))
            owed -= part
    return tuple(taken), [Shortage("tape", "", owed)] if owed > 0 else []


def _cylinders(boats: Sequence[Requirement], stock: Stock) -> tuple[tuple[Cylinder, ...], list[Shortage]]:
    """The fullest cylinders until what they give in the cold is enough, and one spare."""
    owed: Number = sum(boat.propane for boat in boats)
    if owed <= 0:
        return (), []
    fullest = sorted(stock.cylinders, key=lambda cylinder: (-cylinder.left, cylinder.id))
    taken: list[Cylinder] = []
    for cylinder in fullest:
        if owed <= 0:
            break
        taken.append(cylinder)
        owed -= cylinder.left * USABLE_SHARE
    short = [Shortage("propane", "", owed)] if owed > 0 else []
    spare = fullest[len(taken) : len(taken) + 1]
    if not short and (not spare or spare[0].left <= 0):
        short.append(Shortage("spare", "", 1))
        spare = []
    return (*taken, *spare), short


def _counts(boats: Sequence[Requirement], stock: Stock) -> tuple[dict[str, int], list[Shortage]]:
    """Buckles, staples, vents, doors, and one extinguisher for the truck."""
    need = {name: sum(getattr(boat, name) for boat in boats) for name in USED_UP}
    need["extinguishers"] = 1 if boats else 0
    short = [
        Shortage(name, "", count - stock.counts[name])
        for name, count in need.items()
        if name in stock.counts and count > stock.counts[name]
    ]
    return need, short
