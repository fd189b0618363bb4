"""How often the stated interval of a calibration holds the truth when the mass is wrong.

Rides as in tests/calc/ride/simulated_measurements.py, the mass off in several ways while it is
stated as known to 5 %. Run by `python -m tests.bench.bench_mass [rides]`.
"""

import dataclasses
import sys

import numpy as np

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.ride.calibration import COASTING, PARAMETERS, calibrate, usual_prior
from explorer.study.check.calibrate_result import MASS_SHARE, STATED
from tests.calc.ride.simulated_measurements import PLAN, rides, truths

PLANS = {
    "coast-downs and roll-ons": PLAN,
    "one of each": PLAN[::2],
    "coast-downs only": tuple(part for part in PLAN if part[0] == COASTING),
}


def errors(rng: np.random.Generator, count: int) -> dict[str, np.ndarray]:
    """Share by which the mass is wrong, for each way of being wrong."""
    return {
        "anything within 5 %": rng.uniform(-0.05, 0.05, count),
        "always 5 %": 0.05 * rng.choice([-1, 1], count),
        "normal, 2.5 %": rng.normal(0, 0.025, count),
    }


def coverage(plan: tuple, share: np.ndarray, seed: int) -> np.ndarray:
    """Share of intervals that hold the truth, by parameter."""
    vehicle, conditions = example_vehicle(), example_conditions()
    known = MASS_SHARE[STATED] * vehicle.mass
    prior = usual_prior(vehicle, conditions, 0.0115, mass_uncertainty=known)
    rng = np.random.default_rng(seed)
    truth = dataclasses.replace(truths(rng, prior, share.size), mass=vehicle.mass * (1 + share))
    inside = []
    for i, ride in enumerate(rides(rng, truth, plan)):
        fit = calibrate(vehicle, conditions, 48 / 14, 2.0, ride, prior)
        inside.append(np.abs(fit.value - truth.of(i)) <= 2 * fit.standard_uncertainty)
    return np.mean(inside, axis=0)


def main(count: int) -> None:
    """Print the coverage of drag, rolling resistance and power in every case."""
    for seed, (name, plan) in enumerate(PLANS.items()):
        for how, share in errors(np.random.default_rng(99), count).items():
            held = coverage(plan, share, seed)
            said = ", ".join(f"{p} {h:.1%}" for p, h in zip(PARAMETERS[:3], held, strict=False))
            print(f"{name}, mass wrong by {how}: {said}", flush=True)


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
