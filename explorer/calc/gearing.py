"""Ratios of the drivetrain, speeds through them, and what a change of teeth does.

Args:
    rear (int or array, positive): Teeth of the rear sprocket [count].
    old_ratio (float or array, positive): Final drive ratio, or overall ratio, before the change
        [-].
    new_ratio (float or array, positive): The same kind of ratio after it [-].
    front (int or array, positive): Teeth of the front sprocket [count].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar


def final_ratio(front: Scalar, rear: Scalar) -> Scalar:
    """Final drive ratio: rear over front teeth. Larger is shorter gearing.

    Returns: Final drive ratio [-].

    >>> final_ratio(14, 49)
    3.5
    """
    return rear / front


def overall_ratio(primary: Scalar, gear: Scalar, front: Scalar, rear: Scalar) -> Scalar:
    """Overall ratio: engine turns for one turn of the rear wheel.

    Args:
        primary (float or array, positive): Primary reduction, crankshaft to clutch [-].
        gear (float or array, positive): Gear ratio in the gearbox [-].

    Returns: Overall ratio [-].

    >>> overall_ratio(3.0, 2.0, 13, 52)
    24.0
    """
    return primary * gear * final_ratio(front, rear)


def road_speed(engine_speed: Scalar, overall_ratio: Scalar, rollout: Scalar) -> Scalar:
    r"""Road speed at an engine speed, clutch locked and tyre not spinning.

    .. math:: v = \frac{\omega}{i}\,\frac{U}{2\pi}

    Args:
        engine_speed (float or array, non-negative): Engine speed [rad/s].

    Returns: Road speed [m/s].

    6000 rpm through 10:1 on a roll-out of 2 m, 20 m in a second:

    >>> round(road_speed(6000 * np.pi / 30, 10.0, 2.0), 6)
    20.0
    """
    return engine_speed / overall_ratio * rollout / (2 * np.pi)


def engine_speed(road_speed: Scalar, overall_ratio: Scalar, rollout: Scalar) -> Scalar:
    r"""Engine speed at a road speed, clutch locked and tyre not spinning.

    .. math:: \omega = \frac{2\pi\,v\,i}{U}

    Args:
        road_speed (float or array, non-negative): Road speed [m/s].

    Returns: Engine speed [rad/s].

    >>> round(engine_speed(20.0, 10.0, 2.0) * 30 / np.pi, 3)
    6000.0
    """
    return road_speed * overall_ratio * (2 * np.pi) / rollout


def pull_change(old_ratio: Scalar, new_ratio: Scalar) -> Scalar:
    """Change of pull at the same engine torque, as a share of the old pull.

    Not the same number as :func:`speed_change`.

    Returns: Change, positive for more pull [-].

    >>> round(pull_change(48 / 13, 50 / 13), 5)
    0.04167
    """
    return new_ratio / old_ratio - 1


def speed_change(old_ratio: Scalar, new_ratio: Scalar) -> Scalar:
    """Change of road speed at the same engine speed, as a share of the old speed.

    Not the same number as :func:`pull_change`.

    Returns: Change, negative for less speed [-].

    >>> round(speed_change(48 / 13, 50 / 13), 5)
    -0.04
    """
    return old_ratio / new_ratio - 1


class RearTeeth(NamedTuple):
    """Rear teeth to add in place of one front tooth fewer, to take off for one more [count]."""

    for_one_fewer: Scalar
    for_one_more: Scalar


def rear_teeth_per_front_tooth(front: Scalar, rear: Scalar) -> RearTeeth:
    r"""How many rear teeth one front tooth is worth: about the final drive ratio.

    .. math:: \frac{z_r}{z_f - 1} \text{ for one fewer}, \quad
              \frac{z_r}{z_f + 1} \text{ for one more}

    Args:
        front (int or array, 2 or more): Teeth of the front sprocket [count].

    Returns: Rear teeth to add for one front tooth fewer, and to take away for one more [count].

    >>> fewer, more = rear_teeth_per_front_tooth(13, 48)
    >>> round(fewer, 2), round(more, 2)
    (4.0, 3.43)
    """
    return RearTeeth(rear / (front - 1), rear / (front + 1))


class SprocketPairs(NamedTuple):
    """Sprocket pairs and how far each is from a ratio, the nearest first.

    Attributes:
        front, rear (array of int (n,)): Teeth of the sprockets [count].
        difference (array (n,)): Ratio of the pair over the ratio looked for, less 1; positive is
            shorter [-].
    """

    front: FloatArray
    rear: FloatArray
    difference: FloatArray


def near_equal_pairs(
    fronts: FloatArray, rears: FloatArray, ratio: float, tolerance: float
) -> SprocketPairs:
    """Pairs of sprockets with nearly a given final drive ratio.

    Args:
        fronts, rears (array of int (n,)): Sprockets to choose from, in teeth [count].
        ratio (float, positive): Final drive ratio looked for [-].
        tolerance (float, non-negative): Greatest difference, as a share of that ratio [-].

    Returns: The pairs within tolerance, nearest first [count].

    >>> pairs = near_equal_pairs(np.arange(11, 16), np.arange(40, 55), 52 / 13, 0.01)
    >>> [(int(front), int(rear)) for front, rear in zip(pairs.front, pairs.rear)]
    [(11, 44), (12, 48), (13, 52)]
    """
    front, rear = np.meshgrid(fronts, rears, indexing="ij")
    difference: FloatArray = np.asarray(final_ratio(front, rear) / ratio - 1)
    near = np.abs(difference) <= tolerance
    front, rear, difference = front[near], rear[near], difference[near]
    nearest_first = np.argsort(np.abs(difference), kind="stable")
    return SprocketPairs(front[nearest_first], rear[nearest_first], difference[nearest_first])


def gear_steps(gears: FloatArray) -> FloatArray:
    """Step from each gear to the next: the engine speed before an upshift over that after it.

    No change of sprockets or tyre can alter a step.

    Args:
        gears (array (g,)): Gear ratios of the gearbox, first gear first [-].

    Returns: array (g - 1,): Ratio of each gear over that of the next [-].

    References: Open course euromotor.org, pres3, slide 24, equations 3-29 to 3-39.

    >>> gear_steps(np.array([3.0, 2.0, 1.6])).tolist()
    [1.5, 1.25]
    """
    gears = np.asarray(gears, float)
    return gears[:-1] / gears[1:]
