"""The hem: what a weld of some width holds, and what the wind pulls at it.

Rules kept here:
 1. A weld holds as much as its width and its melted share give, and never more than the film itself.
Units: m, N a metre of hem, m/s. Sources beside the constants; 'invented' where there is none.
Knows nothing of: flames, drills.
"""

from __future__ import annotations

from coach.core.sizing.heat import USUAL_FILM
from coach.core.sizing.wind import SHEET_DRAG, pressure

FILM_STRENGTH = 10_000_000.0  # Pa, tensile yield of low density polyethylene, about 10 MPa, from memory
BOND = 35_000.0  # N/m2 of fully fused weld under a pull that peels; invented: 2 in hold all the film can
GOOD_WIDTH = 0.0508  # m, 2 in: common practice, no source


def film_holds() -> float:
    """What a metre of the film's own edge holds, N/m."""
    return FILM_STRENGTH * float(USUAL_FILM)


def strength(width: float, fused: float) -> float:
    """What a weld holds, N/m. width: m, 0 or more; fused: share melted, 0 to 1."""
    return min(film_holds(), BOND * width * fused)


def pull(gust: float, height: float) -> float:
    """What a gust pulls at a metre of hem: half of its force on a side so high, N/m.

    Source: dynamic pressure and drag of a flat sheet as in coach.core.sizing.wind; the half is statics of an even load.
    """
    return pressure(gust) * SHEET_DRAG * height / 2


def holds(width: float, fused: float, gust: float, height: float) -> bool:
    """Whether a weld stands a gust."""
    return strength(width, fused) >= pull(gust, height)
