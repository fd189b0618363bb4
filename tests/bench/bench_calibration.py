"""How often the stated interval of a calibration holds the truth, as the table of the README.

Rides as in tests/calc/ride/simulated_measurements.py, each with another motorcycle, wind, slope and
day, and with noise of a receiver: with the mass weighed, for three correlations of that noise, and
with the mass stated as known to 5 % and wrong. The fit is nearly linear: what it believes of the
mass moves its values in proportion, so the same rides tell what any error of the mass would have
given, 200 draws each. Run by `python -m tests.bench.bench_calibration [rides]`.
"""

import dataclasses
import itertools
import sys
import time
from typing import NamedTuple

import numpy as np

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.ride.calibration import calibrate, usual_prior
from explorer.calc.ride.calibration_model import COASTING, PARAMETERS
from explorer.study.check.calibrate_result import MASS_SHARE, STATED
from tests.calc.ride.simulated_measurements import PLAN, rides, truths

VEHICLE, CONDITIONS = example_vehicle(), example_conditions()
WEIGHED = 1.2
"""Standard uncertainty of the mass of a bike that was weighed [kg]."""
KNOWN = MASS_SHARE[STATED] * VEHICLE.mass
FITTED = PARAMETERS[:3]

COASTS = tuple(part for part in PLAN if part[0] == COASTING)
PULLS = tuple(part for part in PLAN if part[0] != COASTING)
WEIGHED_PLANS = {
    "coast-downs and roll-ons": PLAN,
    "coast-downs only": COASTS,
    "roll-ons only": PULLS,
}
WRONG_PLANS = {
    "coast-downs and roll-ons": PLAN,
    "one of each": PLAN[::2],
    "coast-downs only": COASTS,
}
CORRELATIONS = (0.0, 0.5, 0.8)
ALL_WEIGHED = tuple(itertools.product(WEIGHED_PLANS, CORRELATIONS))


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


def fits(
    plan: tuple,
    seed: int,
    count: int,
    off: float | None = 0.05,
    known: float = KNOWN,
    correlation: float = 0.5,
) -> Fits:
    """Rides of a plan, fitted with a mass that is too high or too low.

    Args:
        off: By what share of it; none for what is left after weighing.
        known: Standard uncertainty that is stated of it [kg].
        correlation: Of the receiver's noise from one second to the next.
    """
    rng = np.random.default_rng(seed)
    prior = usual_prior(VEHICLE, CONDITIONS, 0.0115, mass_uncertainty=known)
    truth = truths(rng, prior, count)
    if off is not None:
        mass = VEHICLE.mass * (1 + off * rng.choice([-1, 1], count))
        truth = dataclasses.replace(truth, mass=mass)
    share = truth.mass / VEHICLE.mass - 1
    found = [
        calibrate(VEHICLE, CONDITIONS, 48 / 14, 2.0, ride, prior)
        for ride in rides(rng, truth, plan, correlation=correlation)
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


def weighed_errors(rng: np.random.Generator, count: int) -> dict[str, np.ndarray]:
    """The same where the mass was weighed."""
    return {"weighed": rng.normal(0, WEIGHED / VEHICLE.mass, (200, count))}


def coverage(of: Fits, wrong=mass_errors) -> dict[tuple[str, str], Held]:
    """How often the intervals hold, by way of being wrong and parameter."""
    found = {}
    count = len(of.error)
    for how, share in wrong(np.random.default_rng(99), count).items():
        off = np.abs(of.error - of.by_mass * share[:, :, np.newaxis])
        each = (off <= of.half).mean(axis=0)
        for place, name in enumerate(FITTED):
            held = each[:, place]
            # Not less than the chance of a ride that did not come.
            error = max(float(held.std()), 1 / np.sqrt(count)) / np.sqrt(count)
            found[how, name] = Held(float(held.mean()), error)
    return found


def weighed_cases(
    count: int, of: tuple[tuple[str, float], ...] = ALL_WEIGHED
) -> dict[tuple[str, str, str], Held]:
    """Cases with the mass weighed, of these plans and correlations, by them and parameter."""
    return {
        (plan, f"mass weighed, noise correlated {correlation}", name): held
        for n, (plan, correlation) in enumerate(of)
        for (_, name), held in coverage(
            fits(WEIGHED_PLANS[plan], 100 + n, count, None, WEIGHED, correlation), weighed_errors
        ).items()
    }


def wrong_cases(count: int) -> dict[tuple[str, str, str], Held]:
    """All cases with the mass wrong, by plan, way of being wrong and parameter."""
    return {
        (plan_name, f"mass wrong: {how}", name): held
        for n, (plan_name, plan) in enumerate(WRONG_PLANS.items())
        for (how, name), held in coverage(fits(plan, n, count)).items()
    }


def main(count: int) -> None:
    """Print the coverage of drag, rolling resistance and power in all 54 cases."""
    begin = time.process_time()
    cases = weighed_cases(count) | wrong_cases(count)
    each = (time.process_time() - begin) / count / (len(cases) // len(FITTED) - 6)
    print(f"{count} rides each, {each * 1000:.0f} ms of processor time for one and its fit\n")
    print(
        f"| runs, there and back | case | {' | '.join(FITTED)} |\n|---|---|{'---|' * len(FITTED)}"
    )
    for plan, case in dict.fromkeys(key[:2] for key in cases):
        held = [cases[plan, case, name] for name in FITTED]
        print(
            f"| {plan} | {case} | "
            + " | ".join(f"{100 * each.share:.1f} ± {100 * each.error:.1f}" for each in held)
            + " |"
        )


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
