"""What a ride says, computed once for a ride, a bike and a set-up."""

from collections.abc import Callable
from dataclasses import dataclass
from functools import cached_property
from itertools import pairwise

import numpy as np

from explorer import units
from explorer.calc.ride.ride_replay import Replay, replay
from explorer.calc.ride.ride_speed import (
    HeldSpeeds,
    RollOns,
    covered,
    held_speeds,
    roll_ons,
    time_at_speed,
)
from explorer.calc.ride.ride_summary import (
    SlopeBins,
    Slopes,
    TopSpeed,
    slopes_along,
    speed_on_slopes,
    top_speed_held,
)
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.rides.ride import Ride, Segment
from explorer.records.rides.ride_distance import plane
from explorer.records.setups.setup import Setup
from explorer.study.check.gears import GearsFound, GearsInferred, find_gears, infer_all_gears
from explorer.study.study import FITTED, Study

HELD_FOR = 5.0
"""A top speed counts if it was held so long [s]."""
CLUTCH_OUT = 1.2
"""Slowest engine with the clutch out, over idle (common practice, no source) [-]."""
SLOPE_EDGES = np.array([-1.0, -0.10, -0.05, -0.02, 0.02, 0.05, 0.10, 1.0])
_ROLL_ON_SPEEDS = {"metric": (20, 40, 60, 80, 100), "imperial": (15, 25, 35, 50, 60)}
_BIN = 5.0
"""Width of a bin of the histogram [unit of speed on the page]."""
_MOST_ROLL_ONS = 3

Progress = Callable[[float], None]


@dataclass(frozen=True, eq=False)
class RollOn:
    """The best passages between two speeds [m/s].

    Attributes:
        duration, distance, start (array (passages,)): Best first, at most three [s], [m], [s].
        count: How many the ride has.
    """

    start_speed: float
    end_speed: float
    duration: FloatArray
    distance: FloatArray
    start: FloatArray
    count: int


@dataclass(frozen=True, eq=False)
class RideResult:
    """All that the page says of one ride: each answer worked out when first asked for, and kept.

    Attributes:
        ride, cleaned: As logged, and its `Ride.cleaned`, without its glitches.
        bike, setup (Bike, Setup): What it is compared with.
        ridden: `FITTED` or `CHOSEN`: which gearing was on the bike during the ride.
    """

    ride: Ride
    cleaned: Ride
    bike: Bike
    setup: Setup
    ridden: int

    @cached_property
    def held(self) -> HeldSpeeds:
        """Mean speeds over five seconds."""
        return joined_held(self.cleaned.segments)

    @cached_property
    def top(self) -> TopSpeed | None:
        """Top speed held; None where no speed was."""
        return top_speed_held(self.held, _places(self.cleaned.segments, self.held))

    @cached_property
    def histogram(self) -> tuple[FloatArray, FloatArray]:
        """Bins of speed [m/s] and the time in each [s]."""
        return _histogram(self.cleaned.segments, self.setup.units)

    @cached_property
    def roll_ons(self) -> tuple[RollOn, ...]:
        """Those that the ride has."""
        return _roll_ons(self.cleaned.segments, self.setup)

    @cached_property
    def slopes(self) -> SlopeBins | None:
        """Speeds on slopes; None without altitudes."""
        return _slopes(self.cleaned.segments)

    @cached_property
    def _study(self) -> Study:
        return Study.of(self.bike, self.setup)

    @cached_property
    def quotient(self) -> FloatArray:
        """Engine over road speed of both gearings, (2, gears) [rad/m]."""
        return (self._study.drive.overall / self._study.drive.radius)[:, :, 0]

    @property
    def rollout_measured(self) -> bool:
        """Whether the roll-out of the gearing ridden was measured."""
        return self._study.rollouts[self.ridden].source == "measured"

    @property
    def _slowest_engine(self) -> float:
        return CLUTCH_OUT * self.bike.engine.idle.si

    @property
    def _changes_at(self) -> tuple[float, float]:
        """Engine speed at which the rider changes up, and at the rev limit [rad/s]."""
        return self._study.shift_at, self.bike.engine.rev_limit.si

    @cached_property
    def found(self) -> GearsFound | None:
        """Gears found in the engine speeds; None without these."""
        if not self.cleaned.has("engine_speed"):
            return None
        teeth = self.bike.sprockets if self.ridden == FITTED else self.setup
        turn = self._study.rollouts[self.ridden].value
        known = turn, self.bike.gearbox.primary.si, self.rollout_measured
        gears = self.quotient[self.ridden], self._slowest_engine
        return find_gears(self.cleaned.segments, *gears, (teeth.front, teeth.rear, *known))

    @cached_property
    def inferred(self) -> GearsInferred | None:
        """Gears inferred from the shift points; None with engine speeds."""
        if self.cleaned.has("engine_speed"):
            return None
        gears = self.quotient[self.ridden]
        return infer_all_gears(self.cleaned.segments, gears, *self._changes_at)

    @cached_property
    def replays(self) -> tuple[Replay, ...]:
        """The same ride again, `FITTED` and `CHOSEN`."""
        engine = *self._changes_at, self._slowest_engine
        return tuple(_replayed(self.cleaned.segments, each, *engine) for each in self.quotient)

    @property
    def slowest_clutch_out(self) -> FloatArray:
        """Slowest speed in first gear with the clutch out, with both gearings [m/s]."""
        return self._slowest_engine / self.quotient[:, 0]

    @property
    def glitches(self) -> int:
        """Moments that the filter left out."""
        return self.ride.points - self.cleaned.points


_STAGES = (
    (0.3, "top", "histogram"),
    (0.5, "roll_ons", "slopes"),
    (0.6, "found", "inferred"),
    (0.8, "replays"),
    (1.0,),
)
"""Share that is done before the answers behind it are worked out."""


def analyse(
    ride: Ride,
    cleaned: Ride,
    bike: Bike,
    setup: Setup,
    ridden: int = FITTED,
    progress: Progress = lambda share: None,
) -> RideResult:
    """Say everything about a ride at once; see :class:`RideResult`.

    Args:
        progress: Told the share that is done.
    """
    result = RideResult(ride, cleaned, bike, setup, ridden)
    for share, *answers in _STAGES:
        progress(share)
        for name in answers:
            getattr(result, name)
    return result


def joined_held(segments: tuple[Segment, ...]) -> HeldSpeeds:
    """Held speeds of all segments, none across a break [s, m/s, rad]."""
    parts = [held_speeds(each.time, each.speed, each.course, HELD_FOR) for each in segments]
    return HeldSpeeds(*(np.concatenate(column) for column in zip(*parts, strict=True)))


def _places(
    segments: tuple[Segment, ...], held: HeldSpeeds
) -> tuple[FloatArray, FloatArray] | None:
    """Middle of each held speed in a plane; None if the log has no positions."""
    placed = [each for each in segments if each.latitude is not None]
    if not placed:
        return None
    origin = placed[0].latitude[0], placed[0].longitude[0]
    time = np.concatenate([each.time for each in placed])
    parts = [plane(each.latitude, each.longitude, origin) for each in placed]
    columns = (np.concatenate(column) for column in zip(*parts, strict=True))
    return tuple(np.interp(held.start + HELD_FOR / 2, time, column) for column in columns)


def _histogram(segments: tuple[Segment, ...], system: str) -> tuple[FloatArray, FloatArray]:
    per_speed, _ = units.display(1.0, "speed", system)
    width = _BIN / per_speed
    fastest = max(float(each.speed.max()) for each in segments)
    edges = width * np.arange(max(int(fastest / width), 0) + 2)
    return edges, sum(time_at_speed(each.time, each.speed, edges) for each in segments)


def _roll_ons(segments: tuple[Segment, ...], setup: Setup) -> tuple[RollOn, ...]:
    per_speed, _ = units.display(1.0, "speed", setup.units)
    usual = [speed / per_speed for speed in _ROLL_ON_SPEEDS[setup.units]]
    wanted = [(setup.roll_from, setup.roll_to), *pairwise(usual)]
    found = []
    for low, high in dict.fromkeys((round(a, 6), round(b, 6)) for a, b in wanted):
        parts = [roll_ons(each.time, each.speed, low, high) for each in segments]
        passages = RollOns(*(np.concatenate(column) for column in zip(*parts, strict=True)))
        best = np.argsort(passages.duration)[:_MOST_ROLL_ONS]
        if len(best):
            columns = passages.duration, passages.distance, passages.start
            picked = (column[best] for column in columns)
            found.append(RollOn(low, high, *picked, len(passages.duration)))
    return tuple(found)


def _slopes(segments: tuple[Segment, ...]) -> SlopeBins | None:
    parts = [
        # The way from the speeds: that from the positions still has the jumps in it.
        slopes_along(each.time, covered(each.time, each.speed), each.altitude)
        for each in segments
        if each.altitude is not None
    ]
    if not parts:
        return None
    places = Slopes(*(np.concatenate(column) for column in zip(*parts, strict=True)))
    return speed_on_slopes(places, SLOPE_EDGES) if len(places.slope) else None


def _replayed(
    segments: tuple[Segment, ...], quotient: FloatArray, up: float, limiter: float, slowest: float
) -> Replay:
    """All segments together; means are weighted by the time moving."""
    parts = [replay(each.time, each.speed, quotient, up, limiter, slowest) for each in segments]
    moving = np.array([part.moving for part in parts])
    means = np.nan_to_num(np.array([part.mean_engine for part in parts]))
    added = ("time_in_gear", "upshifts", "downshifts", "on_limiter", "below_clutch_out")
    return Replay(
        **{name: sum(getattr(part, name) for part in parts) for name in added},
        fastest_engine=max(part.fastest_engine for part in parts),
        mean_engine=float(np.sum(means * moving) / moving.sum()) if moving.sum() else np.nan,
        moving=float(moving.sum()),
    )
