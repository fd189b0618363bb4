"""A four-hour ride, one point a second: reading, cleaning and everything the page says of it.

Run with ``python -m tests.bench.bench_ride``.
"""

import statistics
import time

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.gearing import final_ratio
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.rides.demo_ride import csv_demo_ride, gpx_demo_ride
from explorer.records.rides.ride_file import read_ride
from explorer.records.setups.setup import Setup
from explorer.study.check.result import analyse
from explorer.study.study import Study
from explorer.tasks.check.views import histogram_view, ratio_view, ride_view

SECONDS = 4 * 3600
BUDGET = 2.0
"""Longest time from the bytes of a file to all that is shown of it [s]."""


def long_gpx(drive: Drive) -> bytes:
    """Four hours of GPX: demo rides one after another, each later by the length of those before."""
    text = gpx_demo_ride(drive, 1).decode()
    head, rest = text.split("<trkseg>", 1)
    body, foot = ("<trkseg>" + rest).rsplit("</trk>", 1)
    count = body.count("<trkpt")
    parts, start = [], 0
    while start < SECONDS:
        parts.append(_later(body, start))
        start += count + 60
    return (head + "".join(parts) + "</trk>" + foot).encode()


def _later(body: str, seconds: int) -> str:
    """The same points so many seconds later."""
    pieces = body.split("<time>")
    moved = [pieces[0]]
    for piece in pieces[1:]:
        stamp, rest = piece.split("Z", 1)
        moment = np.datetime64(stamp) + np.timedelta64(seconds, "s")
        moved.append(f"{moment}Z{rest}")
    return "<time>".join(moved)


def long_csv(drive: Drive) -> bytes:
    """Four hours of CSV with engine speeds."""
    lines = csv_demo_ride(drive, 1, interval=1.0).decode().splitlines()
    rows = [line.split(",", 1) for line in lines[2:] if line]
    parts, start = lines[:2], 0.0
    while start < SECONDS:
        parts += ["", *(f"{float(moment) + start:.1f},{rest}" for moment, rest in rows)]
        start += float(rows[-1][0]) + 60
    return "\n".join(parts).encode()


def main() -> None:
    """Print the medians of five runs."""
    bike_id, bike = "marram-250", demo_bikes()["marram-250"]
    setup = Setup.for_bike(bike_id, bike).changed(rear=bike.sprockets.rear + 2)
    study = Study.of(bike, setup)
    both, rollouts = study.drive, study.rollouts
    ratio = np.array([final_ratio(bike.sprockets.front, bike.sprockets.rear)])
    drive = Drive(both.vehicle, both.conditions, ratio, rollouts[0].value)
    for name, content in (("GPX", long_gpx(drive)), ("CSV", long_csv(drive))):
        parts = {"read": [], "clean": [], "analyse": [], "views": [], "all": []}
        for _ in range(5):
            moments = [time.perf_counter()]
            ride = read_ride([(name, content)])
            moments.append(time.perf_counter())
            cleaned = ride.cleaned()
            moments.append(time.perf_counter())
            result = analyse(ride, cleaned, bike, setup)
            moments.append(time.perf_counter())
            for view in (ride_view, histogram_view, ratio_view):
                view(result)
            moments.append(time.perf_counter())
            for part, seconds in zip(parts, np.diff(moments), strict=False):
                parts[part].append(float(seconds))
            parts["all"].append(moments[-1] - moments[0])
        said = ", ".join(f"{part} {statistics.median(t):.2f} s" for part, t in parts.items())
        print(f"{name}: {len(content) / 1e6:.1f} MB, {ride.points} points: {said}; budget {BUDGET}")


if __name__ == "__main__":
    main()
