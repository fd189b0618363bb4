"""A course of 200 segments for 248 pairs at once: run `python -m tests.bench.bench_course`.

Prints processor time of one core, the least and the median of several runs, and the ratio to the
baseline: the same function called once for each pair in a loop.
"""

import statistics
import time

import numpy as np

from explorer.calc.course.fastest import ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.example import example_conditions, example_vehicle
from tests.calc.course.random_courses import random_course

BUDGET = 1.0
"""Processor time of 200 segments for 248 pairs [s]."""
SEGMENTS = 200
PAIRS_OF_THE_BASELINE = 5


def main() -> None:
    front, rear = np.meshgrid(np.arange(11, 19), np.arange(32, 63), indexing="ij")
    ratios = (rear / front).ravel()
    course = random_course(np.random.default_rng(1), SEGMENTS)
    vehicle, conditions = example_vehicle(), example_conditions()

    def seconds(some: np.ndarray) -> float:
        start = time.process_time()
        ride_course(Drive(vehicle, conditions, some, 2.0), course)
        return time.process_time() - start

    seconds(ratios)
    spent = [seconds(ratios) for _ in range(7)]
    alone = sum(seconds(ratios[i : i + 1]) for i in range(PAIRS_OF_THE_BASELINE))
    looped = alone / PAIRS_OF_THE_BASELINE * ratios.size
    print(
        f"{SEGMENTS} segments, each on ground of its own, {ratios.size} pairs: "
        f"{min(spent):.2f} s, median {statistics.median(spent):.2f} s; budget {BUDGET:.0f} s; "
        f"pair by pair {looped:.0f} s, {looped / min(spent):.0f} times as long"
    )


if __name__ == "__main__":
    main()
