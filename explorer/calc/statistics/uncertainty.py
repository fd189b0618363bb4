"""How sure a result is: propagation of the inputs' standard uncertainties.

Each input is moved up and down to its bounds, all set-ups and all inputs in one array; from the
two changes follow what the input contributes in proportion and what by curvature, as where grip
begins to bind. Two set-ups of one motorcycle are moved together, so what they share cancels from
their difference, which is much surer than either level.
"""

from collections.abc import Callable, Sequence
from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.statistics.spreads import STEP, Spread, varied
from explorer.calc.vehicle import Conditions, FloatArray, Scalar, Vehicle

COVERAGE = 2.0
"""Standard uncertainties on each side of a band that is shown: about 95 % (JCGM 100:2008, 6.3.3,
section number from memory)."""


class Estimate(NamedTuple):
    """A result of several set-ups and what each uncertain input contributes to it.

    Attributes:
        value (array (set_ups,)): The result with the inputs as given; NaN where the set-up does not
            reach it [any unit].
        contributions (array (inputs, set_ups)): Change of the result when one input grows by its
            standard uncertainty, in the order of the spreads; NaN where the value is [unit of the
            value].
        curvatures (array (inputs, set_ups)): What each input adds because its change up is not the
            change down turned over [unit of the value].
        may_fail (array of bool (set_ups,)): The value is reached with the inputs as given, but not
            with one of them at its bound; what is left of the contributions is then too small.
    """

    value: FloatArray
    contributions: FloatArray
    curvatures: FloatArray
    may_fail: FloatArray

    @property
    def standard_uncertainty(self) -> FloatArray:
        """Combined standard uncertainty, shape (set_ups,) [unit of the value]."""
        return combined(self.contributions, self.curvatures)


class Uncertain(NamedTuple):
    """Top speed [m/s] and one measure of acceleration, both with their uncertainty."""

    top_speed: Estimate
    value: Estimate


class Difference(NamedTuple):
    """Candidate less baseline.

    Attributes:
        value: The difference; NaN where one of the two is not reached [any unit].
        standard_uncertainty: Its own standard uncertainty [unit of the value].
        contributions (array (inputs,)): What each input contributes to the difference [unit of the
            value].
        curvatures (array (inputs,)): What each adds by curvature [unit of the value].
    """

    value: float
    standard_uncertainty: float
    contributions: FloatArray
    curvatures: FloatArray


def propagate(
    vehicle: Vehicle,
    conditions: Conditions,
    final_ratio: FloatArray,
    rollout: Scalar,
    spreads: Sequence[Spread],
    measure: Callable[[Drive, ShiftPoints], FloatArray],
) -> Uncertain:
    r"""Top speed and a measure for several set-ups, with what each input contributes.

    With :math:`f_\pm = f(x_i \pm \sqrt3\,u_i)`:

    .. math:: Z_i = \frac{f_+ - f_-}{2\sqrt3}, \qquad
              Q_i = \frac{\sqrt2}{3}\Bigl(\frac{f_+ + f_-}{2} - f\Bigr), \qquad
              u^2 = \sum_i Z_i^2 + \sum_i Q_i^2

    Args:
        vehicle: The motorcycle; each field a number or an array (set_ups,) [SI].
        conditions: Ground and air, likewise [SI].
        final_ratio (array (set_ups,)): Final drive ratio of each set-up [-].
        rollout (float or array (set_ups,)): Roll-out of the rear tyre [m].
        spreads: Standard uncertainties of the inputs [SI].
        measure: Takes the drive and its shift points, returns one number for each case; one of the
            functions of :mod:`explorer.calc.motion.measures` with its arguments filled in [-].

    Returns: Top speed [m/s] and the measure [unit of the measure].

    Raises:
        ValueError: If a spread can't be used, see :func:`explorer.calc.statistics.spreads.varied`.

    Notes:
        The steps and weights are Simpson's rule for an evenly spread input and, at once, the
        three-point Gauss-Hermite rule for a normal one. For smooth results Q is the second-order
        term ½ (∂²f/∂x²)² u⁴. Effects of two inputs at once beyond their sum are left out. Where the
        measure is reached on one side only, the step on that side counts.

    References:
        JCGM 100:2008 (GUM), 5.1.2 note (higher-order terms) and 5.1.3 note 2 (numerical
        contributions); section numbers from memory.

    >>> from explorer.calc.example import example_conditions, example_vehicle
    >>> from explorer.calc.motion.measures import time_over_distance
    >>> from explorer.calc.statistics.spreads import USUAL_SPREADS
    >>> sure = propagate(example_vehicle(), example_conditions(), np.array([3.43, 3.00]), 2.0,
    ...                  USUAL_SPREADS, lambda d, s: time_over_distance(d, s, 100.0))
    >>> change = difference(sure.value, 0, 1)
    >>> print(f"{sure.value.value[0]:.2f} s, k=2: {2 * sure.value.standard_uncertainty[0]:.2f} s")
    8.50 s, k=2: 0.16 s
    >>> print(f"{change.value:.3f} s, k=2: {2 * change.standard_uncertainty:.3f} s")
    0.100 s, k=2: 0.055 s
    """
    cases = varied(vehicle, conditions, final_ratio, rollout, spreads)
    drive = Drive(*cases)
    top = top_speed(drive)
    value = measure(drive, shift_points(drive, top))
    return Uncertain(estimate(top.speed, len(spreads)), estimate(value, len(spreads)))


def estimate(results: FloatArray, inputs: int) -> Estimate:
    """Read contributions from the results of all varied cases.

    Args:
        results (array ((1 + 2 inputs) × set_ups,)): Results in the order of
            :class:`explorer.calc.statistics.spreads.Varied` [any unit].
        inputs (int): Number of varied inputs [count].

    Returns: Value and contributions [unit of the results].

    >>> estimate(np.array([10.0, 10.3, 9.7]), 1).standard_uncertainty.round(4)
    array([0.1732])
    """
    rows = np.reshape(results, (1 + 2 * inputs, -1))
    value, plus, minus = rows[0], rows[1::2], rows[2::2]
    one_sided = np.where(np.isnan(plus), value - minus, plus - value)
    both = ~np.isnan(plus) & ~np.isnan(minus)
    contributions = np.where(both, 0.5 * (plus - minus), np.nan_to_num(one_sided)) / STEP
    curvatures = np.where(both, 0.5 * (plus + minus) - value, 0.0) * np.sqrt(2.0) / 3
    return Estimate(
        value=value,
        contributions=np.where(np.isnan(value), np.nan, contributions),
        curvatures=curvatures,
        may_fail=~np.isnan(value) & ~both.all(axis=0),
    )


def combined(contributions: FloatArray, curvatures: FloatArray) -> FloatArray:
    """Combine the contributions of independent inputs to one standard uncertainty.

    Args:
        contributions (array (inputs, ...)): Contribution of each input [any unit].
        curvatures (array (inputs, ...)): What each adds by curvature [unit of the contributions].

    Returns:
        array (...): Standard uncertainty [unit of the contributions].

    >>> print(combined(np.array([3.0, 4.0]), np.zeros(2)))
    5.0
    """
    return np.sqrt((contributions**2 + curvatures**2).sum(axis=0))


def difference(estimate: Estimate, baseline: int, candidate: int) -> Difference:
    """Candidate less baseline, with an uncertainty of its own: shared errors cancel.

    Args:
        estimate: A result of several set-ups [any unit].
        baseline (int): Index of the baseline [-].
        candidate (int): Index of the candidate [-].

    Returns: The difference [unit of the estimate].

    Example: see :func:`explorer.calc.statistics.uncertainty.propagate`.
    """
    contributions, curvatures = (
        parts[:, candidate] - parts[:, baseline]
        for parts in (estimate.contributions, estimate.curvatures)
    )
    return Difference(
        value=float(estimate.value[candidate] - estimate.value[baseline]),
        standard_uncertainty=float(combined(contributions, curvatures)),
        contributions=contributions,
        curvatures=curvatures,
    )
