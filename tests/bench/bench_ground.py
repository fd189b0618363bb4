"""What one change of the ground page costs: run `python -m tests.bench.bench_ground`.

Processor time of one core, the least and the median of many changes of the rear sprocket: the
computation without the course, all words and charts, and the course with its bands; and the
course with every pair of sprockets.
"""

import statistics
import time
from collections.abc import Callable

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.course import courses
from explorer.records.setups.setup import Setup
from explorer.study.course import ride_all, ride_pairs
from explorer.study.study import Study
from explorer.tasks.ground.page import GroundPage

BUDGET = 60.0
"""Computation of one change without the course [ms]."""


SHOWN = ("away", "clutch_out", "steepest_slope", "at_cruise", "coasting", "braking", "strategies")
SHOWN += ("worth", "stretches", "sure")
"""What the ground page asks of a study."""


def milliseconds(work: Callable[[int], object], repeats: int) -> tuple[float, float]:
    """Least and median processor time of one call, after one call to warm up."""
    work(0)
    spent = []
    for number in range(repeats):
        start = time.process_time()
        work(number)
        spent.append(1e3 * (time.process_time() - start))
    return min(spent), statistics.median(spent)


def main() -> None:
    for bike_id, bike in demo_bikes().items():
        setup = Setup.for_bike(bike_id, bike)
        low, high = bike.sprockets.rear_sold

        def rear(number: int, low: int = low, high: int = high) -> int:
            return low + number % (high - low + 1)

        least, median = milliseconds(
            lambda n, b=bike, s=setup, r=rear: Study.of(b, s.changed(rear=r(n))).ask(*SHOWN), 25
        )
        print(f"{bike_id}: compute {least:.1f} ms, median {median:.1f} ms; budget {BUDGET:.0f} ms")
        page = GroundPage(f"bike={bike_id}")
        least, median = milliseconds(lambda n, p=page, r=rear: p.state.change(rear=r(n + 1)), 15)
        print(f"  everything, words, charts and the course {least:.1f} ms, median {median:.1f} ms")
        for course in courses().values():
            ground = course.arrays()
            least, median = milliseconds(
                lambda n, b=bike, s=setup, r=rear, g=ground: ride_all(
                    Study.of(b, s.changed(rear=r(n))), g
                ),
                5,
            )
            start = time.process_time()
            pairs = ride_pairs(Study.of(bike, setup), ground)
            every = 1e3 * (time.process_time() - start)
            print(
                f"  {course.label}, {ground.length.size} rows: both with bands {least:.0f} ms, "
                f"median {median:.0f} ms; {pairs.time.size} pairs {every:.0f} ms"
            )


if __name__ == "__main__":
    main()
