"""248 pairs, 12 wants and four courses: run `python -m tests.bench.bench_wants`.

Prints processor time of one core, the least and the median of several runs: everything from
nothing, all caches empty; again with other weights, as when a share is dragged; and the draws that
try the ranking by themselves.
"""

import statistics
import time

import numpy as np

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.wants import wants_result
from explorer.study.wants.kinds import WANTS, read_want
from explorer.study.wants.scene import scene_of
from explorer.study.wants.want import Want
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_robust import drawn_scene, robust
from explorer.study.wants.wants_short_list import short_list

BUDGET = 1.5
"""Processor time of 248 pairs, 12 wants and four courses, draws and short list included [s]."""

RUNS = 7


def wants(weight: float) -> tuple[Want, ...]:
    """Every kind, and few shifts over each of the three other courses."""
    courses = ("gravel-road", "hill-climb", "sand-track")
    return (
        *(read_want(kind, {}, weight) for kind in WANTS),
        *(read_want("few-shifts", {"course": each, "shifts": "20"}, 1) for each in courses),
    )


def main() -> None:
    bike = demo_bikes()["bracken-125"]
    setup, measured = Setup.for_bike("bracken-125", bike), Measurements.for_bike(bike)

    def seconds(weight: float) -> tuple[float, wants_result.WantsResult]:
        start = time.process_time()
        result = wants_result.compute(
            bike, setup, measured, Wishes(wants(weight), (("woods", weight), ("road", 1.0)))
        )
        short_list(result)
        return time.process_time() - start, result

    _, result = seconds(1.0)
    cold, warm, drawn = [], [], []
    for run in range(RUNS):
        scene_of.cache_clear()
        drawn_scene.cache_clear()
        cold.append(seconds(1.0)[0])
        warm.append(seconds(1.0 + run / 2)[0])
        drawn_scene.cache_clear()
        start = time.process_time()
        robust(result, result.judged, result.robust.pairs)
        drawn.append(time.process_time() - start)
    print(
        f"{result.ratio.size} pairs, {np.unique(result.ratio).size} different ratios, "
        f"{len(result.judged)} wants of {len(WANTS)} kinds, four courses; budget {BUDGET} s"
    )
    for name, spent in (("from nothing", cold), ("other weights", warm), ("draws alone", drawn)):
        print(f"{name}: {min(spent):.2f} s, median {statistics.median(spent):.2f} s")


if __name__ == "__main__":
    main()
