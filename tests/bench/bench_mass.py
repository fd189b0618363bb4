"""How often the stated interval of a calibration holds the truth when the mass is wrong.

Rides as in tests/calc/ride/simulated_measurements.py, fitted with the mass stated as known to 5 %
and always 5 % off. The fit is nearly linear: what it believes of the mass moves its values in
proportion, so the same rides tell what other errors of the mass would have given, 200 draws each.
Run by `python -m tests.bench.bench_mass [rides]`.
"""

import dataclasses
import sys
from typing import NamedTuple

import numpy as np

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.ride.calibration import calibrate, usual_prior
from explorer.calc.ride.calibration_model import COASTING, PARAMETERS
from explorer.study.check.calibrate_result import MASS_SHARE, STATED
from tests.calc.ride.simulated_measurements import PLAN, rides, truths

VEHICLE, CONDITIONS = example_vehicle(), example_conditions()
KNOWN = MASS_SHARE[STATED] * VEHICLE.mass
PRIOR = usual_prior(VEHICLE, CONDITIONS, 0.0115, mass_uncertainty=KNOWN)
FITTED = PARAMETERS[:3]

PLANS = {
    "coast-downs and roll-ons": PLAN,
    "one of each": PLAN[::2],
    "coast-downs only": tuple(part for part in PLAN if part[0] == COASTING),
}


class Fits(NamedTuple):
    """What came out of rides whose mass was right, one row for each ride and each of `FITTED`.

    Attributes:
        error: Fitted less true.
        half: Half of the stated interval.
        by_mass: What the value moves by for a mass that is wrong by its whole.
    """

    error: np.ndarray
    half: np.ndarray
    by_mass: np.ndarray


class Held(NamedTuple):
    """How often intervals hold, and the standard error of that share by chance."""

    share: float
    error: float


def fits(plan: tuple, seed: int, count: int, off: float = 0.05, known: float = KNOWN) -> Fits:
    """Rides of a plan, fitted with a mass that is too high or too low.

    Args:
        off: By what share of it.
        known: Standard uncertainty that is stated of it [kg].
    """
    rng = np.random.default_rng(seed)
    share = off * rng.choice([-1, 1], count)
    truth = dataclasses.replace(truths(rng, PRIOR, count), mass=VEHICLE.mass * (1 + share))
    prior = usual_prior(VEHICLE, CONDITIONS, 0.0115, mass_uncertainty=known)
    found = [
        calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, ride, prior)
        for ride in rides(rng, truth, plan)
    ]
    error = np.array([fit.value[:3] - truth.of(i)[:3] for i, fit in enumerate(found)])
    by_mass = np.array([fit.covariance[:3, 3] for fit in found]) / known**2 * VEHICLE.mass
    half = np.array([2 * fit.standard_uncertainty[:3] for fit in found])
    return Fits(error + by_mass * share[:, np.newaxis], half, by_mass)


def mass_errors(rng: np.random.Generator, count: int) -> dict[str, np.ndarray]:
    """Share by which the mass is wrong, for each way of being wrong."""
    return {
        "anything within 5 %": rng.uniform(-0.05, 0.05, (200, count)),
        "always 5 %": np.broadcast_to([[-0.05], [0.05]], (2, count)),
        "normal, 2.5 %": rng.normal(0, 0.025, (200, count)),
    }


def coverage(of: Fits, wider: float = 1.0) -> dict[tuple[str, str], Held]:
    """How often the intervals hold, by way of being wrong and parameter.

    Args:
        wider: By what the stated intervals are multiplied.
    """
    found = {}
    count = len(of.error)
    for how, share in mass_errors(np.random.default_rng(99), count).items():
        off = np.abs(of.error - of.by_mass * share[:, :, np.newaxis])
        each = (off <= wider * of.half).mean(axis=0)
        for place, name in enumerate(FITTED):
            held = each[:, place]
            # Not less than the chance of a ride that did not come.
            error = max(float(held.std()), 1 / np.sqrt(count)) / np.sqrt(count)
            found[how, name] = Held(float(held.mean()), error)
    return found


def main(count: int) -> None:
    """Print the coverage of drag, rolling resistance and power in all 27 cases."""
    for seed, (plan_name, plan) in enumerate(PLANS.items()):
        for (how, name), held in coverage(fits(plan, seed, count)).items():
            print(
                f"{plan_name}, mass wrong by {how}, {name}: {held.share:.1%} ± {held.error:.1%}",
                flush=True,
            )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
