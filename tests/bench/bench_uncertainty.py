"""What bands cost on one change of the page: run `python -m tests.bench.bench_uncertainty`.

Everything of one change: baseline and candidate with their difference, then top speed and measure
at a few ratios, interpolated for all 248 pairs. Prints processor time of one core: the least and
the median of many runs.
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
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.statistics.pair_bands import interpolated_band, ratio_nodes
from explorer.calc.statistics.sampling import DRAWS, Sampled, drawn
from explorer.calc.statistics.spreads import USUAL_SPREADS, rollout_spreads, surface_spreads

FRONTS, REARS = np.arange(10, 18), np.arange(38, 69)
PAIRS = (REARS / FRONTS[:, np.newaxis]).ravel()
BASELINE, CANDIDATE = 0, 1

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
    two = np.array([48 / 14, 50 / 14])
    common = (*USUAL_SPREADS, *surface_spreads((0.02, 0.03, 0.04), (0.5, 0.6, 0.7)))
    spreads = (*common, *rollout_spreads(np.array([True]), np.array([0])))

    def sampled(measure: Callable, ratios: np.ndarray) -> tuple[Sampled, Sampled]:
        drive = Drive(*drawn(*bike, ratios, 2.0, spreads))
        top = top_speed(drive)
        values = top.speed, measure(drive, shift_points(drive, top))
        return Sampled.of(values[0], ratios.size), Sampled.of(values[1], ratios.size)

    def one_change(measure: Callable) -> None:
        for each in sampled(measure, two):
            each.change(BASELINE, CANDIDATE)

    def all_pairs(measure: Callable) -> None:
        for each in sampled(measure, nodes):
            interpolated_band(nodes, each, PAIRS)

    print(f"{len(spreads)} uncertain inputs, {1 + DRAWS} cases a set-up, {nodes.size} ratios")
    for title, measure in MEASURES.items():
        for what, work in (("two set-ups", one_change), ("all pairs", all_pairs)):
            least, median = milliseconds(partial(work, measure))
            print(f"{title}, {what}: {least:.1f} ms at least, {median:.1f} ms median")


if __name__ == "__main__":
    main()
