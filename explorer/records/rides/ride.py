"""A ride as it was logged: stretches of time and speed, and whatever else the log has.

A segment is a stretch without a break in the log. Nothing is ever computed across a break: where
reception was lost, a pause began or another file starts, a new segment begins.
"""

from collections.abc import Iterable, Iterator
from dataclasses import dataclass, fields, replace
from datetime import datetime

import numpy as np
from numpy.typing import NDArray

from explorer.calc.ride.ride_filter import LONGEST_GAP, breaks, kept_speeds
from explorer.records.errors import RecordError

FloatArray = NDArray[np.float64]

FEWEST_POINTS = 2
"""Shortest segment of any use [count]."""


@dataclass(frozen=True, eq=False)
class Segment:
    """A stretch of a ride without a break; all arrays have one value for each moment.

    Attributes:
        time (array (n,), increasing): Since the start of the ride, the same zero in all its
            segments [s].
        speed (array (n,), non-negative): Over the ground, as logged or from the positions before
            and after [m/s].
        distance (array (n,), non-decreasing): Along the track since the start of the segment [m].
        course (array (n,) or None): Direction of travel, clockwise from north [rad].
        altitude (array (n,) or None): Above sea level; NaN where the log has none [m].
        engine_speed (array (n,) or None): NaN where the log has none [rad/s].
        gear (array (n,) or None): 1 for first gear, 0 for neutral; NaN where the log has none [-].
    """

    time: FloatArray
    speed: FloatArray
    distance: FloatArray
    course: FloatArray | None = None
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


@dataclass(frozen=True)
class Silence:
    """A stretch of time without any point in the log.

    Attributes:
        start, duration: When it began, since the start of the ride, and how long it lasted [s].
        speed: Straight way across it over its duration; less than was ridden [m/s].
    """

    start: float
    duration: float
    speed: float


@dataclass(frozen=True, eq=False)
class Ride:
    """One or more log files, read and put into order.

    Attributes:
        label: Name of the file, or of several.
        kind: Form of the log, such as "GPX 1.1".
        segments: At least one, in the order of time.
        length: Way along the track, breaks inside one recording included [m].
        reported_speed (bool): Whether the log gave speeds; False where they were computed from
            positions.
        notes: What was left out or assumed while reading, one sentence each.
        silences: Where a recording is silent for too long; its speeds count nowhere.
        start: Moment of time 0, if the log tells it.
    """

    label: str
    kind: str
    segments: tuple[Segment, ...]
    length: float
    reported_speed: bool
    notes: tuple[str, ...] = ()
    silences: tuple[Silence, ...] = ()
    start: datetime | None = None

    @property
    def points(self) -> int:
        """Moments with a speed [count]."""
        return sum(len(segment.time) for segment in self.segments)

    @property
    def duration(self) -> float:
        """Time in the segments, breaks left out [s]."""
        return sum(segment.duration for segment in self.segments)

    def has(self, column: str) -> bool:
        """Whether any segment has this column with at least one value."""
        found = (getattr(segment, column) for segment in self.segments)
        return any(values is not None and np.isfinite(values).any() for values in found)

    def cleaned(self) -> "Ride":
        """The same ride without glitches; a segment is divided where too much is missing.

        What the filter does is said in :mod:`explorer.calc.ride.ride_filter`.
        """
        segments: list[Segment] = []
        for segment in self.segments:
            rows = np.flatnonzero(kept_speeds(segment.time, segment.speed))
            segments += divided(segment.some(rows))
        if not segments:
            raise RecordError(
                f"Nothing is left of {self.label} when its glitches are taken out; bring a ride "
                "with at least a minute of steady reception."
            )
        return replace(self, segments=tuple(segments))


def divided(segment: Segment, longest_gap: float = LONGEST_GAP) -> list[Segment]:
    """Divide a segment wherever the log is silent for too long; single moments are left out.

    Args:
        segment: Any number of moments.
        longest_gap: Longest silence inside a segment [s].

    Returns:
        Each with at least two moments.
    """
    ends = breaks(segment.time, longest_gap)
    parts = np.split(np.arange(len(segment.time)), ends)
    return [segment.some(rows) for rows in parts if len(rows) >= FEWEST_POINTS]


def joined(rides: Iterable[Ride]) -> Ride:
    """Several logs as one ride; each keeps its own segments.

    Args:
        rides: At least one.

    Returns:
        Times run on from one to the next where the logs have no common clock.
    """
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
        length=sum(ride.length for ride in rides),
        reported_speed=all(ride.reported_speed for ride in rides),
        notes=tuple(notes),
        silences=tuple(silences),
        start=rides[0].start if with_clock else None,
    )
