"""The forward pass over a course: throttle until the brakes must go on, then braking.

Whoever brakes into a corner leaves it at a known speed and in a known gear, whatever came before.
So all stretches from corner to corner are ridden at once, as if every corner were braked into;
those that follow a corner reached without braking are then ridden again from how it was reached,
until nothing changes any more. (:mod:`explorer.calc.course.course_stretch` rides the stretches.)
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.course.course_braking import BrakingLimit
from explorer.calc.course.course_gears import GearTables
from explorer.calc.course.course_ground import Grounds, Pieces, shift_speeds
from explorer.calc.course.course_rider import CourseRider
from explorer.calc.course.course_shifting import hardest_pulling_gear
from explorer.calc.course.course_stretch import Riders, Road
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import FloatArray, Scalar

_CARRIED = ("energy", "gear", "shifting", "shift_left", "new_ground")
"""What a rider brings along who rolls through a corner without braking."""


class CourseRide(NamedTuple):
    """What a ride over a course took.

    Attributes:
        time (array (cases,)): From start to end; NaN where the motorcycle stops for good [s].
        distance_reached (array (cases,)): Where that is; else the length of the course [m].
        upshifts, downshifts (array of int (cases,)): Gears changed up and down, one for each step
            of the gearbox [count].
        time_in_gear (array (cases, gears)): Time in each gear, braking and shifting into it
            included [s].
        time_on_limiter, time_slipping, time_braking (array (cases,)): Time held at the rev limit,
            with the clutch slipping below the speed at which it locks, on the brakes [s].
        distance (array (nodes,)): Where the speed is given, from the start [m].
        road_speed (array (cases, nodes)): Speed there; 0 where it does not get to [m/s].
    """

    time: FloatArray
    distance_reached: FloatArray
    upshifts: FloatArray
    downshifts: FloatArray
    time_in_gear: FloatArray
    time_on_limiter: FloatArray
    time_slipping: FloatArray
    time_braking: FloatArray
    distance: FloatArray
    road_speed: FloatArray


def full_throttle_between_brakes(
    drive: Drive,
    grounds: Grounds,
    pieces: Pieces,
    limit: BrakingLimit,
    at_engine_speed: Scalar | None,
    start_speed: float,
    rider: CourseRider,
) -> CourseRide:
    """Ride forward below the braking limit.

    Args:
        rider: How hard it is ridden, and how dear a shift is [-, s].

    Returns: Time [s], shifts, time in each gear [s] and speed [m/s].

    Example: see :func:`explorer.calc.course.fastest.fastest.ride_course`.
    """
    tables = GearTables(drive, grounds, shift_speeds(drive, grounds, at_engine_speed), rider.effort)
    road = Road(tables, drive.vehicle.shift_time, grounds, pieces, limit, rider.shift_price)
    return _Ride(road, start_speed).result()


class _Ride:
    """All stretches of all cases; one rider for each, stretch by stretch."""

    def __init__(self, road: Road, start_speed: float) -> None:
        self.road, self.cases = road, road.tables.cases
        pieces, limit, cases = road.pieces, road.limit, self.cases
        corners = np.flatnonzero(np.isfinite(pieces.corner_speed[1:-1])) + 1
        first = np.concatenate(([0], corners))
        last = np.concatenate((corners, [pieces.length.size])) - 1
        self.stretches = first.size
        energy = np.broadcast_to(limit.energy[:, first].T, (first.size, cases)).copy()
        energy[0] = np.minimum(energy[0], 0.5 * start_speed**2)
        road.road_speed[:, 0] = np.sqrt(2 * energy[0])
        energy, case = energy.ravel(), np.tile(np.arange(cases), first.size)
        first, last = np.repeat(first, cases), np.repeat(last, cases)
        gear = hardest_pulling_gear(
            road.tables, case, road.ground_of_piece[first], np.sqrt(2 * energy)
        )
        self.out_of_corner = Riders.at_start(
            case, first, last, pieces.length[first], energy, gear, road.tables.gears
        )
        self._go()

    def _go(self) -> None:
        """Ride all stretches, and again those that turn out to start differently."""
        everyone = np.arange(self.stretches * self.cases)
        self.start = self.out_of_corner.some(everyone)
        self.end = self.out_of_corner.some(everyone)
        again = everyone
        while again.size:
            riders = self.start.some(again)
            self.road.ride(riders)
            self.end.put(again, riders)
            start = self._starts()
            again = np.flatnonzero(
                np.any([getattr(start, x) != getattr(self.start, x) for x in _CARRIED], axis=0)
            )
            self.start = start

    def _starts(self) -> Riders:
        """A stretch begins as the one before it ended, unless that ended on the brakes."""
        start = self.out_of_corner.some(np.arange(self.stretches * self.cases))
        rolled = np.flatnonzero(~(self.end.braking | self.end.stuck)[: -self.cases])
        for name in _CARRIED:
            getattr(start, name)[rolled + self.cases] = getattr(self.end, name)[rolled]
        return start

    def result(self) -> CourseRide:
        """Add the stretches up, as far as each case gets."""
        pieces, end = self.road.pieces, self.end
        shape = (self.stretches, self.cases)
        stuck = end.stuck.reshape(shape)
        ridden = np.cumsum(stuck, axis=0) - stuck == 0
        fails = stuck.any(axis=0)
        place = (pieces.node[end.piece + 1] - end.left).reshape(shape)
        distance_reached = np.where(
            fails, np.max(place, axis=0, where=ridden & stuck, initial=0.0), pieces.node[-1]
        )
        steps = self.start.gear[self.cases :] - end.gear[: -self.cases]
        steps = np.concatenate((np.zeros(self.cases, int), steps))

        def added(values: FloatArray) -> FloatArray:
            return np.sum(values.reshape(shape), axis=0, where=ridden)

        return CourseRide(
            time=np.where(fails, np.nan, added(end.time)),
            distance_reached=distance_reached,
            upshifts=added(end.upshifts + np.maximum(steps, 0)),
            downshifts=added(end.downshifts + np.maximum(-steps, 0)),
            time_in_gear=np.stack([added(times) for times in end.time_in_gear.T], axis=1),
            time_on_limiter=added(end.time_on_limiter),
            time_slipping=added(end.time_slipping),
            time_braking=added(end.time_braking),
            distance=pieces.node,
            road_speed=np.where(
                pieces.node <= distance_reached[:, np.newaxis], self.road.road_speed, 0.0
            ),
        )
