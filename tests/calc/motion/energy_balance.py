"""Where the energy of a run goes. It must add up, which is also a check on the run itself."""

from typing import Any, NamedTuple

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.motion.run import Run
from explorer.calc.vehicle import FloatArray

_GAUSS, _GAUSS_WEIGHTS = np.polynomial.legendre.leggauss(3)


class EnergyBalance(NamedTuple):
    """Energies of a run, from its first node to the last that it reaches, each (cases,).

    Attributes:
        engine (array (cases,)): Work of the engine at the crankshaft, throttle held back where grip
            or the front wheel binds [J].
        clutch (array (cases,)): Heat in the slipping clutch [J].
        drivetrain (array (cases,)): Lost in primary, gearbox and chain [J].
        rolling (array (cases,)): Work against rolling resistance [J].
        air (array (cases,)): Work against air drag [J].
        slope (array (cases,)): Work against the slope; negative downhill [J].
        moving (array (cases,)): Kinetic energy gained by the motorcycle and its turning wheels [J].
        spinning (array (cases,)): Energy put into the turning engine while a gear is engaged [J].
    """

    engine: FloatArray
    clutch: FloatArray
    drivetrain: FloatArray
    rolling: FloatArray
    air: FloatArray
    slope: FloatArray
    moving: FloatArray
    spinning: FloatArray

    @property
    def error(self) -> FloatArray:
        """What is missing from the sum, over all energy that was spent, shape (cases,) [-]."""
        spent = self.clutch + self.drivetrain + self.rolling + self.air + self.slope
        throughput = (
            self.clutch
            + self.drivetrain
            + np.abs(self.rolling)
            + np.abs(self.air)
            + np.abs(self.slope)
            + np.abs(self.moving)
            + self.spinning
        )
        missing = self.engine - spent - self.moving - self.spinning
        return missing / np.where(throughput > 0, throughput, 1.0)


def energy_balance(drive: Drive, run: Run) -> EnergyBalance:
    """Add up where the energy of a run at full throttle goes.

    The powers are integrated over the times of the run, the kinetic energy is taken from its
    speeds: only if speeds and times belong together does the balance close.

    Args:
        drive: Vehicle, conditions and final drive ratios [SI].
        run: A run of this drive [SI].

    Returns: Energies of shape (cases,) [J].

    Notes:
        The energy of the turning engine that is lost when it slows down during a shift is counted
        under ``spinning``, where it was put in.

    >>> from explorer.calc.example import example_drive
    >>> from explorer.calc.motion.run import full_throttle
    >>> drive, shifts = example_drive()
    >>> balance = energy_balance(drive, full_throttle(drive, shifts, stop_speed=60 / 3.6))
    >>> print(balance.engine.round(-3), balance.moving.round(-3), abs(balance.error[0]) < 1e-3)
    [45000.] [27000.] True
    """
    reached = np.isfinite(run.time[:, 1:]) & np.isfinite(run.distance[:, 1:])
    start_speed, end_speed = run.road_speed[:, np.newaxis, :-1], run.road_speed[:, np.newaxis, 1:]
    duration = np.where(reached, np.diff(np.where(np.isfinite(run.time), run.time, 0.0)), 0.0)
    duration = duration[:, np.newaxis]
    overall = drive.overall[:, run.gear[:-1], 0][:, np.newaxis]
    driving = run.driving[:-1] & run.driving[1:]
    per_radius = overall / drive.radius
    locked = 0.5 * (start_speed + end_speed) * per_radius >= drive.launch_speed

    def acceleration(road_speed: FloatArray) -> FloatArray:
        torque = drive.torque(np.where(locked, road_speed * per_radius, drive.launch_speed))
        coasting = -drive.resistance(road_speed) / drive.effective_mass(overall, False)
        return np.where(driving, drive.acceleration(road_speed, overall, torque, locked), coasting)

    start_slope = acceleration(start_speed) * duration
    end_slope = acceleration(end_speed) * duration
    sums: dict[str, Any] = dict.fromkeys(EnergyBalance._fields, 0.0)
    for place, weight in zip(0.5 * (_GAUSS + 1), 0.5 * _GAUSS_WEIGHTS, strict=True):
        # Between two nodes speed over time is the cubic that meets both with their accelerations.
        speed = (
            start_speed * (1 + 2 * place) * (1 - place) ** 2
            + start_slope * place * (1 - place) ** 2
            + end_speed * place**2 * (3 - 2 * place)
            - end_slope * place**2 * (1 - place)
        )
        engine_speed = np.where(locked, speed * per_radius, drive.launch_speed)
        gained = acceleration(speed)
        # At the limits of grip and balance the rider takes back the throttle.
        limit = drive.effective_mass(overall, locked) * drive.largest_acceleration(speed)
        full = drive.pull(drive.torque(engine_speed), overall)
        pull = np.where(driving, np.minimum(full, limit + drive.resistance(speed)), 0.0)
        torque = pull / (drive.efficiency * per_radius)
        spun_up = np.where(driving & locked, drive.engine_inertia * per_radius**2 * gained, 0.0)
        after_engine = torque - spun_up / per_radius
        primary_efficiency = np.reshape(drive.vehicle.primary_efficiency, (-1, 1, 1))
        slip = engine_speed - speed * per_radius
        clutch = np.where(driving, primary_efficiency * after_engine * slip, 0.0)
        at_tyre = drive.efficiency * after_engine * per_radius * speed
        powers = {
            "engine": np.where(driving, torque * engine_speed, 0.0),
            "clutch": clutch,
            "drivetrain": np.where(driving, after_engine * engine_speed - clutch - at_tyre, 0.0),
            "rolling": drive.rolling * speed,
            "air": (drive.resistance(speed) - drive.constant_resistance) * speed,
            "slope": (drive.constant_resistance - drive.rolling) * speed,
            "spinning": spun_up * speed,
        }
        for name, power in powers.items():
            sums[name] = sums[name] + (weight * power * duration).sum(axis=-1)[:, 0]
    last = np.concatenate([np.ones((reached.shape[0], 1), bool), reached], axis=1)
    end = last.shape[1] - 1 - np.argmax(last[:, ::-1], axis=1)
    final = np.take_along_axis(run.road_speed, end[:, np.newaxis], axis=1)[:, 0]
    moving_mass = np.broadcast_to((drive.mass + drive.wheel_mass)[:, 0, 0], final.shape)
    sums["moving"] = 0.5 * moving_mass * (final**2 - run.road_speed[:, 0] ** 2)
    return EnergyBalance(**sums)
