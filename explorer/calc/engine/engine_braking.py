"""Slowing down with the throttle closed: clutch in, or in gear against the engine.

Needs the motoring curve of the engine, the torque that turns it over with the throttle closed;
where a bike file gives none, `MOTORING_SHARES` estimates it, with its ends.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.forces import grip_thrust
from explorer.calc.engine.power_correction import FRICTION_SHARE_2004
from explorer.calc.vehicle import FloatArray, Scalar

MOTORING_SHARES = (0.06, 0.10, FRICTION_SHARE_2004)
"""Torque that turns an engine over with the throttle closed, over its greatest torque [-].

Low: the 0.08 g of a coast-down note (2023: a road motorcycle of 850 cm³, 5th gear, 80 to 32 km/h).
High: the friction of SAE J1349 (2004) at full throttle, 0.15/0.85. Typical: their geometric mean,
our choice. *Machines* 2023, 11(8), 812 has regressions for 26 motorcycles; we could read its
abstract alone: higher gears slow less. Heywood's correlation (1988, ch. 13, second-hand) gives old
car engines 1.9 bar at 3000/min, about our high end, and more above."""


def coasting_deceleration(drive: Drive, road_speed: FloatArray) -> FloatArray:
    """Deceleration with the clutch in.

    Returns: array (cases, 1, points): Deceleration; negative where a descent wins [m/s²].

    >>> print(coasting_deceleration(example_drive()[0], np.array([5.0, 20.0]))[0, 0].round(2))
    [0.32 1.  ]
    """
    return drive.resistance(road_speed) / (drive.mass + drive.wheel_mass)


class EngineBraking(NamedTuple):
    """Throttle closed in gear; NaN where the engine would turn below idle or above the limit.

    Attributes:
        deceleration (array (cases, gears, points)): Deceleration with the wheels rolling; negative
            where a descent wins [m/s²].
        holding_back (array (cases, gears, points)): Force of the rear tyre on the ground that the
            engine asks for [N].
        rear_slides (array of bool (cases, gears, points)): Whether the tyre's grip is less.
    """

    deceleration: FloatArray
    holding_back: FloatArray
    rear_slides: FloatArray


def engine_braking(
    drive: Drive, motoring_speeds: FloatArray, motoring_torques: FloatArray, road_speed: Scalar
) -> EngineBraking:
    r"""Deceleration in each gear with the throttle closed and the clutch out.

    With the ground driving the engine, its losses stand the other way round: what the tyre has
    to give is larger by 1/η.

    .. math:: d = \frac{R + T_m\,i/(\eta r)}{M + \sum I_{wheel}/r^2 + I_{engine}\,i^2/(\eta r^2)}

    Where the engine slows more slowly by itself than the motorcycle does, it pushes, and η takes
    the place of 1/η.

    Args:
        motoring_speeds (array (k,), increasing): Engine speeds of the motoring curve's points
            [rad/s].
        motoring_torques (array (k,), non-negative): Torque that turns the engine over with the
            throttle closed; straight lines between the points, the nearest point's value beyond
            them [N·m].
        road_speed (float or array, broadcast to (cases, gears, points)): Road speeds [m/s].

    Returns: Deceleration [m/s²], force at the rear tyre [N], and whether it slides.

    References:
        Derived from Newton's second law with the same stages as
        :func:`explorer.calc.drivetrain.forces.effective_mass`, the power flowing backwards.

    >>> drive, _ = example_drive()
    >>> slowing = engine_braking(drive, np.array([150.0, 1000.0]), np.array([1.5, 4.0]), 12.0)
    >>> print(slowing.deceleration[0, :, 0].round(2))
    [ nan 1.55 1.22 1.04 0.92]
    """
    engine_speed = road_speed * drive.overall / drive.radius
    in_range = (engine_speed >= drive.idle_speed) & (engine_speed <= drive.limiter_speed)
    torque = np.interp(engine_speed, motoring_speeds, motoring_torques)
    per_radius = drive.overall / drive.radius
    free_mass = drive.mass + drive.wheel_mass
    resistance = drive.resistance(road_speed)

    def slowed(share: FloatArray) -> FloatArray:
        engine_mass = share * drive.engine_inertia * per_radius**2
        return (resistance + share * torque * per_radius) / (free_mass + engine_mass)

    dragged = slowed(1 / drive.efficiency)
    ground_drives = torque >= drive.engine_inertia * per_radius * dragged
    deceleration = np.where(ground_drives, dragged, slowed(drive.efficiency))
    rolling_mass = drive.mass + drive.front_wheel_mass
    # The ground slows mass and front wheel less the resistance; the rest comes from the rear tyre.
    holding_back = rolling_mass * deceleration - resistance
    limit = _sliding_force(drive)
    slides = in_range & (holding_back > limit)
    return EngineBraking(
        np.where(in_range, deceleration, np.nan), np.where(in_range, holding_back, np.nan), slides
    )


def _sliding_force(drive: Drive) -> Scalar:
    """Largest force that the rear tyre can hold back with, the load moving to the front [N]."""
    v, slope, grip = drive.vehicle, drive.conditions.slope, drive.conditions.grip
    wheelbase, cg_ahead, cg_height, slope, grip = (
        np.reshape(np.asarray(value, float), (-1, 1, 1))
        for value in (v.wheelbase, v.cg_ahead, v.cg_height, slope, grip)
    )
    # Holding back is thrust with its sign turned: the same balance of moments with -grip.
    return -grip_thrust(drive.mass, wheelbase, cg_ahead, cg_height, slope, drive.rolling, -grip)
