"""From one ride to what each chart shows, in the reader's units."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import speed_units
from explorer.charts.ride.ratio_chart import RatioView
from explorer.charts.ride.ride_chart import RideView
from explorer.charts.ride.speed_histogram import HistogramView
from explorer.study.check.result import HELD_FOR, RideResult
from explorer.tasks.check.gear_words import overall_per_quotient


def ride_view(result: RideResult) -> RideView:
    """Raw against cleaned speed."""
    per_speed, _ = units.display(1.0, "speed", result.setup.units)

    def lines(ride):
        return tuple((each.time / 60, each.speed * per_speed) for each in ride.segments)

    kept = np.concatenate([each.time for each in result.cleaned.segments])
    time = np.concatenate([each.time for each in result.ride.segments])
    speed = np.concatenate([each.speed for each in result.ride.segments])
    gone = ~np.isin(time, kept)
    held = None
    if result.top is not None:
        begin = result.top.start / 60
        held = (begin, begin + HELD_FOR / 60, result.top.speed * per_speed)
    return RideView(
        logged=lines(result.ride),
        cleaned=lines(result.cleaned),
        glitches=(time[gone] / 60, speed[gone] * per_speed),
        held=held,
        speed_units=speed_units(result.setup),
    )


def histogram_view(result: RideResult) -> HistogramView:
    """Time at each speed."""
    per_speed, unit = units.display(1.0, "speed", result.setup.units)
    edges, time_at = result.histogram
    return HistogramView(edges * per_speed, time_at / 60, unit)


def ratio_view(result: RideResult) -> RatioView:
    """The gears found; without engine speeds only those of the bike file."""
    factor = overall_per_quotient(result)
    expected = result.quotient[result.ridden] * factor
    if result.found is None:
        return RatioView(np.empty(0), expected, np.empty(0))
    found = result.found.matched.gear >= 0
    return RatioView(
        result.found.quotients * factor, expected, result.found.found.quotient[found] * factor
    )
