"""Largest disagreement with scipy's `solve_ivp`: run `python -m tests.bench.worst_disagreement`.

The random set-ups of tests/calc/motion/test_motion_against_ode.py, launch, shifts and limits
included; there each must agree to 0.1 %, here the worst of each kind is printed.
"""

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.measures import time_over_distance, time_to_speed
from explorer.calc.motion.shift_points import shift_points
from tests.calc.random_setups import random_setup
from tests.calc.reference_ode import Ride

SET_UPS = 50


def main() -> None:
    worst = {"top speed": (0.0, 0), "time to a speed": (0.0, 0), "time over a distance": (0.0, 0)}
    for seed in range(SET_UPS):
        rng = np.random.default_rng(seed)
        setup = random_setup(rng)
        drive, ride = Drive(*setup), Ride(*setup)
        top = top_speed(drive)
        shifts = shift_points(drive, top)
        target = max(rng.uniform(0.3, 0.95) * top.speed[0], 1.0)
        distance = rng.uniform(20, 400)
        results = {
            "top speed": (top.speed[0], ride.top_speed()),
            "time to a speed": (
                time_to_speed(drive, shifts, target)[0],
                ride.run(stop_speed=target),
            ),
            "time over a distance": (
                time_over_distance(drive, shifts, distance)[0],
                ride.run(stop_distance=distance),
            ),
        }
        for name, (ours, theirs) in results.items():
            if np.isfinite(ours) and 0 < theirs < np.inf:
                worst[name] = max(worst[name], (abs(ours / theirs - 1), seed))
    for name, (share, seed) in worst.items():
        print(f"{name}: worst {share:.1e} of {SET_UPS} set-ups, seed {seed}")


if __name__ == "__main__":
    main()
