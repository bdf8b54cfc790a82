"""The perimeter band: tension from how far it was pulled, what it loses with time, and what a hand finds.

Rules kept here:
 1. Tension = stiffness x stretch; a slack that appears later (a loop that settles) takes stretch away for good.
 2. A strap held at a length loses tension, most of it in the first four hours, and then hardly any more.
Units: m, N, minutes, kg/m. Sources beside the constants; 'invented' where there is none.
Knows nothing of: drills, who pulls.
"""

from __future__ import annotations

import math

from coach.core.sizing.strap import stiffness

BREAK_FORCE = 4_500.0  # N, woven cord; invented
BREAK_STRETCH = 0.13  # published polyester yarn, as in coach.core.sizing.strap
KEPT = 0.75  # of the tension in the end; invented, polyester keeps more than polypropylene, which loses up to half
SETTLES = 80.0  # minutes; invented so that 95 % of the loss is over after the four hours of a strap maker's page
CORD = 0.02  # kg/m; invented
LOOP_SPAN = 2.44  # m between loops, 8 ft: common practice, no source
PUSH = 20.0  # N, of two fingers; invented
TIGHT_GAP = 0.035  # m, two fingers do not get behind it; invented


def tension(pulled: float, around: float, slack: float = 0.0, minutes: float = 0.0) -> float:
    """The tension of a band, N.

    Args:
        pulled: by how much it was stretched when it was buckled, m.
        around: its length, m, above 0.
        slack: what loops and buckle have given since, m.
        minutes: since it was buckled.
    """
    stretch = max(0.0, pulled - slack) / around
    kept = KEPT + (1 - KEPT) * math.exp(-minutes / SETTLES)
    return float(stiffness(BREAK_FORCE, BREAK_STRETCH)) * stretch * kept


def note(pull: float, span: float = LOOP_SPAN) -> float:
    """The note that a plucked band gives, Hz. Source: Mersenne's law, 1 / (2 L) sqrt(T / m)."""
    return math.sqrt(pull / CORD) / (2 * span)


def gap(pull: float, span: float = LOOP_SPAN, push: float = PUSH) -> float:
    """How far two fingers draw the middle of a span away, m. Source: statics, push x span / (4 T) for small gaps."""
    return math.inf if pull <= 0 else push * span / (4 * pull)


def is_tight(pull: float) -> bool:
    """Whether two fingers do not get behind it."""
    return gap(pull) <= TIGHT_GAP
