"""What was measured on a ride as a function of the numbers that a calibration fits.

Speeds over time, times between two speeds and held speeds, each with its derivatives. The time
between two speeds is the integral of dv/a(v); a trace of speeds is that integral turned round.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from scipy.optimize import least_squares
from scipy.special import stdtrit

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.vehicle import Conditions, FloatArray, Vehicle

PARAMETERS = ("drag_area", "rolling_coefficient", "power", "mass", "head_wind", "slope")
"""What is fitted, in this order: drag area [m²], rolling coefficient [-], engine power over that of
the torque curve [-], mass [kg], head wind on the way there [m/s], slope on the way there [rad]."""

COASTING = -1
"""Gear index that stands for a pulled clutch."""

THERE, BACK, BOTH_WAYS = 1, -1, 0
"""Way of a run: wind and slope change their sign on the way back and cancel from a mean."""

_GRID_POINTS = 65
_LEAST_ACCELERATION = 1e-3
"""Nearer to a steady speed than this a run tells nothing more [m/s²]."""
_GAUSS, _GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(20)
_STEP = 0.02
"""Step of the difference quotients, in prior standard uncertainties."""
_MOST_CORRELATED = 0.9
_ENOUGH = 12
"""Speeds beyond the fitted numbers from which their scatter can be judged."""
_FEWEST_FREE = 4.0
"""Degrees of freedom below which Student's factor is not let grow [-]."""


class Trace(NamedTuple):
    """Speeds over time of one run: a coast-down, or full throttle in one gear.

    Attributes:
        time (array (n,), increasing): Since any start [s].
        speed (array (n,)): Road speed [m/s].
        gear (int): Index of the gear at full throttle, or `COASTING` [-].
        way (int): `THERE` or `BACK` [-].
        speed_uncertainty (float, positive): Of a single speed; stands until there are speeds enough
            to see their scatter [m/s].
    """

    time: FloatArray
    speed: FloatArray
    gear: int
    way: int
    speed_uncertainty: float


class TimedRun(NamedTuple):
    """Time between two speeds at full throttle in one gear, or coasting.

    Attributes:
        from_speed, to_speed: At the start, and at the end: lower when coasting [m/s].
        time: Measured time [s].
        gear, way (int): As of a Trace, or `BOTH_WAYS` for the mean of both [-].
        standard_uncertainty (float, positive): Of the time [s].
    """

    from_speed: float
    to_speed: float
    time: float
    gear: int
    way: int
    standard_uncertainty: float


class HeldSpeed(NamedTuple):
    """Highest speed held at full throttle in one gear.

    Attributes:
        speed: The speed [m/s].
        gear, way (int): Likewise, but never `COASTING` [-].
        standard_uncertainty (float, positive): Of the speed [m/s].
    """

    speed: float
    gear: int
    way: int
    standard_uncertainty: float


Observation = Trace | TimedRun | HeldSpeed


class Prior(NamedTuple):
    """What was believed of the `PARAMETERS` before the ride, arrays (6,) in their order [SI]."""

    value: FloatArray
    standard_uncertainty: FloatArray


class Residual(NamedTuple):
    """What one observation leaves unexplained.

    Attributes:
        observation (int): Index of the observation [-].
        speed (array (n,)): Speed at which it was seen [m/s].
        value (array (n,)): Observed less fitted [m/s or s].
        standardised (array (n,)): The same over the uncertainty of a single value [-].
    """

    observation: int
    speed: FloatArray
    value: FloatArray
    standardised: FloatArray


class ObservationModel:
    """The observations as a function of the parameters, with their derivatives.

    Behind the parameters stand the start speeds of the traces, in their order. Drag area and mass
    of the vehicle are replaced, rolling coefficient, wind and slope of the conditions too, and the
    power factor is multiplied by the fitted power.

    Args:
        observations (tuple of Trace, TimedRun or HeldSpeed): What was measured [SI].
        prior: What was believed before [SI].
    """

    def __init__(
        self,
        vehicle: Vehicle,
        conditions: Conditions,
        final_ratio: float,
        rollout: float,
        observations: tuple[Observation, ...],
        prior: Prior,
    ) -> None:
        self.vehicle, self.conditions = vehicle, conditions
        self.final_ratio, self.rollout = final_ratio, rollout
        self.observations, self.prior = observations, prior
        self.traces = [i for i, seen in enumerate(observations) if isinstance(seen, Trace)]
        self._traces = [seen for seen in observations if isinstance(seen, Trace)]
        sizes = [len(seen.time) if isinstance(seen, Trace) else 1 for seen in observations]
        ends = np.cumsum(sizes)
        self.places = [slice(end - size, end) for size, end in zip(sizes, ends, strict=True)]
        self.count = int(ends[-1])
        self.steps = _STEP * prior.standard_uncertainty
        self._seen: tuple[FloatArray, FloatArray, FloatArray] | None = None

    def start(self) -> FloatArray:
        """What a fit begins with: the prior and the first speeds [SI]."""
        speeds = [trace.speed[0] for trace in self._traces]
        return np.concatenate([self.prior.value, speeds])

    def stated_uncertainty(self) -> FloatArray:
        """Uncertainty of every single value as the observations state it [m/s or s]."""
        return np.concatenate(
            [
                np.full(len(seen.time), seen.speed_uncertainty)
                if isinstance(seen, Trace)
                else [seen.standard_uncertainty]
                for seen in self.observations
            ]
        )

    def with_noise(self, stated: FloatArray, noise: float) -> FloatArray:
        """The stated uncertainties, those of traces replaced."""
        changed = stated.copy()
        for i in self.traces:
            changed[self.places[i]] = noise
        return changed

    def fit(self, start: FloatArray, uncertainty: FloatArray) -> FloatArray:
        """Parameters and start speeds with the least sum of squares [SI]."""
        found = least_squares(
            lambda theta: self.rows(theta, uncertainty)[0],
            start,
            jac=lambda theta: self.rows(theta, uncertainty)[1],
            x_scale="jac",
            xtol=1e-8,
            ftol=1e-8,
        )
        return found.x

    def rows(self, theta: FloatArray, uncertainty: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Standardised residuals, those of the prior last, and their derivatives."""
        count = len(PARAMETERS)
        # The residuals and the derivatives of one step are asked for one after the other.
        if self._seen is None or not np.array_equal(self._seen[0], theta):
            self._seen = (theta.copy(), *self._left(theta))
        _, left, derivatives = self._seen
        spread = self.prior.standard_uncertainty
        believed = np.hstack([np.diag(1 / spread), np.zeros((count, theta.size - count))])
        residuals = np.append(left / uncertainty, (theta[:count] - self.prior.value) / spread)
        return residuals, np.vstack([derivatives / uncertainty[:, np.newaxis], believed])

    def _left(self, theta: FloatArray) -> tuple[FloatArray, FloatArray]:
        """What the parameters leave unexplained of every value, and its derivatives."""
        count = len(PARAMETERS)
        left, derivatives = np.zeros(self.count), np.zeros((self.count, theta.size))
        ways = {seen.way for seen in self.observations}
        drives = {way: self._drive(theta, way) for way in ways}
        for i, (seen, place) in enumerate(zip(self.observations, self.places, strict=True)):
            drive = drives[seen.way]
            if isinstance(seen, Trace):
                column = count + self.traces.index(i)
                fitted, slopes, by_start = self._trace(drive, seen, theta[column])
                derivatives[place, column] = -by_start
                observed = seen.speed
            elif isinstance(seen, TimedRun):
                fitted, slopes = self._slopes(self._time(drive, seen))
                observed = np.asarray(seen.time)
            else:
                fitted, slopes = self._slopes(top_speed(drive).by_gear[:, seen.gear])
                observed = np.asarray(seen.speed)
            left[place] = observed - fitted
            derivatives[place, :count] = -slopes.T
        return left, derivatives

    def _slopes(self, cases: FloatArray) -> tuple[FloatArray, FloatArray]:
        """Value of the first case, and difference quotients of the others by the parameters."""
        steps = np.reshape(self.steps, (-1,) + (1,) * (cases.ndim - 1))
        return cases[0], (cases[1:] - cases[0]) / steps

    def judge(self, theta: FloatArray) -> tuple[float, float, float] | None:
        """Scatter of the traces' speeds about a fit, its correlation in time, and the factor by
        which a single speed is less sure than the scatter: neighbours that err alike tell less, and
        a scatter judged from few speeds is itself unsure (Student's t, as GUM G.3)."""
        residuals = self.rows(theta, np.ones(self.count))[0]
        parts = [residuals[self.places[i]] for i in self.traces]
        values = sum(part.size for part in parts)
        # Every trace has its own start speed; drag, rolling, power, wind and slope are shared.
        fitted = len(parts) + 4
        if not parts or values - fitted < _ENOUGH:
            return None
        pairs = sum(float(part[1:] @ part[:-1]) for part in parts)
        squares = sum(float(part[1:] @ part[1:] + part[:-1] @ part[:-1]) for part in parts) / 2
        # The fit follows part of the noise, most of all where neighbours err alike: both the
        # correlation and the scatter come out too small and are put right, by as much as makes
        # the stated intervals hold at their rate (tests/bench/bench_calibration.py).
        length = max(values / len(parts), 4.0)
        in_time = (length * pairs / squares + 1) / (length - 1) if squares > 0 else 0.0
        in_time = float(np.clip(in_time, 0.0, _MOST_CORRELATED))
        # n values that err alike tell as much as n over this many (Wilks, ch. 5, for a finite n).
        far = 2 * in_time * (1 - in_time**length) / (length * (1 - in_time) ** 2)
        alike = (1 + in_time) / (1 - in_time) - far
        free = max(values - fitted * alike, values / 2)
        noise = np.sqrt(sum(float(part @ part) for part in parts) / free)
        # Even a perfect fit is no surer than the last digit of a speed.
        finest = min(trace.speed_uncertainty for trace in self._traces) / 10
        freedom = max(values / alike, _FEWEST_FREE)
        # So that twice the uncertainty is the interval of 95 %.
        student = stdtrit(freedom, 0.975) / 2
        return max(float(noise), finest), in_time, float(np.sqrt(alike) * student)

    def residuals(
        self, rows: FloatArray, weights: FloatArray, uncertainty: FloatArray
    ) -> tuple[Residual, ...]:
        """What each observation leaves unexplained, of rows standardised by the weights."""
        found = []
        for i, (seen, place) in enumerate(zip(self.observations, self.places, strict=True)):
            value = rows[: self.count][place] * weights[place]
            speed = (
                np.array([(seen.from_speed + seen.to_speed) / 2])
                if isinstance(seen, TimedRun)
                else np.atleast_1d(np.asarray(seen.speed, float))
            )
            found.append(Residual(i, speed, value, value / uncertainty[place]))
        return tuple(found)

    def _drive(self, theta: FloatArray, way: int) -> Drive:
        """The parameters as they are, then each a step further: seven cases."""
        count = len(PARAMETERS)
        cases = np.vstack([theta[:count], theta[:count] + np.diag(self.steps)])
        drag_area, rolling, power, mass, wind, slope = cases.T
        vehicle = replace(self.vehicle, drag_area=drag_area, mass=mass)
        conditions = replace(
            self.conditions,
            rolling_coefficient=rolling,
            power_factor=self.conditions.power_factor * power,
            head_wind=way * wind,
            slope=way * slope,
        )
        return Drive(vehicle, conditions, np.full(count + 1, self.final_ratio), self.rollout)

    def _acceleration(self, drive: Drive, gear: int, speed: FloatArray) -> FloatArray:
        """Acceleration at speeds (points,), shape (cases, points); never quite zero."""
        road_speed = speed[np.newaxis, np.newaxis, :]
        if gear == COASTING:
            slowing = drive.resistance(road_speed) / (drive.mass + drive.wheel_mass)
            return -np.maximum(slowing[:, 0], _LEAST_ACCELERATION)
        overall = drive.overall[:, gear : gear + 1]
        torque = drive.torque(road_speed * overall / drive.radius)
        gained = drive.acceleration(road_speed, overall, torque, True)
        return np.maximum(gained[:, 0], _LEAST_ACCELERATION)

    def _trace(
        self, drive: Drive, seen: Trace, start: float
    ) -> tuple[FloatArray, FloatArray, FloatArray]:
        """Speeds at the times of a trace, and their derivatives by parameters and start speed."""
        margin = 2.0 + 0.3 * np.ptp(seen.speed)
        low = max(min(seen.speed.min(), start) - margin, 0.05)
        grid = np.linspace(low, max(seen.speed.max(), start) + margin, _GRID_POINTS)
        middle = (grid[1:] + grid[:-1]) / 2
        each = self._acceleration(drive, seen.gear, np.append(grid, middle))
        gained, between = each[:, : grid.size], each[:, grid.size :]
        # Time over speed on the grid; Simpson's rule with the middle of each interval.
        pieces = (1 / gained[:, 1:] + 4 / between + 1 / gained[:, :-1]) * np.diff(grid) / 6
        cases = np.concatenate([np.zeros((len(gained), 1)), pieces.cumsum(axis=1)], axis=1)
        times, by_parameter = self._slopes(cases)
        rates = gained[0]
        begin = _hermite(np.array([start]), grid, times, 1 / rates)
        # Coasting, times fall with the speed; the interpolation wants them rising.
        order = 1 if times[-1] > 0 else -1
        wanted = begin + seen.time - seen.time[0]
        speeds = _hermite(wanted, times[::order], grid[::order], rates[::order])
        rows = _linear(np.append(speeds, start), grid, np.vstack([rates, by_parameter]))
        rate, later = rows[0, :-1], rows[1:, :-1] - rows[1:, -1:]
        # At a given time: what the way to a speed takes longer, times the acceleration there.
        return speeds, -rate * later, rate / rows[0, -1]

    def _time(self, drive: Drive, seen: TimedRun) -> FloatArray:
        low, high = seen.from_speed, seen.to_speed
        speed = low + (high - low) * 0.5 * (_GAUSS + 1)
        gained = self._acceleration(drive, seen.gear, speed)
        return 0.5 * (high - low) * (_GAUSS_WEIGHTS / gained).sum(axis=1)


def _hermite(x: FloatArray, xs: FloatArray, ys: FloatArray, slopes: FloatArray) -> FloatArray:
    """Cubic through points with given slopes; the ends hold beyond them."""
    x = np.minimum(np.maximum(x, xs[0]), xs[-1])
    left = np.searchsorted(xs[1:-1], x)
    width = xs[left + 1] - xs[left]
    share = (x - xs[left]) / width
    rest = 1 - share
    return (
        ys[left] * (1 + 2 * share) * rest**2
        + ys[left + 1] * (3 - 2 * share) * share**2
        + width * share * rest * (slopes[left] * rest - slopes[left + 1] * share)
    )


def _linear(x: FloatArray, xs: FloatArray, rows: FloatArray) -> FloatArray:
    """Straight lines through the points of each row, shape (rows, x)."""
    left = np.searchsorted(xs[1:-1], x)
    share = (x - xs[left]) / (xs[left + 1] - xs[left])
    return rows[:, left] + share * (rows[:, left + 1] - rows[:, left])
