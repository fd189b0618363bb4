"""How often the stated interval of a calibration holds the truth, and how long a fit takes.

Rides as in tests/calc/ride/simulated_measurements.py, each with another motorcycle, wind and slope
and with noise of a receiver. Run by `python -m tests.bench.bench_calibration [rides]`.
"""

import sys
import time

import numpy as np

from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.ride.calibration import calibrate, usual_prior
from explorer.calc.ride.calibration_model import COASTING, PARAMETERS
from tests.calc.ride.simulated_measurements import PLAN, rides, truths

PLANS = {
    "coast-downs and roll-ons": PLAN,
    "coast-downs only": tuple(part for part in PLAN if part[0] == COASTING),
    "roll-ons only": tuple(part for part in PLAN if part[0] != COASTING),
}


def main(count: int) -> None:
    vehicle, conditions = example_vehicle(), example_conditions()
    prior = usual_prior(vehicle, conditions, 0.0115)
    print(f"{count} rides each; share of 95 % intervals that hold the truth, share learned")
    for seed, (name, plan) in enumerate(PLANS.items()):
        for correlation in (0.0, 0.5, 0.8):
            rng = np.random.default_rng(seed)
            truth = truths(rng, prior, count)
            made = rides(rng, truth, plan, correlation=correlation)
            begin = time.perf_counter()
            fits = [calibrate(vehicle, conditions, 48 / 14, 2.0, ride, prior) for ride in made]
            each = (time.perf_counter() - begin) / count
            inside = np.mean(
                [
                    np.abs(fit.value - truth.of(i)) <= 2 * fit.standard_uncertainty
                    for i, fit in enumerate(fits)
                ],
                axis=0,
            )
            learned = np.mean([fit.learned for fit in fits], axis=0)
            print(f"{name}, correlation {correlation}, {each * 1000:.0f} ms a fit")
            for parameter, held, share in zip(PARAMETERS, inside, learned, strict=True):
                print(f"    {parameter:20} {held:6.1%} {share:6.0%}")


if __name__ == "__main__":
    main(int(sys.argv[1]) if len(sys.argv) > 1 else 200)
