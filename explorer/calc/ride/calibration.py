"""Making the model one's own: drag, rolling resistance and power from what was measured.

Coast-downs, roll-ons and held speeds are put into one least-squares fit together with what was
believed before, each weighed by how sure it is. What the ride does not tell stays as believed, and
the result says which of the two a number comes from.
"""

from collections.abc import Sequence
from typing import NamedTuple

import numpy as np

from explorer.calc.ride.calibration_model import (
    PARAMETERS,
    Observation,
    ObservationModel,
    Prior,
    Residual,
    Trace,
)
from explorer.calc.vehicle import Conditions, FloatArray, Vehicle

DRAG_SHARE, POWER_SHARE = 0.2, 0.1
"""Standard uncertainties of the drag area and of the torque curve, over their values [-]."""

CALM_WIND, LEVEL_SLOPE = 1.5, 0.01
"""Standard uncertainties of the wind along the road on a calm day [m/s], and of the slope of a road
that looks level [rad]."""

DAY_TO_DAY = 0.025
"""Standard uncertainty of an engine's power from one day to another in the same air, over its power
(fuel, heat, how far the throttle opens; our choice, no source) [-]: a ride tells that of its
day."""
_POWER = PARAMETERS.index("power")


class Calibration(NamedTuple):
    """Fitted numbers and how sure they are.

    Attributes:
        value (array (6,)): In the order of `PARAMETERS` [SI].
        covariance (array (6, 6)): Of the values [SI].
        prior: What was believed before [SI].
        residuals: One for each observation [m/s or s].
        noise: Standard deviation of a single speed of the traces about the fit; NaN without traces
            [m/s].
        correlation_in_time: Between one such deviation and the next, as a receiver's smoothing
            makes it [-].
    """

    value: FloatArray
    covariance: FloatArray
    prior: Prior
    residuals: tuple[Residual, ...]
    noise: float
    correlation_in_time: float

    @property
    def standard_uncertainty(self) -> FloatArray:
        """Of each value, shape (6,) [SI]."""
        return np.sqrt(np.diag(self.covariance))

    @property
    def correlation(self) -> FloatArray:
        """Correlation of the values, shape (6, 6) [-]."""
        spread = self.standard_uncertainty
        return self.covariance / np.outer(spread, spread)

    @property
    def learned(self) -> FloatArray:
        """Share of the prior variance that the ride took away, 0 to 1, shape (6,) [-]."""
        share = 1 - (self.standard_uncertainty / self.prior.standard_uncertainty) ** 2
        return np.clip(share, 0.0, 1.0)


def calibrate(
    vehicle: Vehicle,
    conditions: Conditions,
    final_ratio: float,
    rollout: float,
    observations: Sequence[Observation],
    prior: Prior,
) -> Calibration:
    r"""Fit drag area, rolling resistance and power to what was measured, and to what was believed.

    .. math::

        \min_\theta \sum_i \Bigl(\frac{y_i - f_i(\theta)}{u_i}\Bigr)^2
        + \sum_j \Bigl(\frac{\theta_j - \theta_{0j}}{u_{0j}}\Bigr)^2, \qquad
        \mathrm{cov}(\theta) = (J^T J)^{-1}

    What is fitted takes the place of the vehicle's and the conditions' own, see
    :class:`explorer.calc.ride.calibration_model.ObservationModel`.

    Args:
        observations (sequence of Trace, TimedRun or HeldSpeed): What was measured, one or more
            [SI].
        prior: What was believed before [SI].

    Returns: Fitted values with their covariance [SI].

    Raises:
        ValueError: Without any observation, with a trace of fewer than three speeds, or with a
            value that is not a number.

    Notes:
        Each trace has a start speed of its own, fitted along. The speeds of a receiver are
        smoothed, so neighbours err alike and n of them tell less than n; the scatter about a first
        fit and its correlation r from one speed to the next give the uncertainty of a single speed,
        enlarged by the square root of (1 + r)/(1 - r) and by Student's factor for so few speeds.

    References:
        JCGM 100:2008 (GUM), H.3 for the covariance of a fit, G.3 for Student's factor. The prior is
        one more row of the least squares (Gauss-Markov). Effective number of correlated
        observations: D. S. Wilks, *Statistical Methods in the Atmospheric Sciences*, ch. 5 (from
        memory).

    >>> from explorer.calc.ride.calibration_model import BACK, COASTING, THERE, TimedRun
    >>> prior = usual_prior(example_vehicle(), example_conditions(), 0.011)
    >>> ride = [TimedRun(20.0, 10.0, 15.0, COASTING, way, 0.1) for way in (THERE, BACK)]
    >>> fit = calibrate(example_vehicle(), example_conditions(), 48 / 14, 2.0, ride, prior)
    >>> print(fit.learned.round(1))
    [0.3 0.7 0.  0.  0.4 0.6]
    """
    if not observations:
        raise ValueError("There is nothing to fit; give a coast-down, a roll-on or a held speed.")
    if any(isinstance(seen, Trace) and len(seen.time) < 3 for seen in observations):
        raise ValueError("A run of fewer than three speeds tells nothing; give more of it.")
    if not all(np.isfinite(np.hstack(seen)).all() for seen in observations):
        raise ValueError("A measured value is not a number; leave that run out.")
    model = ObservationModel(vehicle, conditions, final_ratio, rollout, tuple(observations), prior)
    start = model.start()
    stated = model.stated_uncertainty()
    fitted = model.fit(start, stated)
    noise, in_time = np.nan, 0.0
    single = weights = stated
    if (judged := model.judge(fitted)) is not None:
        noise, in_time, less_sure = judged
        single = model.with_noise(stated, noise)
        weights = model.with_noise(stated, noise * less_sure)
        fitted = model.fit(fitted, weights)
    residuals, jacobian = model.rows(fitted, weights)
    count = len(PARAMETERS)
    covariance = np.linalg.inv(jacobian.T @ jacobian)[:count, :count]
    # The power of other days, as far as the ride and not the prior told it.
    told = 1 - covariance[_POWER, _POWER] / prior.standard_uncertainty[_POWER] ** 2
    covariance[_POWER, _POWER] += max(told, 0.0) * (DAY_TO_DAY * fitted[_POWER]) ** 2
    left = model.residuals(residuals, weights, single)
    return Calibration(fitted[:count], covariance, prior, left, float(noise), float(in_time))


def usual_prior(
    vehicle: Vehicle,
    conditions: Conditions,
    rolling_uncertainty: float,
    mass_uncertainty: float = 1.2,
) -> Prior:
    """What is believed of a motorcycle and a stretch of ground before it was measured there.

    Args:
        rolling_uncertainty (float, positive): Of the rolling coefficient on this surface [-].
        mass_uncertainty (float, positive): Of the mass; ±2 kg as weighed is 1.2 kg [kg].

    Returns: Values of vehicle and conditions with their standard uncertainties [SI].

    References: Common practice, no source: wider than of a prediction, so that the ride decides.

    >>> usual_prior(example_vehicle(), example_conditions(), 0.011).value.round(2).tolist()
    [0.6, 0.03, 1.0, 185.0, 0.0, 0.0]
    """
    believed = (
        (vehicle.drag_area, DRAG_SHARE * vehicle.drag_area),
        (conditions.rolling_coefficient, rolling_uncertainty),
        (1.0, POWER_SHARE),
        (vehicle.mass, mass_uncertainty),
        (conditions.head_wind, CALM_WIND),
        (conditions.slope, LEVEL_SLOPE),
    )
    return Prior(*np.array(believed, float).T)
