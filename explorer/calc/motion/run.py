"""Motion at full throttle through the gears: time, distance, speed, for all cases at once.

The acceleration depends on the speed alone, so time and distance are integrals over speed,

    t = ∫ dv / a(v),    x = ∫ v dv / a(v),

taken gear by gear with a Chebyshev quadrature. Where the acceleration runs out towards the top
speed the integrand grows without bound; the nodes are therefore spaced so that they crowd
towards that speed exactly as fast as the acceleration falls (see `_nodes`).
"""

from collections.abc import Callable
from typing import NamedTuple

import numpy as np
from numpy.polynomial import chebyshev

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.motion.shift_points import ShiftPoints
from explorer.calc.vehicle import FloatArray, Scalar

_LOCKED_NODES = 33
_SLIPPING_NODES = 9


def _quadrature(count: int) -> tuple[FloatArray, FloatArray]:
    """Nodes from 0 to 1 and the matrix that integrates from 0 to each of them.

    Chebyshev points: the polynomial through all of them is integrated exactly.
    """
    places = -np.cos(np.pi * np.arange(count) / (count - 1))
    integrals = chebyshev.chebint(np.eye(count), lbnd=-1, axis=1)
    values = chebyshev.chebval(places, integrals.T)
    matrix = np.linalg.solve(chebyshev.chebvander(places, count - 1).T, values)
    return 0.5 * (places + 1), 0.5 * matrix


_QUADRATURE = {count: _quadrature(count) for count in (_LOCKED_NODES, _SLIPPING_NODES)}


class Run(NamedTuple):
    """A run at full throttle, node by node; one row for each case.

    Attributes:
        time, distance, road_speed (array (cases, nodes)): Since the start; time and distance are
            infinite from where the motorcycle can go no further [s, m, m/s].
        gear (array (nodes,)): Index of the gear in use at each node [-].
        driving (array of bool (nodes,)): False at the two nodes that begin and end a shift, where
            the clutch is out.
        end_speed (array (cases,)): Speed the run ends with [m/s].
    """

    time: FloatArray
    distance: FloatArray
    road_speed: FloatArray
    gear: FloatArray
    driving: FloatArray
    end_speed: FloatArray


def full_throttle(
    drive: Drive,
    shifts: ShiftPoints,
    start_speed: Scalar = 0.0,
    stop_speed: Scalar = np.inf,
    only_gear: int | None = None,
) -> Run:
    """Accelerate at full throttle from a speed, changing up at the given points.

    From rest the clutch slips and holds the engine at its launch speed until the speeds match.

    Args:
        start_speed (float or array (cases,), non-negative): Speed at the start [m/s].
        stop_speed (float or array (cases,)): End the run at this speed [m/s].
        only_gear (int or None): Stay in the gear of this index, the clutch locked, up to the rev
            limit [-].

    Returns: Time [s], distance [m] and speed [m/s] along the run.

    >>> run = full_throttle(*example_drive(), stop_speed=60 / 3.6)
    >>> print(f"{run.time[0, -1]:.1f} s to 60 km/h")
    6.7 s to 60 km/h
    """
    speed, stop = (np.reshape(np.asarray(v, float), (-1, 1, 1)) for v in (start_speed, stop_speed))
    speed = np.broadcast_to(speed, (drive.cases, 1, 1))
    time, distance = np.zeros_like(speed), np.zeros_like(speed)
    first = 0 if only_gear is None else only_gear
    nodes = [(time, distance, speed, first, True)]
    in_this_gear = np.ones(speed.shape, bool)
    for gear in range(drive.gears) if only_gear is None else [only_gear]:
        overall = drive.overall[:, gear : gear + 1]
        leave = shifts.exit_speed[:, gear].reshape(-1, 1, 1)
        if only_gear is not None:
            leave = drive.limiter_speed * drive.radius / overall
        target = np.where(in_this_gear, np.maximum(np.minimum(leave, stop), speed), speed)
        matching = drive.launch_speed * drive.radius / overall
        clutch_locks = np.clip(matching, speed, target) if only_gear is None else speed
        for locked, end in ((False, clutch_locks), (True, target)):
            if np.any(end > speed):
                path, elapsed, covered = segment(drive, overall, speed, end, locked)
                nodes.append((time + elapsed, distance + covered, path, gear, True))
                speed = path[..., -1:]
                time, distance = nodes[-1][0][..., -1:], nodes[-1][1][..., -1:]
        in_this_gear = in_this_gear & shifts.shifts_up[:, gear].reshape(-1, 1, 1) & (leave < stop)
        if only_gear is not None or not in_this_gear.any():
            break
        nodes.append((time, distance, speed, gear, False))
        # A gear that was never used, because the run began above it, costs no shift.
        shifting = in_this_gear & (speed <= leave * (1 + 1e-9))
        after, covered = drive.coast_step(speed, drive.shift_time)
        time = time + np.where(shifting, drive.shift_time, 0.0)
        distance = distance + np.where(shifting, covered, 0.0)
        speed = np.where(shifting, after, speed)
        nodes.append((time, distance, speed, gear + 1, False))
    counts = [node[0].shape[-1] for node in nodes]
    run_time, run_distance, run_speed = (
        np.concatenate([node[part] for node in nodes], axis=-1)[:, 0] for part in range(3)
    )
    gears, driving = (np.repeat([node[part] for node in nodes], counts) for part in (3, 4))
    end_speed = np.max(np.where(np.isfinite(run_time), run_speed, 0.0), axis=-1)
    return Run(run_time, run_distance, run_speed, gears, driving, end_speed)


def segment(
    drive: Drive, overall: FloatArray, start: FloatArray, end: FloatArray, locked: bool
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Speeds, times and distances from one speed to another in one gear, no shift inside.

    Args:
        overall (array (cases, 1, 1)): Overall ratio in that gear [-].
        start, end (array (cases or 1, 1, 1)): Speeds; nothing happens where the end is not above
            the start [m/s].
        locked: Whether the clutch is out, or slips at the launch speed [-].

    Returns: Speed [m/s], time [s] and distance [m] from the start; infinite where not reached.

    Example: see :func:`full_throttle`.
    """

    def acceleration(road_speed: FloatArray) -> FloatArray:
        geared = road_speed * overall / drive.radius
        torque = drive.torque(geared if locked else drive.launch_speed)
        return drive.acceleration(road_speed, overall, torque, locked)

    road_speed, seconds_weight, range_of_u = _nodes(
        acceleration, start, end, _LOCKED_NODES if locked else _SLIPPING_NODES
    )
    a = acceleration(road_speed)
    # Once the motorcycle no longer accelerates it never reaches the nodes beyond.
    stuck = np.logical_or.accumulate(a <= 0, axis=-1) & (end > start)
    # A case that has nothing to do in this segment may have no acceleration either.
    seconds = np.where(stuck, np.inf, seconds_weight / np.where(stuck | (a == 0), 1.0, a))
    finite = np.where(stuck, 0.0, seconds)
    _, integrate = _QUADRATURE[road_speed.shape[-1]]
    # All cases as one matrix: NumPy would multiply each by itself.
    time = range_of_u * (finite[:, 0] @ integrate)[:, np.newaxis]
    distance = range_of_u * ((finite * road_speed)[:, 0] @ integrate)[:, np.newaxis]
    return road_speed, np.where(stuck, np.inf, time), np.where(stuck, np.inf, distance)


def _nodes(
    acceleration: Callable[[FloatArray], FloatArray], start: FloatArray, end: FloatArray, count: int
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Speeds for the quadrature, dv/du at them, and the range of u.

    With the acceleration near the end close to a = k (v* - v), the substitution
    dv = (v* - v) du makes dt = (v* - v) du / a(v) smooth however close v* is to the end. Far from
    the top speed v* lies far away and the nodes are evenly spaced.
    """
    span = np.maximum(end - start, 0.0)
    at_end = np.maximum(acceleration(end), 0.0)
    before_end = acceleration(end - 0.02 * span)
    fall = np.maximum(before_end - at_end, 1e-12) / 0.02
    beyond = span * np.clip(at_end / fall, 1e-5, 20.0)
    ahead = np.where(span > 0, span + beyond, 1.0)
    beyond = np.where(span > 0, beyond, 1.0)
    range_of_u = np.log(ahead / beyond)
    left = ahead * np.exp(-range_of_u * _QUADRATURE[count][0])
    return start + np.where(span > 0, ahead - left, 0.0), left, range_of_u


def time_to_distance(run: Run, distance: Scalar) -> FloatArray:
    """Time at which a run has covered a distance; the last speed is held beyond its end.

    Args:
        run, distance: A run, and a distance from its start [SI].

    Returns: array (cases,): Time; infinite where the motorcycle never gets there [s].

    >>> run = Run(np.array([[0.0, 1.0]]), np.array([[0.0, 5.0]]), np.array([[0.0, 10.0]]),
    ...           np.array([0, 0]), np.array([True, True]), np.array([10.0]))
    >>> time_to_distance(run, np.array([1.25, 5.0, 15.0])[0]), time_to_distance(run, 15.0)
    (array([0.5]), array([2.]))
    """
    reached = np.isfinite(run.distance) & (run.distance <= distance)
    last = np.maximum(reached.sum(axis=1) - 1, 0)[:, np.newaxis]
    following = np.minimum(last + 1, run.distance.shape[1] - 1)

    def at(values: FloatArray, index: FloatArray) -> FloatArray:
        return np.take_along_axis(values, index, axis=1)[:, 0]

    here, there = at(run.distance, last), at(run.distance, following)
    speed, speed_there = at(run.road_speed, last), at(run.road_speed, following)
    duration = at(run.time, following) - at(run.time, last)
    left = distance - here
    inside = (there > here) & np.isfinite(duration) & (duration > 0)
    held_time = np.where(speed > 0, left / np.where(speed > 0, speed, 1.0), np.inf)
    span = np.where(inside, there - here, 1.0)
    seconds = np.where(inside, duration, 1.0)
    slopes = (np.where(inside, v * seconds / span, 1.0) for v in (speed, speed_there))
    share = _cubic_share(np.clip(left / span, 0.0, 1.0), *slopes)
    extra = np.where(inside, share * seconds, held_time)
    return at(run.time, last) + np.where(left <= 0, 0.0, extra)


def _cubic_share(covered: FloatArray, slope: FloatArray, slope_there: FloatArray) -> FloatArray:
    """Share of the time between two nodes after which a share of the way is covered.

    Distance over time is the cubic that meets both nodes with the right speeds; its inverse is
    found by Newton's method.
    """
    share = np.sqrt(covered) * (slope < 0.5) + covered * (slope >= 0.5)
    for _ in range(5):
        s, rest = share, 1 - share
        way = slope * s * rest**2 + s**2 * (3 - 2 * s) - slope_there * s**2 * rest
        speed = slope * rest * (1 - 3 * s) + 6 * s * rest + slope_there * s * (3 * s - 2)
        share = np.clip(s - (way - covered) / np.maximum(speed, 1e-9), 0.0, 1.0)
    return share
