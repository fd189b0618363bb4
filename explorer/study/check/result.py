"""What a ride says, computed once for a ride, a bike and a set-up."""

from collections.abc import Callable
from dataclasses import dataclass
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
from explorer.study.study import CHOSEN, FITTED, Study

HELD_FOR = 5.0
"""A top speed counts if it was held so long [s]."""
CLUTCH_OUT = 1.2
"""Slowest engine with the clutch out, over idle (common practice, no source) [-]."""
SLOPE_EDGES = np.array([-1.0, -0.10, -0.05, -0.02, 0.02, 0.05, 0.10, 1.0])
_ROLL_ON_SPEEDS = {"metric": (20, 40, 60, 80, 100), "imperial": (15, 25, 35, 50, 60)}
_BIN = 5.0
"""Width of a bin of the histogram [unit of speed on the page]."""
_MOST_ROLL_ONS = 3

Progress = Callable[[float, str], None]


@dataclass(frozen=True, eq=False)
class RollOn:
    """The best passages between two speeds.

    Attributes:
        start_speed, end_speed: The two speeds [m/s].
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
    """All that the page says of one ride.

    Attributes:
        ride, cleaned: As logged, and without its glitches.
        bike, setup (Bike, Setup): What it is compared with.
        ridden: `FITTED` or `CHOSEN`: which gearing was on the bike during the ride.
        held: Mean speeds over five seconds.
        top: None where no speed was held.
        edges, time_at: Bins of speed [m/s] and the time in each [s].
        roll_ons: Those that the ride has.
        slopes: None without altitudes.
        found: None without engine speeds.
        inferred: None with them.
        replays: `FITTED` and `CHOSEN`.
        quotient (array (2, gears)): Engine over road speed of both [rad/m].
        rollout_measured (bool): Whether the roll-out of the gearing ridden was measured.
    """

    ride: Ride
    cleaned: Ride
    bike: Bike
    setup: Setup
    ridden: int
    held: HeldSpeeds
    top: TopSpeed | None
    edges: FloatArray
    time_at: FloatArray
    roll_ons: tuple[RollOn, ...]
    slopes: SlopeBins | None
    found: GearsFound | None
    inferred: GearsInferred | None
    replays: tuple[Replay, Replay]
    quotient: FloatArray
    rollout_measured: bool

    @property
    def slowest_clutch_out(self) -> FloatArray:
        """Slowest speed in first gear with the clutch out, with both gearings [m/s]."""
        return CLUTCH_OUT * self.bike.engine.idle.si / self.quotient[:, 0]

    @property
    def glitches(self) -> int:
        """Moments that the filter left out."""
        return self.ride.points - self.cleaned.points


def analyse(
    ride: Ride,
    cleaned: Ride,
    bike: Bike,
    setup: Setup,
    ridden: int = FITTED,
    progress: Progress | None = None,
) -> RideResult:
    """Say everything about a ride.

    Args:
        ride, cleaned: As logged, and its `Ride.cleaned`.
        ridden ({FITTED, CHOSEN}): Which gearing was on the bike.
        progress: Told the share that is done and what is being done.
    """

    def tell(share: float, doing: str) -> None:
        if progress is not None:
            progress(share, doing)

    segments = cleaned.segments
    study = Study.of(bike, setup)
    drive, rollouts = study.drive, study.rollouts
    quotient = (drive.overall / drive.radius)[:, :, 0]
    limiter, idle = bike.engine.rev_limit.si, bike.engine.idle.si
    up = study.shift_at
    tell(0.3, "Speeds")
    held = joined_held(segments)
    edges, time_at = _histogram(segments, setup.units)
    tell(0.5, "Roll-ons and hills")
    passages = _roll_ons(segments, setup)
    slopes = _slopes(segments)
    tell(0.6, "Gears")
    measured = rollouts[ridden].source == "measured"
    found = inferred = None
    if cleaned.has("engine_speed"):
        teeth = bike.sprockets if ridden == FITTED else setup
        found = find_gears(
            segments,
            quotient[ridden],
            CLUTCH_OUT * idle,
            (teeth.front, teeth.rear, rollouts[ridden].value, bike.gearbox.primary.si, measured),
        )
    else:
        inferred = infer_all_gears(segments, quotient[ridden], up, limiter)
    tell(0.8, "The same ride again")
    replays = tuple(
        _replayed(segments, quotient[index], up, limiter, CLUTCH_OUT * idle)
        for index in (FITTED, CHOSEN)
    )
    tell(1.0, "Done")
    return RideResult(
        ride=ride,
        cleaned=cleaned,
        bike=bike,
        setup=setup,
        ridden=ridden,
        held=held,
        top=top_speed_held(held, _places(segments, held)),
        edges=edges,
        time_at=time_at,
        roll_ons=passages,
        slopes=slopes,
        found=found,
        inferred=inferred,
        replays=replays,
        quotient=quotient,
        rollout_measured=measured,
    )


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
            found.append(
                RollOn(
                    low,
                    high,
                    passages.duration[best],
                    passages.distance[best],
                    passages.start[best],
                    len(passages.duration),
                )
            )
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
    return Replay(
        time_in_gear=sum(part.time_in_gear for part in parts),
        upshifts=sum(part.upshifts for part in parts),
        downshifts=sum(part.downshifts for part in parts),
        on_limiter=sum(part.on_limiter for part in parts),
        below_clutch_out=sum(part.below_clutch_out for part in parts),
        fastest_engine=max(part.fastest_engine for part in parts),
        mean_engine=float(np.sum(means * moving) / moving.sum()) if moving.sum() else np.nan,
        moving=float(moving.sum()),
    )
