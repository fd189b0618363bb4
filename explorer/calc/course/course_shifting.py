"""What the rider does with the gears on a course: which gear, and whether a shift is worth it.

Args:
    case (array (some,)): Index of the cases that ask [-].
    ground (array (some,)): Index of the ground of each [-].
    speed (array (some,)): Speed now [m/s].
"""

import numpy as np

from explorer.calc.course.course_braking import BrakingLimit
from explorer.calc.course.course_gears import SAME, GearTables, InGear
from explorer.calc.vehicle import FloatArray

_NODES_AHEAD = 48


def hardest_pulling_gear(
    tables: GearTables, case: FloatArray, ground: FloatArray, speed: FloatArray
) -> FloatArray:
    """Gear out of a corner: the hardest pulling one whose clutch is locked, first gear if none.

    Returns: array (some,): Index of the gear; the tallest of several that pull equally hard [-].

    Example: see :func:`explorer.calc.course.fastest.fastest.ride_course`.
    """
    every = tables.every_gear(case, ground)
    v = speed[:, np.newaxis]
    within_limiter = v * (1 - SAME) <= every.limiter_speed
    usable = within_limiter & (v >= every.locking_speed) & (v < every.exit_speed)
    pulls = np.where(usable, every.acceleration(v), -np.inf)
    hardest = pulls.max(axis=1, keepdims=True)
    equal = usable & (pulls >= hardest - SAME * np.abs(np.where(usable, hardest, 0.0)))
    tallest = tables.gears - 1 - np.argmax(equal[:, ::-1], axis=1)
    return np.where(usable.any(axis=1), tallest, np.argmax(within_limiter, axis=1))


def hardest_pulling_lower_gear(
    tables: GearTables, case: FloatArray, ground: FloatArray, gear: FloatArray, speed: FloatArray
) -> FloatArray:
    """Lower gear that pulls hardest; the present one if the speed is beyond all lower ones.

    Returns: array (some,): Index of the gear [-].

    Example: see :func:`explorer.calc.course.fastest.fastest.ride_course`.
    """
    every = tables.every_gear(case, ground)
    v = speed[:, np.newaxis]
    lower = (np.arange(tables.gears) < gear[:, np.newaxis]) & (v < every.exit_speed)
    pulls = np.where(lower, every.acceleration(v), -np.inf)
    return np.where(lower.any(axis=1), np.argmax(pulls, axis=1), gear)


def shift_is_worth_it(
    in_other: InGear,
    speed: FloatArray,
    staying: FloatArray,
    to_limiter: FloatArray,
    shift_time: FloatArray,
    up: FloatArray,
    time_left: FloatArray,
) -> FloatArray:
    r"""Whether a shift covers more ground than staying in the gear in the time that is left.

    With all accelerations taken as constant, the distance gained in the time :math:`t` over
    keeping the speed is, for a shift of duration :math:`\tau` coasting at :math:`-a_c` and then
    pulling at :math:`a_n`,

    .. math:: -\tfrac12 a_c \tau^2 - a_c \tau (t - \tau) + \tfrac12 a_n (t - \tau)^2

    and for staying at :math:`a` for a time :math:`s`, until the rev limit,
    :math:`a s (t - s/2)`. Besides, a shift up is not made where the next gear would not
    accelerate, nor one down into a gear that pulls no harder.

    Args:
        in_other: The cases in the other gear [SI].
        staying (array (some,)): Acceleration in the present gear [m/s²].
        to_limiter (array (some,)): Speed still missing to its rev limit [m/s].
        shift_time (array (some,)): Time without drive [s].
        up (array of bool (some,)): Whether the other gear is the next one up [-].
        time_left (array (some,)): Time until the brakes must go on or the ground changes; may be
            infinite [s].

    Returns: array of bool (some,): True where the shift is worth it.

    Example: see :func:`explorer.calc.course.fastest.fastest.ride_course`.
    """
    coasting = in_other.acceleration(speed, False)
    after = np.maximum(speed + coasting * shift_time, 0.0)
    new, new_after = in_other.acceleration(np.stack([speed, after]))
    pulls = np.where(up, np.minimum(new, new_after) > 0, new > staying)
    endless = np.isinf(time_left)
    left = np.where(endless, 0.0, time_left)
    then = left - shift_time
    by_shifting = coasting * shift_time * (0.5 * shift_time + then) + 0.5 * new_after * then**2
    rising = np.minimum(left, to_limiter / np.where(staying > 0, staying, 1e-9))
    by_staying = staying * rising * (left - 0.5 * rising)
    return pulls & (endless | ((then > 0) & (by_shifting > by_staying)))


def distance_to_brakes(
    limit: BrakingLimit,
    node: FloatArray,
    row: FloatArray,
    piece: FloatArray,
    place: FloatArray,
    energy: FloatArray,
) -> FloatArray:
    """Distance at this speed until the brakes must go on.

    Args:
        node (array (nodes,)): Distance of each node from the start [m].
        row, piece (array (some,)): Row of the limit for each case, and the piece that it is on [-].
        place (array (some,)): Distance of each case from the start [m].
        energy (array (some,)): Half the square of its speed [m²/s²].

    Returns: array (some,): Distance; infinite if the brakes are not needed within the next 48
        pieces [m].

    Braking at 5 m/s² from 10 m/s to a stop takes 10 m, so 15 m are left of 25 m:

    >>> limit = BrakingLimit(np.array([[125.0, 75.0, 0.0]]), np.array([[5.0, 5.0]]),
    ...                      np.zeros((1, 2)))
    >>> distance_to_brakes(limit, np.array([0.0, 10.0, 25.0]), np.array([0]), np.array([0]),
    ...                    np.array([0.0]), np.array([50.0]))
    array([15.])
    """
    ahead = np.minimum(piece[:, np.newaxis] + np.arange(1, _NODES_AHEAD + 1), node.size - 1)
    too_fast = limit.energy[row[:, np.newaxis], ahead] <= energy[:, np.newaxis]
    steps = np.argmax(too_fast, axis=1)
    some = np.arange(row.size)
    first = ahead[some, steps]
    slowing = limit.deceleration[row, first - 1]
    above = energy - limit.energy[row, first]
    before = np.where(slowing > 0, above / np.where(slowing > 0, slowing, 1.0), 0.0)
    distance = np.maximum(node[first] - before - place, 0.0)
    return np.where(too_fast[some, steps], distance, np.inf)
