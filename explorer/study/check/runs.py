"""Runs to calibrate with, found in a logged ride: coast-downs, and pulls in one gear. All in SI."""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from itertools import pairwise

import numpy as np

from explorer.calc.ride.calibration_model import BACK, COASTING, THERE, Trace
from explorer.calc.ride.ride_speed import covered
from explorer.calc.ride.run_stretches import coasting_stretches, pulling_stretches
from explorer.records.rides.ride import Ride, Segment
from explorer.study.check.calibrate_result import SPEED_UNCERTAINTY

_SPEEDS_PER_RUN = 60
"""A run at ten speeds a second is thinned: its neighbours tell nothing new [count]."""

_MOST_RIDE_RUNS = 40

_LEAST_RISE = 3.0
"""Least rise of the speed in a pull that is used [m/s]."""

_HILL, _WANDER = 0.03, 3.0
"""A stretch is on a hill if its altitude changes by more than this share of the way and this much
besides (own rule) [-], [m]."""

_LEAST_WAY = 150.0
"""Way over which a rise is looked at (own rule) [m]."""

_SETTLED = 0.6
"""A change of gear is felt so long before and after the gear that a log tells: the throttle is
closed, the clutch slips (own rule) [s]."""


@dataclass(frozen=True, eq=False)
class RideRun:
    """A stretch of a ride that may be a coast-down or a pull.

    Attributes:
        coasting (bool): Whether the speed falls.
        time, speed (array (n,)): Its moments [s, m/s].
        heading: Direction of travel, clockwise from north; NaN if the log has no positions [rad].
        gear: 1 for first, where the log tells it.
    """

    coasting: bool
    time: np.ndarray
    speed: np.ndarray
    heading: float
    gear: int | None


def ride_runs(ride: Ride, overall: Sequence[float], rollout_length: float) -> list[RideRun]:
    """Stretches of a ride without glitches that may be coast-downs or pulls, at most forty: first
    the coast-downs, each kind in the order of time. Overall ratios [-] and roll-out [m] tell the
    gear from an engine speed."""
    found: list[RideRun] = []
    for segment in ride.segments:
        found += [
            _run(segment, stretch, True, None)
            for stretch in coasting_stretches(segment.time, segment.speed)
            if not _on_a_hill(segment, stretch)
        ]
    for segment in ride.segments:
        gears = _gears_of(segment, overall, rollout_length)
        for stretch in pulling_stretches(segment.time, segment.speed):
            if _on_a_hill(segment, stretch):
                continue
            if gears is None:
                found.append(_run(segment, stretch, False, None))
            elif (one := _in_one_gear(segment, stretch, gears)) is not None:
                found.append(_run(segment, one, False, int(gears[one.start])))
    return found[:_MOST_RIDE_RUNS]


def gear_between(
    ride: Ride, start: float, end: float, overall: Sequence[float], rollout_length: float
) -> int | None:
    """The one gear of a while, 1 for first; None where the log does not tell it."""
    for segment in ride.segments:
        inside = (segment.time >= start) & (segment.time <= end)
        gears = _gears_of(segment, overall, rollout_length) if inside.any() else None
        if gears is not None and len(set(gears[inside].tolist())) == 1:
            return int(gears[inside][0]) or None
    return None


def ridden_back(runs: Sequence[RideRun]) -> list[bool]:
    """Which runs go against the first that has a heading; the compass is all that tells it."""
    headings = [run.heading for run in runs if not math.isnan(run.heading)]
    return [not math.isnan(run.heading) and math.cos(run.heading - headings[0]) < 0 for run in runs]


def traces_of(
    runs: Sequence[RideRun], gear: int, back: Sequence[bool] | None = None
) -> list[Trace]:
    """The runs that a rider picked as observations.

    Args:
        gear: Gear of the pulls whose gear the log does not tell, 1 for first.
        back: Which of them were ridden back; by the compass if left out.
    """
    found = []
    for run, is_back in zip(runs, ridden_back(runs) if back is None else back, strict=True):
        most = min(len(run.time), _SPEEDS_PER_RUN)
        rows = np.unique(np.linspace(0, len(run.time) - 1, most).astype(int))
        in_gear = COASTING if run.coasting else (run.gear or gear) - 1
        way = BACK if is_back else THERE
        found.append(Trace(run.time[rows], run.speed[rows], in_gear, way, SPEED_UNCERTAINTY))
    return found


def _run(segment: Segment, stretch: slice, coasting: bool, gear: int | None) -> RideRun:
    heading = math.nan
    if segment.course is not None:
        course = segment.course[stretch]
        course = course[np.isfinite(course)]
        if course.size:
            heading = float(np.angle(np.exp(1j * course).mean()))
    return RideRun(coasting, segment.time[stretch], segment.speed[stretch], heading, gear)


def _on_a_hill(segment: Segment, stretch: slice) -> bool:
    """Whether the log's altitudes say that a stretch is not on the level: the fit knows no hills.

    Altitudes by satellite wander, so a rise of a few metres over any length is none.
    """
    if segment.altitude is None:
        return False
    passed = covered(segment.time, segment.speed)
    first, last = passed[stretch.start], passed[stretch.stop - 1]
    # A slope is lost in the wander over a few metres: a short run is looked at in its place.
    beside = max(_LEAST_WAY - (last - first), 0.0) / 2
    begin, end = np.searchsorted(passed, (first - beside, last + beside))
    begin, end = int(begin), min(int(end), len(passed) - 1)
    rise = abs(float(segment.altitude[end] - segment.altitude[begin]))
    # False where an altitude is missing.
    return rise > _HILL * float(passed[end] - passed[begin]) + _WANDER


def _gears_of(
    segment: Segment, overall: Sequence[float], rollout_length: float
) -> np.ndarray | None:
    """Gear at each moment by the log's gear, else by its engine speed, 0 where neither tells it.

    None if the log has neither.
    """
    if segment.gear is not None:
        gears = np.nan_to_num(segment.gear).astype(int)
        return np.where((gears >= 1) & (gears <= len(overall)), gears, 0)
    if segment.engine_speed is None:
        return None
    frequency = np.nan_to_num(segment.engine_speed) / (2 * math.pi)
    ratios = np.maximum(frequency * rollout_length, 1e-3) / np.maximum(segment.speed, 0.1)
    off = np.abs(np.log(ratios[:, np.newaxis] / np.asarray(overall)))
    # Less than a third of a gear step, which is 17 % or more.
    return np.where(off.min(axis=1) < 0.06, off.argmin(axis=1) + 1, 0)


def _in_one_gear(segment: Segment, stretch: slice, gears: np.ndarray) -> slice | None:
    """Longest part of a pull in one gear; None if none is long enough to tell anything."""
    inside, time = gears[stretch], segment.time[stretch]
    changes = np.flatnonzero(np.diff(inside)) + 1
    parts = []
    for first, end in pairwise([0, *changes.tolist(), len(inside)]):
        if not inside[first]:
            continue
        begin = time[first] + _SETTLED if first else time[0]
        until = time[end - 1] - _SETTLED if end < len(inside) else time[-1]
        rows = stretch.start + np.flatnonzero((time >= begin) & (time <= until))
        if len(rows) >= 3:
            parts.append(slice(int(rows[0]), int(rows[-1]) + 1))
    parts = [part for part in parts if np.ptp(segment.speed[part]) >= _LEAST_RISE]
    return max(parts, key=lambda part: np.ptp(segment.time[part]), default=None)
