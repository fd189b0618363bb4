"""The gears of a ride: found in its engine speeds, or inferred from where the rider changes up."""

from dataclasses import dataclass

import numpy as np

from explorer.calc.ride.gear_inference import infer_gears
from explorer.calc.ride.ratio_cause import Candidate, likely_causes
from explorer.calc.ride.ride_gears import (
    Matched,
    RatiosFound,
    Slip,
    find_ratios,
    match_gears,
    slip_when_pulling,
    steady_moments,
)
from explorer.calc.ride.ride_replay import STANDING
from explorer.calc.vehicle import FloatArray
from explorer.records.rides.ride import Segment

_FEWEST_FOR_SLIP = 20


@dataclass(frozen=True, eq=False)
class GearsFound:
    """Gears found in the engine speeds of the log.

    Attributes:
        matched: Which gear each is, and the common factor.
        expected (array (gears,)): After the bike file, as it was ridden [rad/m].
        causes: Why they differ, likeliest first.
        slip: How often the engine ran ahead while pulling.
        quotients: All steady moments, for the chart [rad/m].
    """

    found: RatiosFound
    matched: Matched
    expected: FloatArray
    causes: tuple[Candidate, ...]
    slip: Slip
    quotients: FloatArray

    @property
    def slips(self) -> bool:
        """Whether the engine runs ahead of the wheel under load clearly more often than not."""
        return (
            self.slip.moments >= _FEWEST_FOR_SLIP
            and self.slip.pulling > 0.15
            and self.slip.pulling > 3 * self.slip.otherwise + 0.05
        )


@dataclass(frozen=True, eq=False)
class GearsInferred:
    """Gears inferred from the shift points.

    Attributes:
        time_in_gear (array (gears,)): While moving [s].
        confidence: Mean share of plausibility of the gear taken, while moving [-].
    """

    time_in_gear: FloatArray
    confidence: float


def find_gears(
    segments: tuple[Segment, ...],
    expected: FloatArray,
    slowest_engine: float,
    bike: tuple[int, int, float, float, bool],
) -> GearsFound:
    """Gears in the log's engine speeds; `bike`: teeth, roll-out [m], primary, whether measured."""
    front, rear, rollout, primary, measured = bike
    steady, everything = [], []
    for each in segments:
        if each.engine_speed is None or len(each.time) < 3:
            continue
        rows = steady_moments(each.time, each.speed, each.engine_speed, slowest_engine)
        steady.append((each.speed[rows], each.engine_speed[rows]))
        acceleration = np.gradient(_smoothed(each.time, each.speed), each.time)
        turning = (each.speed > 4.0) & (each.engine_speed > slowest_engine)
        quotient = each.engine_speed[turning] / each.speed[turning]
        everything.append((quotient, acceleration[turning], each.speed[turning]))
    speed, engine = _columns(steady, 2)
    found = find_ratios(speed, engine)
    matched = match_gears(found, expected)
    causes: tuple[Candidate, ...] = ()
    slip = Slip(0.0, 0.0, 0)
    if (matched.gear >= 0).any():
        causes = likely_causes(
            matched.factor, matched.uncertainty, front, rear, rollout, primary, measured
        )
        slip = slip_when_pulling(*_columns(everything, 3), matched.factor * expected)
    return GearsFound(found, matched, expected, causes, slip, engine / speed)


def _columns(parts: list[tuple], count: int) -> list[FloatArray]:
    if not parts:
        return [np.empty(0)] * count
    return [np.concatenate(column) for column in zip(*parts, strict=True)]


def _smoothed(time: FloatArray, speed: FloatArray) -> FloatArray:
    """Mean over about a second, so that the noise of a fast log is no acceleration."""
    width = 2 * round(0.5 / float(np.median(np.diff(time)))) + 1
    if width < 3 or width > len(speed):
        return speed
    padded = np.pad(speed, width // 2, mode="edge")
    return np.convolve(padded, np.full(width, 1 / width), mode="valid")


def infer_all_gears(
    segments: tuple[Segment, ...], quotient: FloatArray, up: float, limiter: float
) -> GearsInferred:
    times, sure, lasting = np.zeros(len(quotient)), 0.0, 0.0
    for each in segments:
        inferred = infer_gears(each.time, each.speed, quotient, up, limiter)
        step = np.diff(each.time, append=each.time[-1])
        step = np.where(each.speed > STANDING, step, 0.0)
        times += np.bincount(inferred.gear, weights=step, minlength=len(quotient))
        sure += float(np.sum(inferred.confidence * step))
        lasting += float(step.sum())
    return GearsInferred(times, sure / lasting if lasting else 0.0)
