"""Demo rides: a ride of the model with what satellites and loggers do to it, invented for the demo.

The noise is of the usual kind and size (common practice, no source): a position that wanders slowly
by some metres, a little noise from one moment to the next, a rounded engine speed, reception lost
now and then, and a jump. The place is in the middle of the South Pacific, so that nobody takes it
for a road.
"""

from dataclasses import dataclass
from datetime import UTC, datetime, timedelta

import gpxpy.gpx
import numpy as np
from geographiclib.geodesic import Geodesic
from numpy.typing import NDArray

from explorer import units
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.ride.simulated_ride import SimulatedRide, simulate_ride

FloatArray = NDArray[np.float64]

_PLACE = (-48.5, -123.5)
_START = datetime(2031, 5, 4, 9, 30, tzinfo=UTC)
_HEADING = np.deg2rad(70.0)


@dataclass(frozen=True)
class Noise:
    """How far a log is from the truth; standard deviations.

    Attributes:
        wander, wander_time: Of the position, and how long it takes to forget [m], [s].
        jitter: Of the position from one moment to the next [m].
        speed: Of a speed that the receiver reports [m/s].
        altitude: Of the altitude, wandering twice as slowly [m].
        engine_speed: Of the engine speed, before it is rounded to 10 rpm [rad/s].
        dropouts, jumps: How often reception is lost, and how often the position jumps [count].
    """

    wander: float = 2.5
    wander_time: float = 60.0
    jitter: float = 0.12
    speed: float = 0.12
    altitude: float = 3.0
    engine_speed: float = 2.0
    dropouts: int = 2
    jumps: int = 3


def gpx_demo_ride(drive: Drive, seed: int, noise: Noise | None = None) -> bytes:
    """A phone's track of a ride with one case, once a second, positions only: a GPX 1.1 file."""
    noise = noise or Noise()
    rng = np.random.default_rng(seed)
    ride = _every(simulate_ride(drive), 1.0)
    east, north, height = _positions(ride)
    east, north = (
        values
        + _wandering(rng, len(values), noise.wander, noise.wander_time)
        + rng.normal(0, noise.jitter, len(values))
        for values in (east, north)
    )
    height = height + _wandering(rng, len(height), noise.altitude, 2 * noise.wander_time)
    for row in rng.integers(10, len(east) - 10, noise.jumps):
        east[row] += rng.choice((-1, 1)) * rng.uniform(25, 60)
    lost = _lost(rng, ride.time, noise.dropouts)
    track = gpxpy.gpx.GPXTrack(name="Demo ride", description="Invented for the demo")
    segment = None
    for row, moment in enumerate(ride.time):
        if lost[row]:
            segment = None
            continue
        if segment is None:
            segment = gpxpy.gpx.GPXTrackSegment()
            track.segments.append(segment)
        latitude, longitude = _on_globe(east[row], north[row])
        segment.points.append(
            gpxpy.gpx.GPXTrackPoint(
                round(latitude, 7),
                round(longitude, 7),
                elevation=round(float(height[row]), 1),
                time=_START + timedelta(seconds=float(moment)),
            )
        )
    file = gpxpy.gpx.GPX()
    file.creator = "Gearing Explorer, invented for the demo"
    file.tracks.append(track)
    return file.to_xml(version="1.1", prettyprint=False).encode()


def csv_demo_ride(
    drive: Drive, seed: int, noise: Noise | None = None, interval: float = 0.2
) -> bytes:
    """A logger's CSV file, with engine speed and without gears; interval between two lines [s]."""
    noise = noise or Noise()
    rng = np.random.default_rng(seed)
    ride = _every(simulate_ride(drive), interval)
    count = len(ride.time)
    east, north, height = _positions(ride)
    speed = np.maximum(ride.speed + rng.normal(0, noise.speed, count), 0.0)
    for row in rng.integers(10, count - 10, noise.jumps):
        speed[row] += rng.uniform(8, 20)
    engine = ride.engine_speed + rng.normal(0, noise.engine_speed, count)
    rpm = np.round(engine / units.to_si("1 rpm", "engine speed"), -1)
    kmh = speed / units.to_si("1 km/h", "speed")
    height = height + _wandering(rng, count, noise.altitude, 2 * noise.wander_time / interval)
    wander = [_wandering(rng, count, noise.wander, noise.wander_time / interval) for _ in "en"]
    lost = _lost(rng, ride.time, noise.dropouts)
    lines = [
        "# Invented for the demo: a ride computed from the model, with noise",
        "time [s],speed [km/h],engine speed [rpm],altitude [m],latitude [deg],longitude [deg]",
    ]
    for row in range(count):
        if lost[row]:
            if not lost[row - 1]:
                lines.append("")
            continue
        latitude, longitude = _on_globe(east[row] + wander[0][row], north[row] + wander[1][row])
        lines.append(
            f"{ride.time[row]:.1f},{kmh[row]:.2f},{rpm[row]:.0f},{height[row]:.1f},"
            f"{latitude:.7f},{longitude:.7f}"
        )
    return "\n".join([*lines, ""]).encode()


def _every(ride: SimulatedRide, interval: float) -> SimulatedRide:
    step = round(interval / float(ride.time[1] - ride.time[0]))
    return SimulatedRide(*(values[::step] for values in ride))


def _positions(ride: SimulatedRide) -> tuple[FloatArray, FloatArray, FloatArray]:
    """East, north and height of the track, on a gently winding road [m]."""
    step = np.diff(ride.time, prepend=ride.time[0]) * ride.speed
    way = np.cumsum(step * np.where(ride.back, -1.0, 1.0))
    bend = 0.25 * np.sin(way / 400.0)
    along = np.diff(way, prepend=way[0])
    east = np.cumsum(along * np.sin(_HEADING + bend))
    north = np.cumsum(along * np.cos(_HEADING + bend))
    return east, north, 60.0 + np.cumsum(step * np.tan(ride.slope))


def _wandering(rng: np.random.Generator, count: int, size: float, memory: float) -> FloatArray:
    """First-order Gauss-Markov process, in steps of one moment [unit of size]."""
    keep = np.exp(-1.0 / memory)
    shocks = rng.normal(0, size * np.sqrt(1 - keep**2), count)
    value = rng.normal(0, size)
    values = np.empty(count)
    for row, shock in enumerate(shocks):
        value = keep * value + shock
        values[row] = value
    return values


def _lost(rng: np.random.Generator, time: FloatArray, times: int) -> NDArray[np.bool_]:
    lost = np.zeros(len(time), bool)
    for start in rng.uniform(time[0] + 20, time[-1] - 20, times):
        lost |= (time >= start) & (time < start + rng.uniform(6, 12))
    return lost


def _on_globe(east: float, north: float) -> tuple[float, float]:
    azimuth = float(np.rad2deg(np.arctan2(east, north)))
    found = Geodesic.WGS84.Direct(*_PLACE, azimuth, float(np.hypot(east, north)))
    return found["lat2"], found["lon2"]
