"""A ride as it was logged: stretches of time and speed, and whatever else the log has.

A segment is a stretch without a break in the log. Nothing is ever computed across a break: where
reception was lost, a pause began or another file starts, a new segment begins.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from datetime import datetime
from functools import cached_property
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from explorer.calc.ride.ride_filter import LONGEST_GAP, breaks, kept_speeds
from explorer.calc.ride.ride_way import STANDING, in_motion, shares_of_time
from explorer.records.errors import RecordError
from explorer.records.rides.csv_columns import CsvColumn
from explorer.records.rides.ride_distance import plane, steps_between

FloatArray = NDArray[np.float64]

FEWEST_POINTS = 2
"""Shortest segment of any use [count]."""
_FASTEST_ACROSS = 50.0
"""More than a motorcycle of this kind averages straight across a silence [m/s]."""
_LONGEST_ACROSS = 600.0
"""Over a longer silence no straight line says what was ridden [s]."""


@dataclass(frozen=True, eq=False)
class Segment:
    """A stretch of a ride without a break; all arrays have one value for each moment.

    Attributes:
        time (array (n,), increasing): Since the start of the ride, the same zero in all its
            segments [s].
        speed (array (n,), non-negative): Over the ground, as logged or from the positions before
            and after [m/s].
        lasting (array (n,), non-negative): How long each moment stands for [s].
        latitude, longitude (array (n,) or None): WGS 84; between two positions where the speed
            is [deg].
        course (array (n,) or None): Direction of travel, clockwise from north [rad].
        altitude (array (n,) or None): Above sea level; NaN where the log has none [m].
        engine_speed (array (n,) or None): NaN where the log has none [rad/s].
        gear (array (n,) or None): 1 for first gear, 0 for neutral; NaN where the log has none [-].
    """

    time: FloatArray
    speed: FloatArray
    lasting: FloatArray
    course: FloatArray | None = None
    latitude: FloatArray | None = None
    longitude: FloatArray | None = None
    altitude: FloatArray | None = None
    engine_speed: FloatArray | None = None
    gear: FloatArray | None = None

    def __post_init__(self) -> None:
        for name, values in self.columns():
            if len(values) != len(self.time):
                raise ValueError(f"{name} needs one value for each of the {len(self.time)} times")

    def columns(self) -> Iterator[tuple[str, FloatArray]]:
        """Name and array of everything the segment has."""
        for field in fields(self):
            values = getattr(self, field.name)
            if values is not None:
                yield field.name, values

    def some(self, rows: NDArray) -> "Segment":
        """The same stretch with some of its moments."""
        return replace(self, **{name: values[rows] for name, values in self.columns()})

    @property
    def duration(self) -> float:
        """From the first to the last moment [s]."""
        return float(self.time[-1] - self.time[0])

    def motion(self) -> tuple[float, float]:
        """Way and time in motion, standing left out [m], [s]."""
        places = (None, None)
        if self.latitude is not None:
            places = plane(self.latitude, self.longitude, (self.latitude[0], self.longitude[0]))
        lasting = self.lasting * in_motion(self.time, self.speed, *places)
        return float(lasting @ self.speed), float(lasting.sum())


@dataclass(frozen=True)
class Silence:
    """A stretch of time without any point in the log: when it began, since the ride did, how long
    it lasted [s], and the straight way across it over that, less than was ridden [m/s]."""

    start: float
    duration: float
    speed: float


@dataclass(frozen=True, eq=False)
class Ride:
    """One or more log files, read and put into order.

    Attributes:
        kind: Form of the log, such as "GPX 1.1".
        segments: In the order of time; none where the log is too sparse for speeds.
        reported_speed (bool): Whether the log gave speeds; False where they were computed from
            positions.
        notes: What was left out or assumed while reading, one sentence each.
        silences: Where a recording is silent for too long; its speeds count nowhere.
        start: Moment of time 0, if the log tells it.
        columns: What the columns of a table were taken for; of several, those of the first.
    """

    label: str
    kind: str
    segments: tuple[Segment, ...]
    reported_speed: bool
    notes: tuple[str, ...] = ()
    silences: tuple[Silence, ...] = ()
    start: datetime | None = None
    columns: tuple[CsvColumn, ...] = ()

    @property
    def points(self) -> int:
        """Moments with a speed [count]."""
        return sum(len(segment.time) for segment in self.segments)

    @property
    def duration(self) -> float:
        """Time in the segments, breaks left out [s]."""
        return sum(segment.duration for segment in self.segments)

    @property
    def sparse(self) -> bool:
        """Whether its points are too far apart for speeds: only way and time come of it."""
        return not self.segments

    @cached_property
    def _motion(self) -> tuple[float, float]:
        parts = [segment.motion() for segment in self.segments]
        # A silence that would have been ridden faster than that begins or ends astray.
        parts += [
            (each.speed * each.duration, each.duration * (each.speed >= STANDING))
            for each in self.silences
            if each.speed <= _FASTEST_ACROSS and each.duration <= _LONGEST_ACROSS
        ]
        return sum(way for way, _ in parts), sum(time for _, time in parts)

    @property
    def length(self) -> float:
        """Way in motion, straight across silences; of a cleaned ride, without its glitches [m]."""
        return self._motion[0]

    @property
    def moving(self) -> float:
        """Time in motion [s]."""
        return self._motion[1]

    def has(self, column: str) -> bool:
        """Whether any segment has this column with at least one value."""
        found = (getattr(segment, column) for segment in self.segments)
        return any(values is not None and np.isfinite(values).any() for values in found)

    def cleaned(self) -> "Ride":
        """The same ride without glitches, by :mod:`explorer.calc.ride.ride_filter`; a segment is
        divided where too much is missing."""
        if self.sparse:
            return self
        segments: list[Segment] = []
        silences = list(self.silences)
        for segment in self.segments:
            rows = np.flatnonzero(kept_speeds(segment.time, segment.speed))
            if not len(rows):
                # Too short to be checked: a way all the same.
                mean = float(segment.lasting @ segment.speed) / max(segment.duration, 1e-9)
                silences.append(Silence(float(segment.time[0]), segment.duration, mean))
                continue
            lasting = shares_of_time(segment.time, segment.lasting, rows)
            parts = divided(replace(segment.some(rows), lasting=lasting))
            silences += [silence_between(*pair) for pair in pairwise(parts)]
            segments += parts
        if not segments:
            raise RecordError(
                f"Nothing is left of {self.label} when its glitches are taken out; bring a ride "
                "with at least a minute of steady reception."
            )
        return replace(self, segments=tuple(segments), silences=tuple(silences))


def silence_between(before: Segment, after: Segment) -> Silence:
    """What lies between two segments of one recording; without positions it has no way."""
    start, end = float(before.time[-1]), float(after.time[0])
    step = np.zeros(1)
    if before.latitude is not None and after.latitude is not None:
        ends = [
            (each.latitude[row], each.longitude[row]) for each, row in ((before, -1), (after, 0))
        ]
        step, _ = steps_between(*np.transpose(ends))
    return Silence(start, end - start, float(step[0]) / (end - start))


def divided(segment: Segment) -> list[Segment]:
    """Divide a segment wherever the log is silent for too long; single moments are left out."""
    parts = np.split(np.arange(len(segment.time)), breaks(segment.time))
    return [segment.some(rows) for rows in parts if len(rows) >= FEWEST_POINTS]


def joined(rides: Iterable[Ride]) -> Ride:
    """Several logs as one ride; each keeps its own segments, and times run on from one to the next
    where the logs have no common clock."""
    rides = list(rides)
    if len(rides) == 1:
        return rides[0]
    with_clock = all(ride.start is not None for ride in rides)
    if with_clock:
        rides.sort(key=lambda ride: ride.start)
    segments: list[Segment] = []
    silences: list[Silence] = []
    end = 0.0
    overlapping = False
    for ride in rides:
        shift = (ride.start - rides[0].start).total_seconds() if with_clock else end
        silences += [replace(each, start=each.start + shift) for each in ride.silences]
        for segment in ride.segments:
            moved = replace(segment, time=segment.time + shift)
            overlapping = overlapping or moved.time[0] < end
            segments.append(moved)
            end = max(end, float(moved.time[-1]) + LONGEST_GAP + 1.0)
    if overlapping:
        raise RecordError(
            "Two of the files cover the same time; open only one of them, or they would count "
            "twice."
        )
    notes = [f"{ride.label}: {note}" for ride in rides for note in ride.notes]
    return Ride(
        label=" + ".join(ride.label for ride in rides),
        kind=", ".join(dict.fromkeys(ride.kind for ride in rides)),
        segments=tuple(segments),
        reported_speed=all(ride.reported_speed for ride in rides),
        notes=tuple(notes),
        silences=tuple(silences),
        start=rides[0].start if with_clock else None,
        columns=next((ride.columns for ride in rides if ride.columns), ()),
    )
