"""Rides to calibrate with, made without the fitted model: many motorcycles at once.

The forces are written out afresh and stepped through time with a fine Runge-Kutta scheme; what a
receiver adds is noise that its smoothing correlates from one second to the next.
"""

import dataclasses
import math

import numpy as np
from scipy.interpolate import PchipInterpolator

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.ride.calibration_model import BACK, COASTING, THERE, Trace

G0 = 9.80665
GEAR = 2
"""Third gear, for the roll-ons."""
DAY_TO_DAY = 0.025
"""Standard deviation of an engine's power from one day to another, over its power: the ride is one
day's, the truth is that of all days."""


@dataclasses.dataclass(frozen=True)
class Truths:
    """What the fit has to find again, one value for each motorcycle."""

    drag_area: np.ndarray
    rolling: np.ndarray
    power: np.ndarray
    mass: np.ndarray
    wind: np.ndarray
    slope: np.ndarray

    def of(self, motorcycle):
        return np.array(
            [getattr(self, field.name)[motorcycle] for field in dataclasses.fields(self)]
        )


def truths(rng, prior, count):
    """Truths drawn from what is believed; a drag area stays positive."""
    drawn = prior.value + prior.standard_uncertainty * rng.standard_normal((count, 6))
    drawn[:, 0] = np.maximum(drawn[:, 0], 0.2)
    drawn[:, 1] = np.maximum(drawn[:, 1], 0.012)
    return Truths(*drawn.T)


def speeds_over_time(truth, start, seconds, way, gear, final_ratio, rollout):
    """True speeds at whole seconds, shape (motorcycles, seconds + 1)."""
    vehicle, conditions = example_vehicle(), example_conditions()
    radius = rollout / (2 * math.pi)
    curve = PchipInterpolator(vehicle.torque_speeds, vehicle.torques)
    wheels = (
        vehicle.front_wheel_inertia / vehicle.front_wheel_radius**2
        + vehicle.rear_wheel_inertia / radius**2
    )
    efficiency = vehicle.primary_efficiency * vehicle.gearbox_efficiency * vehicle.chain_efficiency
    overall = 0.0 if gear == COASTING else vehicle.primary * vehicle.gears[gear] * final_ratio

    def gained(speed):
        air = speed + way * truth.wind
        against = (
            truth.mass * G0 * truth.rolling * np.cos(truth.slope)
            + way * truth.mass * G0 * np.sin(truth.slope)
            + 0.5 * conditions.air_density * truth.drag_area * air * np.abs(air)
        )
        engine = np.clip(speed * overall / radius, *vehicle.torque_speeds[[0, -1]])
        thrust = 0.0
        if gear != COASTING:
            thrust = efficiency * truth.power * curve(engine) * overall / radius
        turning = efficiency * vehicle.engine_inertia * (overall / radius) ** 2
        return (thrust - against) / (truth.mass + wheels + turning)

    speed = np.full(truth.mass.shape, float(start))
    seen, steps = [speed], 20
    step = 1.0 / steps
    for _ in range(seconds):
        for _ in range(steps):
            k1 = gained(speed)
            k2 = gained(speed + step / 2 * k1)
            k3 = gained(speed + step / 2 * k2)
            k4 = gained(speed + step * k3)
            speed = speed + step / 6 * (k1 + 2 * k2 + 2 * k3 + k4)
        seen.append(speed)
    return np.array(seen).T


def receiver_noise(rng, shape, deviation, correlation):
    """Noise whose neighbours err alike, standard deviation as given."""
    white = rng.standard_normal(shape) * deviation
    noise = white.copy()
    for second in range(1, shape[1]):
        noise[:, second] = correlation * noise[:, second - 1] + white[:, second] * math.sqrt(
            1 - correlation**2
        )
    return noise


PLAN = tuple(
    (gear, way, start, seconds)
    for way in (THERE, BACK)
    for gear, start, seconds in (
        (COASTING, 24.0, 25),
        (COASTING, 24.0, 25),
        (GEAR, 9.0, 12),
        (GEAR, 9.0, 12),
    )
)
"""Two coast-downs and two roll-ons each way; start speed [m/s] and length [s]."""


def rides(rng, truth, plan=PLAN, final_ratio=48 / 14, rollout=2.0, deviation=0.3, correlation=0.5):
    """Traces of every motorcycle: a list of lists."""
    count = truth.mass.size
    ridden = dataclasses.replace(
        truth, power=truth.power * (1 + DAY_TO_DAY * rng.standard_normal(count))
    )
    found = [[] for _ in range(count)]
    for gear, way, start, seconds in plan:
        exact = speeds_over_time(ridden, start, seconds, way, gear, final_ratio, rollout)
        seen = exact + receiver_noise(rng, exact.shape, deviation, correlation)
        for motorcycle in range(count):
            # A motorcycle that has nearly stopped is no coast-down any more.
            moving = exact[motorcycle] > 3.0
            found[motorcycle].append(
                Trace(
                    np.arange(seconds + 1.0)[moving],
                    np.round(seen[motorcycle][moving], 2),
                    gear,
                    way,
                    0.3,
                )
            )
    return found
