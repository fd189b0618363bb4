"""How sure the points of the trade-off are: bands for every pair of sprockets, at little cost.

A measure is propagated at a few ratios only and its uncertainty interpolated between them. Top
speed is not smooth enough for that, as the limit that binds changes from ratio to ratio; but
each pair's top speed is known already, so a step of Newton's method finds the varied ones.
"""

from collections.abc import Sequence

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.statistics.spreads import Spread, varied
from explorer.calc.statistics.uncertainty import Estimate, estimate
from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle

RATIO_NODES = 9
"""Ratios at which a measure is propagated; what is lost in between, the tests say."""

_NEWTON_STEPS = 2
_SPEED_STEP = 0.01
"""Step for the slope of the acceleration over speed [m/s]."""


def ratio_nodes(final_ratio: FloatArray) -> FloatArray:
    """Ratios, evenly spaced by factor, between the tallest and the shortest of all pairs.

    Args:
        final_ratio: Final drive ratios of all pairs [-].

    Returns: array (RATIO_NODES,): Ratios, increasing [-].

    >>> ratio_nodes(np.array([[3.0, 3.5], [2.8, 4.0]]))[[0, -1]]
    array([2.8, 4. ])
    """
    return np.geomspace(np.min(final_ratio), np.max(final_ratio), RATIO_NODES)


def interpolated_uncertainty(
    nodes: FloatArray, standard_uncertainty: FloatArray, final_ratio: FloatArray
) -> FloatArray:
    """Standard uncertainty of a measure at every pair, straight lines between the nodes.

    Args:
        nodes (array (nodes,), increasing): Ratios at which it was propagated [-].
        standard_uncertainty (array (nodes,)): Standard uncertainty there; nodes with NaN, where the
            measure is not reached, are left out [any unit].
        final_ratio: Ratios of the pairs [-].

    Returns:
        array, shape of final_ratio: Standard uncertainty; NaN everywhere if no node reaches the
        measure [unit of the nodes].

    Notes:
        Between nodes the number of shifts before the goal may change, and the band there may be off
        by a quarter of itself; elsewhere it is within some hundredths.

    >>> interpolated_uncertainty(np.array([3.0, 4.0]), np.array([0.1, 0.2]), np.array([3.5]))
    array([0.15])
    """
    known = np.isfinite(standard_uncertainty)
    if not known.any():
        return np.full(np.shape(final_ratio), np.nan)
    return np.interp(final_ratio, nodes[known], standard_uncertainty[known])


def top_speed_estimate(
    vehicle: Vehicle,
    conditions: Conditions,
    final_ratio: FloatArray,
    rollout: Scalar,
    spreads: Sequence[Spread],
    by_gear: FloatArray,
    correlation: FloatArray | None = None,
) -> Estimate:
    r"""Top speed of every pair with what each input contributes, from the top speeds known.

    In each gear the varied speed solves a(v) = 0 by Newton's method from the speed known, and is
    at most the varied speed at the rev limit; the fastest gear counts.

    Args:
        vehicle: The motorcycle; each field a number or an array (set_ups,) [SI].
        conditions: Ground and air, likewise [SI].
        final_ratio (array (set_ups,)): Final drive ratio of each pair [-].
        rollout (float or array (set_ups,)): Roll-out of the rear tyre [m].
        spreads: Standard uncertainties of the inputs [SI].
        by_gear (array (set_ups, gears)): Top speed of each pair in each gear, as ``top_speed``
            gives it; a gear with 0, which holds no speed, is left out [m/s].
        correlation (array (inputs, inputs) or None): Correlation of the inputs in the order of the
            spreads; independent if None [-].

    Returns: Top speeds and contributions [m/s].

    Raises:
        ValueError: See :func:`explorer.calc.statistics.uncertainty.propagate`.

    >>> from explorer.calc.example import example_conditions, example_vehicle
    >>> from explorer.calc.statistics.spreads import USUAL_SPREADS
    >>> from explorer.calc.drivetrain.top_speed import top_speed
    >>> bike = example_vehicle(), example_conditions(), np.array([3.43]), 2.0
    >>> top = top_speed_estimate(*bike, USUAL_SPREADS, top_speed(Drive(*bike)).by_gear)
    >>> print((top.standard_uncertainty * 3.6).round(1))
    [2.7]
    """
    drive = Drive(*varied(vehicle, conditions, final_ratio, rollout, spreads))
    # Two fastest gears are enough: a small change of the inputs lets no third one overtake.
    fastest = np.argsort(by_gear, axis=1)[:, -2:]
    known = np.take_along_axis(by_gear, fastest, axis=1)
    rows = 1 + 2 * len(spreads)
    overall = np.take_along_axis(drive.overall, np.tile(fastest, (rows, 1))[..., None], axis=1)
    at_limiter = drive.limiter_speed * drive.radius / overall
    speed = start = np.tile(known, (rows, 1))[..., None]

    def acceleration(road_speed: FloatArray) -> FloatArray:
        torque = drive.torque(road_speed * overall / drive.radius)
        return drive.acceleration(road_speed, overall, torque, True)

    for _ in range(_NEWTON_STEPS):
        here = acceleration(speed)
        slope = (here - acceleration(speed - _SPEED_STEP)) / _SPEED_STEP
        # Where the acceleration does not fall with speed there is no top speed to step to.
        falls = slope < -1e-6
        stepped = np.where(falls, speed - here / np.where(falls, slope, -1.0), at_limiter)
        speed = np.clip(stepped, 0.0, at_limiter)
    speed = np.where(start > 0, speed, 0.0)
    return estimate(speed[..., 0].max(axis=1), len(spreads), correlation)
