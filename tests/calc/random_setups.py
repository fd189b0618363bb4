"""Random but plausible motorcycles, conditions and gearings, reproducible from a seed."""

import dataclasses
import math

import numpy as np

from explorer.calc.example import example_conditions, example_vehicle


def random_setup(rng):
    """A vehicle, its conditions, a final drive ratio and a roll-out."""
    base = example_vehicle()
    scale = rng.uniform(0.8, 4.0)
    vehicle = dataclasses.replace(
        base,
        torques=base.torques * scale,
        mass=rng.uniform(140, 280),
        gears=np.geomspace(rng.uniform(2.2, 3.0), rng.uniform(0.8, 1.0), rng.integers(5, 7)),
        drag_area=rng.uniform(0.4, 0.7),
        cg_height=rng.uniform(0.6, 0.85),
        cg_ahead=rng.uniform(0.55, 0.7),
        shift_time=rng.uniform(0.0, 0.4),
        engine_inertia=rng.uniform(0.003, 0.02),
        launch_speed=rng.uniform(3000, 5500) * math.pi / 30,
    )
    conditions = dataclasses.replace(
        example_conditions(),
        slope=math.atan(rng.uniform(-0.05, 0.15)),
        grip=rng.uniform(0.3, 1.0),
        head_wind=rng.uniform(-5, 8),
        rolling_coefficient=rng.uniform(0.01, 0.1),
    )
    return vehicle, conditions, rng.uniform(2.6, 4.5), rng.uniform(1.7, 2.15)
