"""The same ride with another gearing: gears, shifts, time on the limiter and below clutch-out.

The speeds of the ride stay what they were; only the gears are chosen anew, for every gearing by the
same rule (ours): change up where the engine passes one speed, change down where the lower gear
would turn clearly below it. So the difference between two gearings is theirs, not the rider's.
Whether the engine could have pulled these speeds is another question, answered by the pages that
compute motion.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray

DOWN_SHARE = 0.80
"""Change down where the lower gear would turn at this share of the change-up speed [-]. Ours."""
QUICKEST = 1.0
"""No two changes within less [s]."""
STANDING = 0.5
"""Slower is standing still, with the clutch in [m/s]."""


class Replay(NamedTuple):
    """What a ride would have been with one gearing.

    Attributes:
        time_in_gear (array (gears,)): While moving [s].
        upshifts, downshifts (int): Changes of gear, one for each step [count].
        on_limiter: At speeds at which even top gear is at the rev limit or beyond [s].
        below_clutch_out: Moving in first gear too slowly for the clutch to be out [s].
        fastest_engine, mean_engine: Highest engine speed asked for, and mean while moving with the
            clutch out [rad/s].
        moving: Time moving [s].
    """

    time_in_gear: FloatArray
    upshifts: int
    downshifts: int
    on_limiter: float
    below_clutch_out: float
    fastest_engine: float
    mean_engine: float
    moving: float


def replay(
    time: FloatArray,
    speed: FloatArray,
    quotient: FloatArray,
    shift_up: float,
    limiter: float,
    clutch_out: float,
) -> Replay:
    """Ride the speeds of a stretch again with one gearing.

    Args:
        clutch_out (float, positive): Lowest engine speed with the clutch out [rad/s].

    Returns: Times [s] and shifts.

    Steady 25 m/s in second gear of two:

    >>> again = replay(np.arange(11.0), np.full(11, 25.0), np.array([40.0, 25.0]), 800.0, 900.0,
    ...                150.0)
    >>> again.time_in_gear, again.upshifts, again.on_limiter
    (array([ 0., 10.]), 0, 0.0)
    """
    gear = gears_by_rule(time, speed, quotient, shift_up)
    lasting = np.diff(time)
    middle = 0.5 * (speed[1:] + speed[:-1])
    # A change up comes where the engine passes shift_up, not at the end of a step: a phone's step
    # of some seconds that crosses it is ridden, in its middle, in the gear in which it ends.
    passed = middle * quotient[gear[:-1]] > shift_up
    used = np.where(passed, gear[1:], gear[:-1])
    engine = middle * quotient[used]
    moving = middle > STANDING
    times = np.bincount(used[moving], weights=lasting[moving], minlength=len(quotient))
    steps = np.diff(gear)
    first = moving & (used == 0) & (engine < clutch_out)
    driven = moving & ~first
    turned = float(np.sum(engine[driven] * lasting[driven]))

    def lasts(rows: FloatArray) -> float:
        return float(lasting[rows].sum())

    up, down = (int(np.maximum(way, 0).sum()) for way in (steps, -steps))
    # Beyond the limiter in a lower gear, a rider changes up.
    on_limiter = lasts(middle * quotient[-1] >= limiter)
    fastest, driven_time = float(engine.max(initial=0.0)), lasts(driven)
    mean = turned / driven_time if driven_time else np.nan
    return Replay(times, up, down, on_limiter, lasts(first), fastest, mean, lasts(moving))


def gears_by_rule(
    time: FloatArray, speed: FloatArray, quotient: FloatArray, shift_up: float
) -> FloatArray:
    """Gear at each moment by the rule of the module, starting in the tallest that may be used.

    Returns: array of int (n,): Index of the gear, 0 for first [-].

    >>> gears_by_rule(np.arange(5.0), np.array([10.0, 19.0, 21.0, 21.0, 12.0]),
    ...               np.array([40.0, 25.0]), 800.0)
    array([0, 0, 1, 1, 0])
    """
    # Lists of floats: this loop is ten times as fast as with array elements.
    up = [shift_up / each for each in quotient[:-1]] + [np.inf]
    down = [-1.0] + [DOWN_SHARE * shift_up / each for each in quotient[:-1]]
    chosen = []
    gear, changed = int(np.searchsorted(up, speed[0])), -np.inf
    for moment, now in zip(time.tolist(), speed.tolist(), strict=True):
        if now > up[gear] and (moment - changed >= QUICKEST):
            changed = moment
            while now > up[gear]:
                gear += 1
        elif now < down[gear] and (moment - changed >= QUICKEST):
            changed = moment
            while now < down[gear]:
                gear -= 1
        chosen.append(gear)
    return np.array(chosen)
