"""From the points of a log, as its file gives them, to the segments of a ride.

Every reader hands over `Recording`s, one for each stretch that its file marks, and `ride_of` puts
them into order: points without a moment, out of order or off the globe are left out and counted,
speeds come from the positions where the log has none, and silences divide a stretch.
"""

from collections import Counter
from collections.abc import Sequence
from dataclasses import dataclass, fields, replace
from datetime import UTC, datetime
from itertools import pairwise

import numpy as np
from numpy.typing import NDArray

from explorer.calc.ride.ride_filter import LONGEST_GAP, breaks
from explorer.calc.ride.ride_way import FAST_LOG, speeds_along, strays
from explorer.records.errors import RecordError
from explorer.records.rides.csv_columns import CsvColumn
from explorer.records.rides.ride import FEWEST_POINTS, Ride, Segment, Silence, divided
from explorer.records.rides.ride_distance import plane, steps_between

FloatArray = NDArray[np.float64]

MOST_POINTS = 200_000
"""More than 13 hours, four times a second [count]."""

_MOST_OUT_OF_ORDER = 0.05
"""Share of points out of order beyond which a log is taken for broken."""
_LONGEST_RIDE = 48 * 3600.0
_MOSTLY = 0.9
"""Share of points with a speed from which on the log's own speeds are used."""
_SMALLEST_STEP = 1.0
"""A shorter step has no direction to speak of [m]."""


@dataclass(frozen=True, eq=False)
class Recording:
    """Points of a log that its file keeps together; NaN where a point lacks a value.

    Attributes:
        time (array (n,)): Since 1970 where the log has a clock [s].
        and so on (array (n,)): As of a `Segment`.
    """

    time: FloatArray
    latitude: FloatArray
    longitude: FloatArray
    altitude: FloatArray
    speed: FloatArray
    engine_speed: FloatArray
    gear: FloatArray

    @classmethod
    def of(cls, **columns: Sequence[float]) -> "Recording":
        """Points from the columns that the log has."""
        count = len(columns["time"])
        given = {name: np.asarray(values, float) for name, values in columns.items()}
        return cls(
            **{field.name: given.get(field.name, np.full(count, np.nan)) for field in fields(cls)}
        )

    def some(self, rows: NDArray) -> "Recording":
        """The points of these rows."""
        return Recording(**{field.name: getattr(self, field.name)[rows] for field in fields(self)})


def ride_of(
    label: str,
    kind: str,
    recordings: Sequence[Recording],
    with_clock: bool,
    notes: Sequence[str] = (),
    columns: tuple[CsvColumn, ...] = (),
) -> Ride:
    """Put the points of a log into order; RecordError if nothing usable is left.

    Args:
        recordings: The stretches of the file [SI].
        with_clock (bool): Whether the times count from 1970.
        notes: What the reader has to say.
        columns: What its columns were taken for, of a table.
    """
    check_count(sum(len(recording.time) for recording in recordings))
    left_out = _Counts()
    tidied = [_tidied(recording, left_out) for recording in recordings]
    tidied = sorted((each for each in tidied if len(each.time)), key=lambda each: each.time[0])
    if not tidied:
        raise RecordError(_nothing_left(left_out))
    left_out.check_order()
    for before, after in pairwise(tidied):
        if after.time[0] < before.time[-1]:
            raise RecordError(
                "Two stretches of the log cover the same time; open a file with one ride only."
            )
    start = tidied[0].time[0]
    if tidied[-1].time[-1] - start > _LONGEST_RIDE:
        raise RecordError(
            "The log covers more than 48 hours; open a file with one ride, or cut it."
        )
    reported = _has_speeds(tidied)
    segments: list[Segment] = []
    silences: list[Silence] = []
    for recording in tidied:
        moved = replace(recording, time=recording.time - start)
        segment, silent = _segment(moved, reported, left_out)
        silences += silent
        segments += divided(segment)
    if not segments and not any(each.speed for each in silences):
        raise RecordError(_nothing_left(left_out))
    return Ride(
        label=label,
        kind=kind,
        segments=tuple(segments),
        reported_speed=reported,
        notes=(*notes, *left_out.sentences(), *_notes(segments, silences, reported, left_out)),
        silences=tuple(silences),
        start=_moment(start) if with_clock else None,
        columns=columns,
    )


def _moment(start: float) -> datetime | None:
    try:
        return datetime.fromtimestamp(start, UTC)
    except (ValueError, OverflowError, OSError):
        return None


def check_count(points: int) -> None:
    """Refuse more points than are worked on; readers ask before they gather them."""
    if points > MOST_POINTS:
        raise RecordError(
            f"The log has more than {MOST_POINTS} points; cut it, or set the logger to fewer "
            "points each second."
        )


_REASONS = {
    "no_time": "without a time",
    "off_globe": "with a position that is not on the globe",
    "backward": "whose time runs backward",
    "twice": "with the time of the point before",
    "empty": "without position and speed",
    "stray": "with a position too far from those before and after it",
}
"""Why points are left out."""


class _Counts(Counter[str]):
    """Points left out, by the reason, of all the points [count]."""

    points = 0

    def note(self, reason: str, rows: NDArray[np.bool_]) -> NDArray[np.bool_]:
        """Count these rows as left out; the others."""
        self[reason] += int(rows.sum())
        return ~rows

    @property
    def used(self) -> int:
        return self.points - self.total()

    def check_order(self) -> None:
        if self["backward"] > _MOST_OUT_OF_ORDER * self.points:
            raise RecordError(
                f"The times of the log run backward at {self['backward']} of {self.points} points; "
                "open the file as the logger wrote it."
            )

    def sentences(self) -> list[str]:
        return [
            f"{count} points {reason} were left out."
            if count > 1
            else f"1 point {reason} was left out."
            for name, reason in _REASONS.items()
            if (count := self[name])
        ]


def _nothing_left(left_out: _Counts) -> str:
    if not left_out.points:
        return "The log has no points; record a ride and open its file."
    if left_out["no_time"] == left_out.points:
        return (
            "The log has positions without times, so no speed can come of it; record it as a "
            "track with times."
        )
    used = left_out.used
    if not used:
        return (
            "The log has no point with a time and a position or speed; check that it is the file "
            "of a ride."
        )
    reasons = left_out.sentences()
    few = f"{used} of {left_out.points} points can be used" if reasons else f"The log has {used}"
    return (
        f"{few if reasons else few + (' point' if used == 1 else ' points')}, too few or too far "
        f"apart for a ride. {' '.join(reasons)}".rstrip()
    )


def _tidied(recording: Recording, left_out: _Counts) -> Recording:
    """The points that can be used, in the order of time."""
    left_out.points += len(recording.time)
    recording = recording.some(left_out.note("no_time", ~np.isfinite(recording.time)))
    latitude, longitude = recording.latitude, recording.longitude
    placed = np.isfinite(latitude) & np.isfinite(longitude)
    with np.errstate(invalid="ignore"):
        off = placed & ((np.abs(latitude) > 90) | (np.abs(longitude) > 180))
    empty = ~placed & ~np.isfinite(recording.speed)
    recording = recording.some(left_out.note("off_globe", off) & left_out.note("empty", empty))
    if not len(recording.time):
        return recording
    latest = np.maximum.accumulate(recording.time)
    before = np.concatenate(([-np.inf], latest[:-1]))
    onward = left_out.note("backward", recording.time < before)
    return recording.some(onward & left_out.note("twice", recording.time == before))


def _has_speeds(recordings: Sequence[Recording]) -> bool:
    speeds = np.concatenate([recording.speed for recording in recordings])
    places = np.concatenate([recording.latitude for recording in recordings])
    return bool(np.isfinite(speeds).mean() >= _MOSTLY or not np.isfinite(places).any())


def _segment(
    recording: Recording, reported: bool, left_out: _Counts
) -> tuple[Segment, list[Silence]]:
    """One stretch with speeds and positions, and where it is silent."""
    placed_rows = np.isfinite(recording.latitude) & np.isfinite(recording.longitude)
    recording = recording.some(np.isfinite(recording.speed) if reported else placed_rows)
    # A logger's noise about standing still is no way back.
    recording = replace(recording, speed=np.maximum(recording.speed, 0.0))
    placed = bool(np.isfinite(recording.latitude).all() and np.isfinite(recording.longitude).all())
    interval = np.diff(recording.time)
    usual = float(np.median(interval)) if len(interval) else 0.0
    if placed and not reported and not FAST_LOG <= usual <= LONGEST_GAP:
        # Else a glitch of the speed shows it.
        astray = strays(recording.time, steps_between(recording.latitude, recording.longitude)[0])
        recording = recording.some(left_out.note("stray", astray))
        interval = np.diff(recording.time)
    if len(recording.time) < 2:
        nothing = np.empty(0)
        return Segment(nothing, nothing, nothing), []
    if placed:
        step, course = steps_between(recording.latitude, recording.longitude)
    else:
        step = 0.5 * (recording.speed[1:] + recording.speed[:-1]) * interval
        course = np.full(step.shape, np.nan)
    course[step < _SMALLEST_STEP] = np.nan
    silent = [
        Silence(float(recording.time[row]), float(interval[row]), float(step[row] / interval[row]))
        for row in np.flatnonzero(interval > LONGEST_GAP)
    ]
    if not reported and usual >= FAST_LOG:
        return _of_middles(recording, step / interval, interval, course), silent
    course = np.append(course, course[-1])
    if not reported:
        recording, course = _fast(recording)
    return _of_points(recording, interval, course if placed else None), silent


def _fast(recording: Recording) -> tuple[Recording, FloatArray]:
    """Speeds and directions of positions that come several times a second."""
    origin = recording.latitude[0], recording.longitude[0]
    places = plane(recording.latitude, recording.longitude, origin)
    speed, course = np.zeros(len(recording.time)), np.zeros(len(recording.time))
    ends = breaks(recording.time)
    for rows in np.split(np.arange(len(recording.time)), ends):
        if len(rows) >= FEWEST_POINTS:
            along = speeds_along(recording.time[rows], *(each[rows] for each in places))
            speed[rows], course[rows] = along
    return replace(recording, speed=speed), np.where(speed < _SMALLEST_STEP, np.nan, course)


def _of_points(recording: Recording, interval: FloatArray, course: FloatArray | None) -> Segment:
    """A segment whose speeds lie at the moments of the log."""
    within = np.where(interval <= LONGEST_GAP, interval, 0.0) / 2
    return Segment(
        time=recording.time,
        speed=recording.speed,
        lasting=np.append(within, 0.0) + np.insert(within, 0, 0.0),
        course=course,
        latitude=recording.latitude if course is not None else None,
        longitude=recording.longitude if course is not None else None,
        altitude=_or_none(recording.altitude),
        engine_speed=_or_none(recording.engine_speed),
        gear=_or_none(recording.gear),
    )


def _of_middles(
    recording: Recording, speed: FloatArray, interval: FloatArray, course: FloatArray
) -> Segment:
    """A segment whose speeds lie between two positions, and so do its moments."""
    gear = np.where(recording.gear[1:] == recording.gear[:-1], recording.gear[1:], np.nan)
    # A step over a silence is no speed at a moment.
    rows = interval <= LONGEST_GAP
    turn = np.remainder(np.diff(recording.longitude) + 180, 360) - 180
    return Segment(
        time=_middle(recording.time),
        speed=speed,
        lasting=interval,
        course=course,
        latitude=_middle(recording.latitude),
        longitude=recording.longitude[:-1] + turn / 2,
        altitude=_or_none(_middle(recording.altitude)),
        engine_speed=_or_none(_middle(recording.engine_speed)),
        gear=_or_none(gear),
    ).some(rows)


def _middle(values: FloatArray) -> FloatArray:
    return 0.5 * (values[1:] + values[:-1])


def _or_none(values: FloatArray) -> FloatArray | None:
    return values if np.isfinite(values).any() else None


def _notes(
    segments: list[Segment], silences: list[Silence], reported: bool, left_out: _Counts
) -> list[str]:
    notes = []
    if not reported:
        notes.append("The log has no speeds; they were computed from its positions and times.")
    if silences and segments:
        many = len(silences)
        notes.append(
            f"The log is silent for more than 5 seconds at {many} place{'s' if many > 1 else ''}; "
            "nothing is computed across."
        )
    used = left_out.used
    if not segments and 2 * used < left_out.points:
        return [
            *notes,
            f"Only {used} of {left_out.points} points can be used: that gives a distance at most. "
            "Record a track whose points all have a time.",
        ]
    if not segments:
        usual = np.median([each.duration for each in silences])
        return [
            *notes,
            f"The log has a point every {usual:.0f} seconds. That gives distance and moving time; "
            "set the logger to one point a second for speeds, roll-ons, gears and hills.",
        ]
    interval = np.median(np.concatenate([np.diff(segment.time) for segment in segments]))
    if interval > 2.5:
        notes.append(
            f"The log has a point every {interval:.0f} seconds only; set the logger to one each "
            "second."
        )
    return notes
