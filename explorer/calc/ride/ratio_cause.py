"""Why every gear of a ride may be longer or shorter than the bike file says: the likely causes.

One number, the common factor of all gears, can't tell a tooth from a roll-out; it can tell what is
possible, in the order of what is likely, and what to look at. Likely ranges are common practice, no
source: a roll-out computed from a size is off by up to 4 %, counted teeth by one or two.
"""

import enum
from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import Scalar

ROLLOUT_OFF = 0.04
"""A roll-out computed from the tyre's size is off by up to so much [-]."""
MEASURED_ROLLOUT_OFF = 0.01
"""A roll-out measured with chalk and tape is off by up to so much [-]."""
_MOST_FRONT, _MOST_REAR = 2, 4
_FITS_FIRMLY = 2.0
_AS_GOOD = 0.004


class Cause(enum.Enum):
    """What may be wrong."""

    NOTHING = "nothing"
    FRONT = "front sprocket"
    REAR = "rear sprocket"
    ROLLOUT = "roll-out"
    PRIMARY = "primary reduction"


class Candidate(NamedTuple):
    """One possible cause.

    Attributes:
        cause: What would have to be different [-].
        value: What it would have to be: teeth [count], roll-out [m], primary reduction [-].
        left: What would still not fit, as a share of the ratio [-].
    """

    cause: Cause
    value: float
    left: float


def likely_causes(
    factor: float,
    uncertainty: float,
    front: int,
    rear: int,
    rollout: float,
    primary: float,
    rollout_measured: bool = False,
) -> tuple[Candidate, ...]:
    """Causes of a common factor between found and expected ratios, likeliest first.

    Args:
        factor (float, positive): Found over expected engine speed per road speed [-].
        uncertainty (float, non-negative): Standard uncertainty of the factor [-].
        front, rear (int): Teeth after the bike file [count].
        rollout, primary: Roll-out and primary reduction after the bike file [m, -].
        rollout_measured (bool): Instead of computed from the size.

    Returns: At least one; the first is `Cause.NOTHING` where the file fits.

    A front sprocket with 13 teeth where the file has 14, and nothing else near:

    >>> likely_causes(14 / 13, 0.003, 14, 48, 2.0, 3.0)[0]
    Candidate(cause=<Cause.FRONT: 'front sprocket'>, value=13, left=0.0)
    """
    reach = max(_FITS_FIRMLY * uncertainty, 0.004)

    def left(other: Scalar) -> float:
        return float(round(abs(np.log(factor) - np.log(other)), 12))

    if left(1.0) <= reach:
        return (Candidate(Cause.NOTHING, 1.0, left(1.0)),)
    found = []
    for cause, now, most in ((Cause.FRONT, front, _MOST_FRONT), (Cause.REAR, rear, _MOST_REAR)):
        for other in range(max(now - most, 1), now + most + 1):
            miss = left(now / other if cause is Cause.FRONT else other / now)
            if other != now and miss <= reach:
                found.append((abs(other - now), miss, Candidate(cause, other, miss)))
    # Fewer teeth off come first, then what fits better.
    teeth = [candidate for *_, candidate in sorted(found, key=lambda each: each[:2])]
    off = MEASURED_ROLLOUT_OFF if rollout_measured else ROLLOUT_OFF
    tyre = Candidate(Cause.ROLLOUT, rollout / factor, 0.0)
    if left(1.0) <= off:
        # A computed roll-out off by a per cent or two is commoner than a miscounted tooth.
        near = teeth and teeth[0].left <= _AS_GOOD
        return (*teeth, tyre) if near else (tyre, *teeth)
    if teeth:
        return (*teeth, tyre) if left(1.0) <= 2 * off else tuple(teeth)
    return (Candidate(Cause.PRIMARY, primary * factor, 0.0), tyre)
