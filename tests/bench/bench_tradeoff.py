"""All 248 pairs at once against looping scipy: run `python -m tests.bench.bench_tradeoff`.

Prints processor time of one core, the median of many runs, and the ratio to the baseline: the
same measure, pair by pair, by the independent solver of tests/calc/reference_ode.py.
"""

import statistics
import time
from functools import partial

import numpy as np

from explorer.calc.drivetrain.tradeoff import all_pairs
from explorer.calc.motion import measures
from explorer.records.bikes.bike_library import demo_bikes
from tests.calc.reference_ode import Ride

FRONTS, REARS = np.arange(10, 18), np.arange(38, 69)
PAIRS_OF_THE_BASELINE = 5


def seconds(work, repeats: int) -> float:
    """Median processor time of one call, after one call to warm up."""
    work()
    spent = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        spent.append(time.process_time() - start)
    return statistics.median(spent)


def main() -> None:
    from explorer.calc.example import example_conditions

    conditions = example_conditions()
    picked = {
        "time to 60 km/h": (partial(measures.time_to_speed, speed=60 / 3.6), False),
        "time over 100 m": (partial(measures.time_over_distance, distance=100.0), False),
        "roll-on 30 to 60 km/h": (
            partial(measures.roll_on, from_speed=30 / 3.6, to_speed=60 / 3.6, gear=2),
            False,
        ),
        "steepest slope": (
            lambda drive, shifts: measures.steepest_slope_by_gear(drive).max(axis=1),
            True,
        ),
        "pull at walking pace": (
            lambda drive, shifts: measures.walking_pull(drive, 5 / 3.6),
            True,
        ),
    }
    for name in ("bracken-125", "marram-250"):
        vehicle = demo_bikes()[name].vehicle()
        for title, (measure, larger) in picked.items():
            spent = seconds(
                lambda m=measure, large=larger, v=vehicle: all_pairs(
                    v, conditions, FRONTS, REARS, 2.0, m, large
                ),
                25,
            )
            print(f"{name}, {len(vehicle.gears)} gears, 248 pairs, {title}: {spent * 1e3:.1f} ms")
        ratios = np.random.default_rng(1).choice(
            (REARS / FRONTS[:, np.newaxis]).ravel(), PAIRS_OF_THE_BASELINE
        )
        start = time.process_time()
        for ratio in ratios:
            ride = Ride(vehicle, conditions, ratio, 2.0)
            ride.top_speed()
            ride.run(stop_distance=100.0)
        each = (time.process_time() - start) / PAIRS_OF_THE_BASELINE
        at_once = seconds(
            lambda v=vehicle: all_pairs(
                v, conditions, FRONTS, REARS, 2.0, picked["time over 100 m"][0], False
            ),
            25,
        )
        print(f"  solve_ivp: {each:.2f} s a pair; ratio for 248 pairs {248 * each / at_once:.0f}:1")


if __name__ == "__main__":
    main()
