"""Every pair of sprockets at once: a speed against a measure of acceleration.

The speed is top speed. Where the ground sets that alike for all pairs, shorter gearing costs no
top speed; what it costs there is how far a gear goes before the rev limit.
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.gearing import final_ratio
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle

NOTICED_SPEED = 0.015
"""Gain of top speed that nobody notices: less than a breath of wind does (our choice) [-]."""


class TradeOff(NamedTuple):
    """Every pair of a range of sprockets, in the shape (fronts, rears).

    Attributes:
        front, rear (array (fronts, rears)): Teeth [count].
        top_speed (array (fronts, rears)): Top speed in the fastest gear [m/s].
        speed (array (fronts, rears)): What the measure is set against: top speed, or where that is
            the ground's the speed at the rev limit in top gear [m/s].
        ground_sets_top (bool): Whether the shortest pair is as fast as any.
        value (array (fronts, rears)): The measure; NaN where the pair does not reach it [unit of
            the measure].
        best_compromise (array of bool (fronts, rears)): True where no other pair is better in one
            of the two and at least as good in the other.
    """

    front: FloatArray
    rear: FloatArray
    top_speed: FloatArray
    speed: FloatArray
    ground_sets_top: bool
    value: FloatArray
    best_compromise: FloatArray


def all_pairs(
    vehicle: Vehicle,
    conditions: Conditions,
    fronts: FloatArray,
    rears: FloatArray,
    rollout: Scalar,
    measure: Callable[[Drive, ShiftPoints], FloatArray],
    larger_is_better: bool,
) -> TradeOff:
    """Speeds and one measure for every pair of front and rear sprockets.

    Args:
        fronts, rears (array (fronts,) and (rears,)): Sprockets to look at [teeth].
        measure: Takes the drive and its shift points, returns one number for each case; one of the
            functions of :mod:`explorer.calc.motion.measures` with its arguments filled in [-].
        larger_is_better (bool): As pull or slope, while a smaller time is better [-].

    Returns: All pairs [SI].

    >>> from explorer.calc.motion.measures import walking_pull
    >>> bike, fronts, rears = example_vehicle(), np.array([13, 14]), np.array([48, 50, 52])
    >>> pull = lambda drive, shifts: walking_pull(drive, 1.5)
    >>> all_pairs(bike, example_conditions(), fronts, rears, 2.0, pull, True).top_speed.shape
    (2, 3)
    """
    front, rear = np.meshgrid(fronts, rears, indexing="ij")
    geared = with_sprockets(vehicle, front.ravel(), rear.ravel())
    ratio = np.ravel(final_ratio(front, rear))
    drive = Drive(geared, conditions, ratio, rollout)
    top = top_speed(drive)
    value = measure(drive, shift_points(drive, top)).reshape(front.shape)
    shortest = top.speed[np.argmax(ratio)]
    ground_sets_top = bool(shortest * (1 + NOTICED_SPEED) >= top.speed.max())
    at_limiter = (drive.limiter_speed * drive.radius / drive.overall)[:, -1, 0]
    against = np.where(top.speed > 0, at_limiter, 0.0) if ground_sets_top else top.speed
    speed = against.reshape(front.shape)
    best = best_compromise(speed, value if larger_is_better else -value)
    fastest = top.speed.reshape(front.shape)
    return TradeOff(front, rear, fastest, speed, ground_sets_top, value, best)


def best_compromise(first: FloatArray, second: FloatArray) -> FloatArray:
    """Mark the points that no other point beats: larger is better in both.

    Args:
        first, second (arrays of one shape): Two measures; a point with NaN is never marked
            [any unit].

    Returns: array of bool, same shape: True where no point is larger in one and at least as large
        in the other [-].

    >>> best_compromise(np.array([1.0, 2.0, 3.0, 2.0]), np.array([3.0, 2.5, 1.0, 2.0]))
    array([ True,  True,  True, False])
    """
    a, b = np.ravel(first), np.ravel(second)
    b = np.where(np.isnan(b) | np.isnan(a), -np.inf, b)
    order = np.lexsort((-b, -a))
    a, b = a[order], b[order]
    # Going down in `first`: a point stands if it beats every point of strictly larger `first`
    # and equals the best of its own value of `first`.
    group = np.searchsorted(-a, -a, side="left")
    before = np.concatenate(([-np.inf], np.maximum.accumulate(b)))[group]
    unbeaten = (b > before) & (b == b[group])
    marked = np.zeros(a.size, bool)
    marked[order] = unbeaten
    return marked.reshape(np.shape(first))
