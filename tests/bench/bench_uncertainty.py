"""What bands cost on one change of the page: run `python -m tests.bench.bench_uncertainty`.

Everything of one change: baseline and candidate with their difference, the top-speed band of all
248 pairs, and the band of the measure at a few ratios, interpolated for all pairs. Prints
processor time of one core: the least and the median of many runs.
"""

import statistics
import time
from collections.abc import Callable
from functools import partial

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.example import example_conditions, example_vehicle
from explorer.calc.motion import measures
from explorer.calc.statistics.pair_bands import (
    interpolated_uncertainty,
    ratio_nodes,
    top_speed_estimate,
)
from explorer.calc.statistics.sensitivity import shares_of_variance
from explorer.calc.statistics.spreads import USUAL_SPREADS, rollout_spreads, surface_spreads
from explorer.calc.statistics.uncertainty import difference, propagate

FRONTS, REARS = np.arange(10, 18), np.arange(38, 69)
PAIRS = (REARS / FRONTS[:, np.newaxis]).ravel()
BASELINE, CANDIDATE = 0, 1
BUDGET = 25.0
"""Share of the 60 ms of a whole change of the page [ms]."""

MEASURES = {
    "time to 60 km/h": partial(measures.time_to_speed, speed=60 / 3.6),
    "time over 100 m": partial(measures.time_over_distance, distance=100.0),
    "roll-on 30 to 60 km/h": partial(
        measures.roll_on, from_speed=30 / 3.6, to_speed=60 / 3.6, gear=2
    ),
    "steepest slope": lambda drive, shifts: measures.steepest_slope_by_gear(drive).max(axis=1),
    "pull at walking pace": lambda drive, shifts: measures.walking_pull(drive, 5 / 3.6),
}


def milliseconds(work: Callable[[], object], repeats: int = 25) -> tuple[float, float]:
    """Least and median processor time of one call, after one call to warm up."""
    work()
    spent = []
    for _ in range(repeats):
        start = time.process_time()
        work()
        spent.append(1e3 * (time.process_time() - start))
    return min(spent), statistics.median(spent)


def main() -> None:
    bike = example_vehicle(), example_conditions()
    nodes = ratio_nodes(PAIRS)
    set_ups = np.concatenate([[48 / 14, 50 / 14], nodes])
    one_tyre = np.zeros(set_ups.size, int)
    common = (*USUAL_SPREADS, *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)))
    spreads = (*common, *rollout_spreads(one_tyre == 0, one_tyre))
    of_pairs = (*common, *rollout_spreads(np.array([True]), np.array([0])))
    by_gear = top_speed(Drive(*bike, PAIRS, 2.0)).by_gear

    def whole(measure: Callable) -> None:
        sure = propagate(*bike, set_ups, 2.0, spreads, measure)
        for each in sure:
            change = difference(each, BASELINE, CANDIDATE)
            shares_of_variance(change.contributions, change.curvatures, each.correlation)
        at_nodes = sure.value.standard_uncertainty[CANDIDATE + 1 :]
        interpolated_uncertainty(nodes, at_nodes, PAIRS)
        top_speed_estimate(*bike, PAIRS, 2.0, of_pairs, by_gear)

    cases = (1 + 2 * len(spreads)) * set_ups.size
    print(f"{len(spreads)} uncertain inputs, {set_ups.size} set-ups, {cases} cases in one array")
    for title, measure in MEASURES.items():
        least, median = milliseconds(partial(whole, measure))
        print(f"{title}: {least:.1f} ms at least, {median:.1f} ms median; budget {BUDGET:.0f} ms")
    least, median = milliseconds(lambda: top_speed_estimate(*bike, PAIRS, 2.0, of_pairs, by_gear))
    print(f"of that, top speed of {PAIRS.size} pairs: {least:.1f} ms, {median:.1f} ms median")


if __name__ == "__main__":
    main()
