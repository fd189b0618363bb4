"""Which of many points a tap means."""

import numpy as np

from explorer.charts.drawing import FloatArray

REACH = 0.06
"""Farthest that a tap may be from a point, as a share of the chart [-]."""
SAME_PLACE = 0.001
"""Points whose distances from a tap differ by no more lie on top of each other [-]."""


def tapped(across: FloatArray, up: FloatArray, now: int | None) -> int | None:
    """Index of the point nearest to a tap.

    Of points on top of each other, tapping again takes the next.

    Args:
        across, up (array (points,)): Distance of each point from the tap, as a share of the chart's
            width and height [-].
        now: Index of the point picked already.

    Returns: None for a tap into the empty.

    >>> tapped(np.array([0.01, 0.01, 0.4]), np.zeros(3), 0)
    1
    """
    distance = np.hypot(across, up)
    if not distance.size or distance.min() > REACH:
        return None
    same_place = np.flatnonzero(distance <= distance.min() + SAME_PLACE).tolist()
    turn = same_place.index(now) + 1 if now in same_place else 0
    return same_place[turn % len(same_place)]
