"""Film: its width and length for each kind of boat, one film or two joined.

Rules kept here:
 1. Width is twice the half tape plus a tuck a side; it stays an exact fraction, so 66 in of tape is 12 ft of film to
    the last bit and never the next roll up.
 2. A length goes below the band at both ends and over whatever hangs behind the stern.
"""

from __future__ import annotations

from fractions import Fraction

from coach.core.problems import Problem, QuantityError
from coach.core.sizing.constants import FOOT, INCH, Number
from coach.core.sizing.ranges import (
    ALLOWANCE,
    BEAM,
    DISTANCE,
    FILM_WIDTH,
    HALF_TAPE,
    HEIGHT,
    LAP,
    LENGTH,
    TUCK,
    Range,
    contradiction,
    demand,
    length_shown,
)

TUCK_A_SIDE = 6 * INCH  # common practice, no source
BELOW_BAND = 6 * INCH  # extra below the band at bow and stern; common practice, no source
WELDED_LAP = 12 * INCH  # two films joined lie this far over each other; common practice, no source
# Widths that film is sold in, ft. Common practice, no source; the yard's own stock comes first.
USUAL_WIDTHS: tuple[Number, ...] = tuple(feet * FOOT for feet in (12, 14, 16, 17, 20, 22, 24, 26, 28, 32, 36, 40))

_ONE = Range("share", "", 0, 1)
_OVER = Range("length over the ridge", "m", 1, 80)
_REACH = Range("reach of the drive", "m", 0, 20)
_DRIVE_DEPTH = Range("depth of the drive", "m", 0, 20)
_MAST = Range("mast", "m", 2, 60)
_STOCKED = Range("stocked width", "m", Fraction(1, 2), 20)


def film_width(half_tape: Number, tuck: Number = TUCK_A_SIDE) -> Number:
    """The width of film: both sides of the tape and a tuck a side.

    Args:
        half_tape: film's edge over the widest beam to the ridge, m, 0.25 to 15.
        tuck: film tucked under the band on each side, m, 0 to 1.

    Returns:
        2 half_tape + 2 tuck, m; exact for Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source; 66 in with 6 in gives 144 in = 12 ft.
    """
    demand((HALF_TAPE, half_tape), (TUCK, tuck))
    return 2 * half_tape + 2 * tuck


def stocked_width(width: Number) -> Number:
    """The narrowest usual width that is wide enough.

    Args:
        width: needed, m, 0.1 to 12.192 (40 ft); wider covers are joined from two films.

    Returns:
        One of the usual widths, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U307: wider than any usual film.

    Source: the list of widths is common practice, no source; the yard's stock comes first.
    """
    demand((FILM_WIDTH, width))
    return _narrowest(width, USUAL_WIDTHS)


def narrowest_of(width: Number, widths: tuple[Number, ...]) -> Number:
    """The narrowest of the given widths that is wide enough.

    Args:
        width: needed, m, 0.1 to 40.
        widths: to choose from, m, 0.5 to 20 each, in any order.

    Returns:
        One of `widths`; a float's own noise of a nanometre does not push it to the next.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U307: none is wide enough.

    Source: definition.
    """
    demand((FILM_WIDTH, width), *((_STOCKED, stocked) for stocked in widths))
    return _narrowest(width, widths)


def _narrowest(width: Number, widths: tuple[Number, ...]) -> Number:
    """The narrowest that is wide enough; raises U307 if none is."""
    needed = width - 1e-9 if isinstance(width, float) else width
    found = next((stocked for stocked in sorted(widths) if stocked >= needed), None)
    if found is not None:
        return found
    what = "a film %(width)s wide is needed, and the widest is %(widest)s"
    why = "a film that is too narrow cannot be tucked under the band"
    mend = "join two films with a welded lap, or order a wider roll"
    slots: dict[str, object] = {"width": length_shown(width), "widest": length_shown(max(widths, default=0))}
    raise QuantityError(Problem("U307", what, why, mend, None, slots))


def film_length(over_ridge: Number, below_each_end: Number, behind_stern: Number) -> Number:
    """The length of film along the boat.

    Args:
        over_ridge: tape from the band at the bow along the ridge to the band at the stern, m, 1 to 80.
        below_each_end: extra below the band at bow and stern, m, 0 to 1.
        behind_stern: extra for an outboard or drive, m, 0 to 20.

    Returns:
        over_ridge + 2 below_each_end + behind_stern, m; exact for Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source.
    """
    demand((_OVER, over_ridge), (TUCK, below_each_end), (ALLOWANCE, behind_stern))
    return over_ridge + 2 * below_each_end + behind_stern


def drive_allowance(reach: Number, below_band: Number) -> Number:
    """The extra film that goes over an outboard or a sterndrive and under its lower unit.

    Args:
        reach: from the stern to the drive's farthest point, m, 0 to 20.
        below_band: from the band down to the bottom of the lower unit, m, 0 to 20.

    Returns:
        reach + below_band, m: out along the top and down, the box around the drive, never short.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: a taut film around a drive lies inside its box; that it goes over the lower unit is common practice.
    """
    demand((_REACH, reach), (_DRIVE_DEPTH, below_band))
    return reach + below_band


def pontoon_length(deck: Number, height: Number, edge_below: Number) -> Number:
    """The length of film over a pontoon boat, whose ends are square: along the ridge and down both ends.

    Args:
        deck: length of the deck, m, 2 to 60.
        height: ridge above the deck's band at the ends, m, 0 to 8.
        edge_below: extra below the band at each end, m, 0 to 1.

    Returns:
        deck + 2 height + 2 edge_below, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: the box around the ridge, never short.
    """
    demand((LENGTH, deck), (HEIGHT, height), (TUCK, edge_below))
    return deck + 2 * height + 2 * edge_below


def mast_down_length(mast: Number, bow_drop: Number, stern_drop: Number, below_each_end: Number) -> Number:
    """The length of film over a sailing boat whose lowered mast is the ridge and sticks out at both ends.

    Args:
        mast: length of the mast as it lies, or of the boat if that is longer, m, 2 to 60.
        bow_drop: from the mast's end down to the band at the bow, m, 0 to 8.
        stern_drop: the same at the stern, m, 0 to 8.
        below_each_end: extra below the band, m, 0 to 1.

    Returns:
        The ridge, both drops and both extras, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: the box around the mast's ends, never short.
    """
    demand((_MAST, mast), (HEIGHT, bow_drop), (HEIGHT, stern_drop), (TUCK, below_each_end))
    return mast + bow_drop + stern_drop + 2 * below_each_end


def mast_up_lengths(
    over_ridge: Number, mast_share: Number, below_each_end: Number, lap: Number = WELDED_LAP
) -> tuple[Number, Number]:
    """The two films of a sailing boat with its mast standing: one ahead of the mast, one behind, lapped at the mast.

    Args:
        over_ridge: tape from the band at the bow along the ridge to the band at the stern, m, 1 to 80.
        mast_share: where along it the mast stands, from the bow, 0 to 1.
        below_each_end: extra below the band at bow and stern, m, 0 to 1.
        lap: how far the films lie over each other at the mast, m, 0 to 1, shared by both.

    Returns:
        Fore and aft length, m; their sum is the film without a mast plus the lap.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source.
    """
    demand((_OVER, over_ridge), (_ONE, mast_share), (TUCK, below_each_end), (LAP, lap))
    fore, aft = over_ridge * mast_share, over_ridge * (1 - mast_share)
    return mast_part_length(fore, below_each_end, lap), mast_part_length(aft, below_each_end, lap)


def mast_part_length(along: Number, below_end: Number, lap: Number = WELDED_LAP) -> Number:
    """One of the two films of a sailing boat with its mast standing.

    Args:
        along: tape from the band at that end along the ridge to the mast, m, 0 to 60.
        below_end: extra below the band at that end, m, 0 to 1.
        lap: how far the films lie over each other at the mast, m, 0 to 1; half of it falls to each.

    Returns:
        along + below_end + lap / 2, m; exact for Fractions.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: common practice, no source.
    """
    demand((DISTANCE, along), (TUCK, below_end), (LAP, lap))
    return along + below_end + lap / 2


def second_film(width: Number, first: Number, lap: Number) -> Number:
    """How wide the second film must be where one roll is too narrow.

    Args:
        width: of the cover, m, 0.1 to 40.
        first: width of the first film, m, 0.1 to 40, over the lap.
        lap: that is welded, m, 0 to 1.

    Returns:
        width + lap - first, m, and 0 if the first is wide enough alone; exact for Fractions.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a lap as wide as the film.

    Source: definition; the lap is common practice, no source.
    """
    demand((FILM_WIDTH, width), (FILM_WIDTH, first), (LAP, lap))
    if lap >= first:
        raise contradiction("lap", "film width", "less than the film width")
    return width + lap - first if first < width else 0


def box_film(length: Number, width: Number, height: Number, tuck: Number = TUCK_A_SIDE) -> tuple[Number, Number]:
    """The film over rigid equipment taken as a box: over the top and down all four sides.

    Args:
        length, width: of the top, m, 0.5 to 60 and 0.5 to 12.
        height: of the sides that are covered, m, 0 to 8.
        tuck: tucked under on each side, m, 0 to 1.

    Returns:
        Width and length of film, m: the side plus twice the height plus two tucks.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((Range("length", "m", Fraction(1, 2), 60), length), (BEAM, width), (HEIGHT, height), (TUCK, tuck))
    around = 2 * height + 2 * tuck
    return width + around, length + around


def joined_width(first: Number, second: Number, lap: Number = WELDED_LAP) -> Number:
    """The width of two films welded along their edges.

    Args:
        first, second: m, 0.1 to 40.
        lap: m, 0 to 1, under either width.

    Returns:
        first + second - lap, m.

    Raises:
        QuantityError U301 to U304: an argument outside its range, or a lap wider than a film.

    Source: definition; the lap is common practice, no source.
    """
    demand((FILM_WIDTH, first), (FILM_WIDTH, second), (LAP, lap))
    if lap >= min(first, second):
        raise contradiction("lap", "film width", "less than the film width")
    return first + second - lap


def two_films(width: Number, widths: tuple[Number, ...], lap: Number = WELDED_LAP) -> tuple[Number, Number]:
    """The pair of stocked widths that joined cover a width with least left over.

    Args:
        width: needed, m, 0.1 to 40.
        widths: to choose from, m, 0.5 to 20 each; one may be taken twice.
        lap: m, 0 to 1.

    Returns:
        The wider and the narrower film, m.

    Raises:
        QuantityError U301 to U303: an argument outside its range; U308: no pair is wide enough.

    Source: definition.
    """
    demand((FILM_WIDTH, width), (LAP, lap), *((_STOCKED, stocked) for stocked in widths))
    slack = 1e-9 if isinstance(width, float) else 0
    pairs = [(a, b) for a in widths for b in widths if a >= b > lap and a + b - lap + slack >= width]
    if not pairs:
        what = "no two films of the stock joined are %(width)s wide"
        why = "a cover of three films has seams that this sizing does not know"
        mend = "order wider rolls"
        raise QuantityError(Problem("U308", what, why, mend, None, {"width": length_shown(width)}))
    return min(pairs, key=lambda pair: (pair[0] + pair[1], pair[0]))


def weld_area(length: Number, lap_weld: Number = 2 * INCH) -> Number:
    """The area of the weld along a lap, for the time and fuel it takes.

    Args:
        length: of the lap, m, 0 to 60.
        lap_weld: width that is welded, m, 0 to 1 (2 in, common practice, no source).

    Returns:
        length x lap_weld, m2.

    Raises:
        QuantityError U301 to U303: an argument outside its range.

    Source: definition.
    """
    demand((DISTANCE, length), (LAP, lap_weld))
    return length * lap_weld
