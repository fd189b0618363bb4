"""Riding stretches of a course, from corner to corner, very many at once.

Every rider goes at its own pace: one step leads to the end of the piece of course, or to whatever
comes first of a change of gear, of clutch or rev limit, the brakes, or a change of speed by
0.1 m/s and a tenth. A step takes the acceleration at its middle for the whole of it (the midpoint
rule in energy over distance).
"""

from dataclasses import dataclass, fields
from typing import Self

import numpy as np

from explorer.calc.course.course_braking import BrakingLimit
from explorer.calc.course.course_gears import SAME, GearTables, InGear
from explorer.calc.course.course_ground import Grounds, Pieces
from explorer.calc.course.course_shifting import (
    distance_to_brakes,
    hardest_pulling_lower_gear,
    shift_is_worth_it,
)
from explorer.calc.vehicle import FloatArray, Scalar

_SPEED_STEP = 0.1
_SPEED_STEP_SHARE = 0.1
_DROP_SHARE = 0.15
"""Riders at the end of their stretch are taken out when they are this share of all [-]."""


@dataclass(eq=False)
class Riders:
    """Riders under way, each on one stretch; every array has one entry for each rider.

    Attributes:
        case: Index of the case that rides [-].
        piece, last_piece: Index of the piece of course that the rider is on, and of the last one of
            the stretch [-].
        left: Distance to the end of the piece [m].
        energy: Half the square of the speed [m²/s²].
        gear: Index of the gear [-].
        shifting, braking, new_ground, riding, stuck (array of bool): Whether a shift is going on,
            the brakes are on, the ground has just changed, the rider still rides, and has stopped
            for good [-].
        shift_left: Time until the shift is done [s].
        upshifts, downshifts: Steps of the gearbox so far [count].
        time, time_on_limiter, time_slipping, time_braking: Time so far: in all, held at the rev
            limit, with the clutch slipping, on the brakes [s].
        time_in_gear (array (riders, gears)): Time so far in each gear [s].
    """

    case: FloatArray
    piece: FloatArray
    last_piece: FloatArray
    left: FloatArray
    energy: FloatArray
    gear: FloatArray
    shifting: FloatArray
    braking: FloatArray
    new_ground: FloatArray
    riding: FloatArray
    stuck: FloatArray
    shift_left: FloatArray
    upshifts: FloatArray
    downshifts: FloatArray
    time: FloatArray
    time_on_limiter: FloatArray
    time_slipping: FloatArray
    time_braking: FloatArray
    time_in_gear: FloatArray

    @classmethod
    def at_start(
        cls,
        case: FloatArray,
        piece: FloatArray,
        last_piece: FloatArray,
        left: FloatArray,
        energy: FloatArray,
        gear: FloatArray,
        gears: int,
    ) -> Self:
        """Riders in gear of a gearbox with so many, with nothing booked yet."""
        n = case.size
        no = (np.zeros(n, bool) for _ in range(3))
        riding, stuck = np.ones(n, bool), np.zeros(n, bool)
        shifts = (np.zeros(n), np.zeros(n, int), np.zeros(n, int))
        times = (*(np.zeros(n) for _ in range(4)), np.zeros((n, gears)))
        given = (case, piece, last_piece, left, energy, gear)
        return cls(*given, *no, riding, stuck, *shifts, *times)  # type: ignore[call-arg]

    def some(self, which: FloatArray) -> Self:
        """Some of the riders, in arrays of their own."""
        return type(self)(*(getattr(self, field.name)[which] for field in fields(self)))

    def put(self, where: FloatArray, riders: Self) -> None:
        """Put other riders in the place of some of these."""
        for field in fields(self):
            getattr(self, field.name)[where] = getattr(riders, field.name)


class Road:
    """The course as the riders need it, and how one step is ridden on it.

    Args:
        shift_time (float or array (cases,)): Time without drive at a shift [s].
        shift_price: What a shift costs the rider beside its time [s].
    """

    def __init__(
        self,
        tables: GearTables,
        shift_time: Scalar,
        grounds: Grounds,
        pieces: Pieces,
        limit: BrakingLimit,
        shift_price: float,
    ) -> None:
        self.tables, self.pieces, self.limit = tables, pieces, limit
        self.shift_price = shift_price
        self.shift_time = np.broadcast_to(np.asarray(shift_time, float), tables.cases)
        self.ground_of_piece = grounds.of_segment[pieces.segment]
        changes = np.flatnonzero(np.diff(self.ground_of_piece)) + 1
        ends = np.append(pieces.node[changes], np.inf)
        self.ground_end = ends[np.searchsorted(changes, np.arange(pieces.length.size), "right")]
        self.all_brake_alike = limit.energy.shape[0] == 1
        self.road_speed = np.zeros((tables.cases, pieces.node.size))

    def ride(self, riders: Riders) -> None:
        """Ride all stretches to their ends."""
        place = np.arange(riders.case.size)
        under_way = riders.some(place)
        while place.size:
            self.step(under_way)
            done = ~under_way.riding
            if np.count_nonzero(done) >= _DROP_SHARE * place.size:
                riders.put(place[done], under_way.some(done))
                place, under_way = place[~done], under_way.some(~done)

    def step(self, r: Riders) -> None:
        """Take every rider one step further."""
        speed = np.sqrt(2 * r.energy)
        ground = self.ground_of_piece[r.piece]
        row = 0 if self.all_brake_alike else r.case
        slowing = self.limit.deceleration[row, r.piece]
        steepening = self.limit.steepening[row, r.piece]
        end_limit = self.limit.energy[row, r.piece + 1]
        room = end_limit + (slowing + steepening * r.left) * r.left - r.energy
        r.braking = room <= SAME * r.energy
        # A shift that the brakes cut short is finished while braking.
        r.shifting &= ~r.braking
        here = self.tables.at(r.case, r.gear, ground)
        a = here.acceleration(speed, ~r.shifting)
        on_limiter = (a == 0) & (speed >= here.limiter_speed)
        self._shift(r, speed, ground, here, a)

        rises = a > 0
        most = _SPEED_STEP + _SPEED_STEP_SHARE * speed
        up_to = np.minimum(here.next_mark(speed), speed + most)
        down_to = np.maximum(here.next_mark_below(speed), speed - most)
        target = 0.5 * np.where(rises, up_to, down_to) ** 2
        gap = target - r.energy
        half = 0.5 * np.copysign(np.minimum(np.abs(r.left * a), np.abs(gap)), a)
        a = _half_way(r, here, a, half)
        with np.errstate(divide="ignore", invalid="ignore"):
            to_target = np.abs(gap) / np.abs(a)
        to_brakes = _to_brakes(room, a + slowing + 2 * steepening * r.left, steepening)
        # Who comes to rest in a shift finishes it standing.
        after_shift = np.where(speed > 0, speed + a * r.shift_left, 0.0)
        to_gear = np.where(
            r.shifting & (after_shift >= 0), 0.5 * (speed + after_shift) * r.shift_left, np.inf
        )
        way = np.minimum(np.fmin(r.left, to_target), np.minimum(to_brakes, to_gear))
        way = np.where(r.braking, r.left, way)
        after = np.where(way == to_target, target, np.maximum(r.energy + a * way, 0.0))
        after = np.where(r.braking, end_limit, after)
        twice_mean = speed + np.sqrt(2 * after)
        duration = 2 * way / np.where(twice_mean > 0, twice_mean, np.inf)
        shift_done = r.shifting & (way == to_gear)
        duration = np.where(shift_done, r.shift_left, duration)
        duration = np.where(r.riding, duration, 0.0)

        driving = ~(r.braking | r.shifting)
        r.time += duration
        r.time_in_gear[np.arange(r.case.size), r.gear] += duration
        r.time_braking += duration * r.braking
        r.time_slipping += duration * (driving & (speed < here.locking_speed))
        r.time_on_limiter += duration * (driving & on_limiter)
        r.energy = np.where(r.riding, after, r.energy)
        standing = r.riding & (twice_mean == 0) & ~r.shifting
        r.stuck |= standing
        r.riding &= ~standing
        r.shifting &= ~shift_done
        r.shift_left -= duration
        through = np.flatnonzero(r.riding & (way == r.left))
        r.left = np.where(r.riding, r.left - way, r.left)
        self._next_piece(r, through)

    def _shift(
        self, r: Riders, speed: FloatArray, ground: FloatArray, here: InGear, a: FloatArray
    ) -> None:
        """Begin a shift where one is due and worth it; its acceleration is that of coasting."""
        up_due = speed >= here.exit_speed
        down_due = ((a < 0) | r.new_ground) & (speed < here.lower_exit_speed)
        who = np.flatnonzero((up_due | down_due) & r.riding & ~(r.braking | r.shifting))
        r.new_ground[:] = False
        if not who.size:
            return
        case, piece, gear = r.case[who], r.piece[who], r.gear[who]
        up, v, below = up_due[who], speed[who], ground[who]
        other = gear + 1
        down = ~up
        other[down] = hardest_pulling_lower_gear(
            self.tables, case[down], below[down], gear[down], v[down]
        )
        place = self.pieces.node[piece + 1] - r.left[who]
        row = np.zeros(who.size, int) if self.all_brake_alike else case
        distance = distance_to_brakes(
            self.limit, self.pieces.node, row, piece, place, r.energy[who]
        )
        distance = np.where(up, distance, np.minimum(distance, self.ground_end[piece] - place))
        in_other = self.tables.at(case, other, below)
        worth_it = shift_is_worth_it(
            in_other,
            v,
            a[who],
            np.maximum(here.limiter_speed[who] - v, 0.0),
            self.shift_time[case] + self.shift_price,
            up,
            distance / np.maximum(v, SAME),
        )
        a[who[worth_it]] = in_other.acceleration(v, False)[worth_it]
        who, steps = who[worth_it], (other - gear)[worth_it]
        r.shifting[who] = True
        r.shift_left[who] = self.shift_time[r.case[who]]
        r.gear[who] += steps
        r.upshifts[who] += np.maximum(steps, 0)
        r.downshifts[who] += np.maximum(-steps, 0)

    def _next_piece(self, r: Riders, through: FloatArray) -> None:
        """Go on to the next piece; at the end of the stretch look at the ground beyond it."""
        piece = r.piece[through]
        self.road_speed[r.case[through], piece + 1] = np.sqrt(2 * r.energy[through])
        following = np.minimum(piece + 1, self.pieces.length.size - 1)
        r.new_ground[through] = self.ground_of_piece[following] != self.ground_of_piece[piece]
        ends = piece == r.last_piece[through]
        r.riding[through[ends]] = False
        onward = through[~ends]
        r.piece[onward] += 1
        r.left[onward] = self.pieces.length[r.piece[onward]]


def _half_way(r: Riders, here: InGear, a: FloatArray, half: FloatArray) -> FloatArray:
    """Acceleration in the middle of the step, which stands for the whole of it."""
    a_half = here.acceleration(np.sqrt(2 * (r.energy + half)), ~r.shifting)
    held = np.flatnonzero((a * a_half < 0) & r.riding)
    if held.size:
        # The speed that full throttle just holds lies before the middle. It is never reached:
        # the gap to it shrinks exponentially.
        left, start = r.left[held], a[held]
        gap = half[held] * start / (start - a_half[held])
        a_half[held] = gap * -np.expm1(-left * start / gap) / left
    return a_half


def _to_brakes(room: FloatArray, closing: FloatArray, steepening: FloatArray) -> FloatArray:
    """Distance from here to where full throttle meets the braking limit; infinite if it does not.

    There the room is used up: room = closing·s - steepening·s². It is measured from here and not
    from the end of the piece, so that the last bit before the limit is not lost to rounding.
    """
    under_root = closing**2 - 4 * steepening * room
    root = closing + np.sqrt(np.maximum(under_root, 0.0))
    meets = (under_root >= 0) & (root > 0)
    return np.where(meets, 2 * room / np.where(meets, root, 1.0), np.inf)
