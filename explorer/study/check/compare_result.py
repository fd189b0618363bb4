"""Prediction against measurement: what the explorer says beside what the rider timed.

Both gearings are predicted on the same ground and in the same air as on the gearing page, but level
and calm: slope and wind are what riding both ways takes out of the mean. All numbers are SI;
`with_gearing` is `FITTED` or `CHOSEN`.
"""

from collections.abc import Callable, Sequence
from dataclasses import dataclass
from functools import partial
from typing import NamedTuple

import numpy as np

from explorer.calc import gearing
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import ShiftPoints
from explorer.calc.ride.speedometer_fit import LineFit, fit_line
from explorer.calc.statistics.repeated_runs import (
    Mean,
    coverage_factor,
    mean_both_ways,
    mean_of_runs,
)
from explorer.calc.statistics.sampling import Band, Sampled
from explorer.calc.statistics.spreads import COMPUTED_ROLLOUT, MEASURED_ROLLOUT
from explorer.calc.statistics.verdict import (
    HillVerdict,
    Verdict,
    change,
    compare,
    compare_hill,
    runs_needed,
)
from explorer.calc.vehicle import FloatArray
from explorer.records.rides.typed_runs import HillRun, MarkedSpeed, TimedRuns
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.units import KMH

GPS_UNCERTAINTY = 0.5 * KMH / np.sqrt(3)
"""Steady speed by satellite, both directions averaged: ±0.5 km/h (common practice, no source)."""

REV_COUNTER_SHARE = 0.02 / np.sqrt(3)
"""A rev counter read while riding: ±2 % (common practice, no source)."""

SLOPE_UNCERTAINTY = 0.01 / np.sqrt(3)
"""A slope measured by level or map: ±1 % (common practice, no source)."""

LEVEL_SHARE = 0.05
"""A roll-on time off by less than this share is no reason to doubt the bike file (own rule)."""


class ComparedSpeed(NamedTuple):
    """One marked engine speed: the road speed predicted, and the verdict on it [m/s]."""

    row: MarkedSpeed
    with_gearing: int
    predicted: Mean
    verdict: Verdict


class ComparedRuns(NamedTuple):
    """One row of roll-ons: times, and the verdict on them [s].

    Attributes:
        more_runs: Runs each way that would do, if it is too noisy; infinite if none would [count].
    """

    row: TimedRuns
    with_gearing: int
    predicted: Mean
    measured: Mean
    verdict: Verdict
    more_runs: float


class ComparedChange(NamedTuple):
    """The same roll-on before and after: time with the chosen gearing less that with the fitted
    one, and the verdict on that change [s]."""

    row: TimedRuns
    predicted: Mean
    measured: Mean
    verdict: Verdict


class ComparedHill(NamedTuple):
    """One climb, and the steepest slope that its gear should hold, rise over run [-]."""

    row: HillRun
    with_gearing: int
    steepest: Mean
    verdict: HillVerdict


@dataclass(frozen=True)
class Compared:
    """Everything that was measured beside its prediction."""

    speeds: tuple[ComparedSpeed, ...] = ()
    runs: tuple[ComparedRuns, ...] = ()
    changes: tuple[ComparedChange, ...] = ()
    hills: tuple[ComparedHill, ...] = ()


@dataclass(frozen=True)
class Predictions:
    """What the explorer says of both gearings of one bike."""

    study: Study

    def marked_speeds(self, rows: Sequence[tuple[int, MarkedSpeed]]) -> list[ComparedSpeed]:
        """Road speed at a marked engine speed against GPS; rows without gear are passed over."""
        rollouts, ratios = self.study.rollouts, self.study.ratios
        vehicle = self.study.drive.vehicle
        found = []
        for which, row in rows:
            if row.gear is None or row.engine_speed is None:
                continue
            overall = gearing.overall_ratio(
                vehicle.primary, vehicle.gears[row.gear - 1], 1.0, ratios[which]
            )
            speed = float(gearing.road_speed(row.engine_speed, overall, rollouts[which].value))
            share = MEASURED_ROLLOUT if rollouts[which].source == "measured" else COMPUTED_ROLLOUT
            both = Mean(speed, speed * float(np.hypot(share, REV_COUNTER_SHARE)), np.inf)
            half = speed * _half_width(share, REV_COUNTER_SHARE)
            predicted = _as_mean(speed, Band(half, half))
            rear = self.study.fitments[which].rear
            # A wrong count of the rear sprocket by two teeth would show.
            verdict = compare(both, Mean(row.gps, GPS_UNCERTAINTY, np.inf), speed * 2 / rear)
            found.append(ComparedSpeed(row, which, predicted, verdict))
        return found

    def roll_ons(
        self, rows: Sequence[tuple[int, TimedRuns]]
    ) -> tuple[list[ComparedRuns], list[ComparedChange]]:
        """Each row against its prediction, and every roll-on that was timed with both gearings."""
        alone: list[ComparedRuns] = []
        estimates: dict[tuple, Sampled] = {}
        for which, row in rows:
            key = _asked(row)
            if key not in estimates:
                ends = {"from_speed": row.from_speed, "to_speed": row.to_speed}
                measure = partial(measures.roll_on, gear=row.gear - 1, **ends)
                estimates[key] = self._estimate(measure)
            predicted = _mean_of(estimates[key], which)
            measured, scatter = measured_time(row)
            matters = LEVEL_SHARE * predicted.value
            verdict = compare(predicted, measured, matters)
            more = runs_needed(predicted, scatter, matters)
            alone.append(ComparedRuns(row, which, predicted, measured, verdict, more))
        return alone, self._changes(alone, estimates)

    def hills(self, rows: Sequence[tuple[int, HillRun]]) -> list[ComparedHill]:
        """Each climb against the steepest slope that its gear should hold."""
        found = []
        for which, row in rows:
            estimate = self._estimate(partial(_steepest, gear=row.gear - 1))
            steepest = _mean_of(estimate, which)
            verdict = compare_hill(steepest, Mean(row.slope, SLOPE_UNCERTAINTY, np.inf), row.held)
            found.append(ComparedHill(row, which, steepest, verdict))
        return found

    def _changes(
        self, alone: Sequence[ComparedRuns], estimates: dict[tuple, Sampled]
    ) -> list[ComparedChange]:
        found = []
        before = {_asked(each.row): each for each in alone if each.with_gearing == FITTED}
        for after in alone:
            key = _asked(after.row)
            if after.with_gearing != CHOSEN or key not in before:
                continue
            predicted = _as_mean(*estimates[key].change(FITTED, CHOSEN))
            measured = change(before[key].measured, after.measured)
            # A measurement that could not tell the promised change from none confirms nothing.
            verdict = compare(predicted, measured, max(abs(predicted.value), 1e-9))
            found.append(ComparedChange(after.row, predicted, measured, verdict))
        return found

    def _estimate(self, measure: Callable[[Drive, ShiftPoints], FloatArray]) -> Sampled:
        driven = self.study.drawn(self.study.spreads, slope=0.0, head_wind=0.0)
        return Sampled.of(measure(driven.drive, driven.shifts), self.study.count)


def _asked(row: TimedRuns) -> tuple:
    return row.gear, row.from_speed, row.to_speed


def measured_time(row: TimedRuns) -> tuple[Mean, float]:
    """Mean time of the runs both ways, and the scatter of a single run about its direction [s]."""
    if min(len(row.there), len(row.back)) >= 2:
        left = [np.array(way) - np.mean(way) for way in (row.there, row.back)]
        freedom = len(row.there) + len(row.back) - 2
        scatter = float(np.sqrt(sum(float(each @ each) for each in left) / freedom))
        return mean_both_ways(row.there, row.back, row.resolution), scatter
    # One run one of the ways: the two directions together still show a scatter, wind and all.
    runs = np.array([*row.there, *row.back])
    mean = mean_of_runs(runs, row.resolution)
    centre = (np.mean(row.there) + np.mean(row.back)) / 2
    return mean._replace(value=float(centre)), float(runs.std(ddof=1))


def speedometer_line(rows: Sequence[MarkedSpeed]) -> LineFit | None:
    """Indicated over true speed as a line; None with fewer than three readings.

    Raises:
        ValueError: If all readings are at one speed.
    """
    pairs = [(row.gps, row.indicated) for row in rows if row.indicated is not None]
    if len(pairs) < 3:
        return None
    true, indicated = np.array(pairs).T
    return fit_line(true, indicated)


def _mean_of(estimate: Sampled, which: int) -> Mean:
    return _as_mean(float(estimate.value[which]), estimate.band.at(which))


def _as_mean(value: float, band: Band) -> Mean:
    """A prediction whose ± is alike on both sides, as a measurement's is: the longer for both."""
    return Mean(value, float(band.widest / coverage_factor(np.inf)), np.inf)


def _half_width(first: float, second: float) -> float:
    """Half the 95 % interval of the sum of two evenly spread inputs of these standard
    uncertainties: their trapezoid's, JCGM 100:2008 (GUM), 4.3.9 (number from memory)."""
    small, large = sorted(np.sqrt(3) * np.array([first, second]))
    if small < 0.05 * large:  # the ends lie on the flat top
        return 0.95 * large
    return small + large - np.sqrt(0.2 * small * large)


def _steepest(drive: Drive, shifts: ShiftPoints, gear: int) -> FloatArray:
    return np.tan(measures.steepest_slope_by_gear(drive)[:, gear])
