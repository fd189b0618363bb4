"""Pulling away: how long the clutch slips, what it has to swallow, how slowly it can be fully out.

The engine is held at its launch speed while the clutch slips. The torque through the clutch is
what the tyre passes on: the engine's own, or less where grip or the front wheel holds the thrust
back and the rider feeds the clutch in with more care.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import IDLE_FACTOR, FloatArray

_NODES, _WEIGHTS = np.polynomial.legendre.leggauss(16)


class Launch(NamedTuple):
    """The clutch from rest until it no longer slips, (cases,): heat put into it [J], time [s],
    distance [m] and road speed [m/s] there; NaN in a case that cannot pull away."""

    clutch_energy: FloatArray
    slip_time: FloatArray
    slip_distance: FloatArray
    lock_up_speed: FloatArray


def launch(drive: Drive, gear: int = 0) -> Launch:
    r"""Slip of the clutch from rest at full throttle, until engine and gearbox turn together.

    .. math:: E = \int \eta_p\,T\,(\omega_{launch} - i\,v/r)\;dt, \qquad dt = dv / a(v)

    T is the engine torque that passes the clutch and ω - i v/r the slip, both at crankshaft
    speed; the clutch sits behind the primary reduction, whose loss it never sees. As an absolute
    figure it is rough, since riders feed a clutch in differently; it serves to compare set-ups.

    Args:
        gear (int): Index of the gear to pull away in, 0 for first [-].

    Returns: Energy [J], time [s], distance [m] and speed [m/s], each of shape (cases,).

    References: Work of a torque over the angle it slips through, derived from the definition.

    >>> away = launch(example_drive()[0])
    >>> print(away.clutch_energy.round(-1), away.slip_time.round(2))
    [1820.] [0.96]
    """
    overall = drive.overall[:, gear : gear + 1]
    matching = drive.launch_speed * drive.radius / overall
    road_speed = 0.5 * matching * (_NODES + 1)
    torque = drive.torque(drive.launch_speed)
    acceleration = drive.acceleration(road_speed, overall, torque, False)
    moves = (acceleration > 0).all(axis=-1, keepdims=True)
    seconds = 0.5 * matching * _WEIGHTS / np.where(moves, acceleration, np.nan)
    thrust = drive.effective_mass(overall, False) * acceleration + drive.resistance(road_speed)
    passed_on = thrust * drive.radius / (drive.efficiency * overall)
    slip = drive.launch_speed - road_speed * overall / drive.radius
    primary_efficiency = np.reshape(drive.vehicle.primary_efficiency, (-1, 1, 1))
    heat = primary_efficiency * passed_on * slip

    def total(values: FloatArray) -> FloatArray:
        return np.broadcast_to(values.sum(axis=-1)[:, 0], (drive.cases,))

    matched = np.where(moves, matching, np.nan)
    return Launch(*map(total, (heat * seconds, seconds, road_speed * seconds, matched)))


def slowest_clutch_out_speed(drive: Drive, idle_factor: float = IDLE_FACTOR) -> FloatArray:
    """Slowest road speed in each gear with the clutch fully out and the engine still content.

    Args:
        idle_factor (float, 1 or more): Engine speed that still runs smoothly, over idle speed [-].

    Returns: array (cases, gears): Road speed [m/s].

    >>> print((slowest_clutch_out_speed(example_drive()[0])[0] * 3.6).round(1))
    [ 6.6  9.8 13.2 16.3 19.9]
    """
    return (idle_factor * drive.idle_speed * drive.radius / drive.overall)[..., 0]
