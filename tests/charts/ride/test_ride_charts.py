"""The charts of a ride: thinned without losing peaks, updated in place, described."""

import numpy as np
import pytest

from explorer.charts.ride import ratio_chart, ride_chart, speed_histogram
from explorer.charts.ride.ride_chart import RideChart, RideView, thinned
from explorer.charts.ride.speed_histogram import HistogramView, SpeedHistogram


def view(points=5000, glitch=True):
    time = np.linspace(0, 60, points)
    speed = 40 + 20 * np.sin(time)
    spiky = speed.copy()
    spiky[points // 3] = 150.0
    gone = (time[[points // 3]], spiky[[points // 3]]) if glitch else (np.empty(0), np.empty(0))
    return RideView(((time, spiky),), ((time, speed),), gone, (10.0, 10.1, 58.0))


def test_a_long_ride_is_thinned_and_keeps_its_ends_and_peaks():
    time = np.arange(100_000.0)
    speed = np.random.default_rng(1).uniform(0, 50, 100_000)
    speed[77_777] = 99.0
    speed[33_333] = -1.0
    [(few, values)] = thinned(((time, speed),))
    assert len(few) <= 1600
    assert values.max() == 99.0
    assert values.min() == -1.0
    assert (few[0], few[-1]) == (0.0, 99_999.0)
    assert np.all(np.diff(few) > 0)


def test_a_short_ride_is_drawn_as_it_is():
    time = np.arange(20.0)
    [(few, values)] = thinned(((time, 2 * time),))
    assert few is time
    assert len(values) == 20


def test_many_stretches_stay_apart():
    stretches = tuple((np.arange(30.0) + 100 * n, np.full(30, 9.0)) for n in range(400))
    assert len(thinned(stretches)) == 400


def test_the_axis_follows_the_speeds_without_glitches():
    chart = RideChart(view())
    assert 60 < chart.figure.y_range.end < 100
    lines = chart.layers[0].data
    assert max(max(ys) for ys in lines["ys"]) <= chart.figure.y_range.end
    assert len(lines["xs"]) == 2


def test_an_update_replaces_what_is_shown():
    chart = RideChart(view())
    before = chart.figure
    chart.update(view(points=200, glitch=False))
    assert chart.figure is before
    assert "✕ left out" not in chart.layers[1].data["text"]
    assert any("held 58 km/h" in text for text in chart.layers[1].data["text"])


def test_what_is_not_finite_is_refused():
    with pytest.raises(ValueError, match="finite"):
        RideView(((np.array([0.0, np.nan]), np.zeros(2)),), (), (np.empty(0), np.empty(0)))


def test_words_of_the_charts():
    assert "1 reading left out" in ride_chart.describe(view())
    assert "no readings left out" in ride_chart.describe(view(glitch=False))
    histogram = HistogramView(np.array([0.0, 5, 10]), np.array([1.0, 3.0]), "km/h")
    assert "3:00 min, between 5 and 10 km/h" in speed_histogram.describe(histogram)
    SpeedHistogram(histogram).update(histogram)
    ratios = ratio_chart.RatioView(
        np.array([20.1, 20.0, 30.0]), np.array([30.0, 20.0]), np.array([20.05])
    )
    chart = ratio_chart.RatioChart(ratios)
    assert sum(chart.layers[0].data["top"]) == 3
    assert "20.05" in ratio_chart.describe(ratios)
    none = ratio_chart.RatioView(np.empty(0), np.array([30.0, 20.0]), np.empty(0))
    assert "No gear stands out" in ratio_chart.describe(none)
