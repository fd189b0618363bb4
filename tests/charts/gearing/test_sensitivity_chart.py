"""Sensitivity chart: its bars, how little it sends, and its words."""

import dataclasses
from itertools import pairwise

import numpy as np
import pytest

from explorer.charts.gearing.sensitivity_chart import SensitivityChart, SensitivityView, describe


def view_of(rear: int = 50, **changes) -> SensitivityView:
    view = SensitivityView(
        names=("drag area", "mass of bike and rider", "roll-out"),
        level=np.array([[0.4, 0.3], [0.1, 0.2], [0.1, 0.1]]) * rear / 50,
        difference=np.array([[0.01, 0.0], [0.0, 0.03], [0.0, 0.0]]),
        level_said=("+0.3/−0.4 s", "+0.2/−0.1 s", "±0.1 s"),
        difference_said=("+0.00/−0.01 s", "+0.03/−0.01 s", "±0 s"),
        quantity="0 to 60 km/h",
        unit="s",
        pair=f"13/{rear}",
    )
    return dataclasses.replace(view, **changes)


def bars_of(chart, column_of):
    """Left, right, bottom and top of every bar; those of the legend have no height."""
    edges = (column_of(chart.figure, name) for name in ("left", "right", "bottom", "top"))
    return [bar for bar in zip(*edges, strict=True) if bar[2] < bar[3]]


def test_two_bars_for_every_input_from_end_to_end_of_its_band(column_of):
    bars = bars_of(SensitivityChart(view_of()), column_of)
    assert sorted(right for _, right, *_ in bars) == [0, 0, 0.03, 0.1, 0.2, 0.3]
    assert sorted(-left for left, *_ in bars) == [0, 0, 0.01, 0.1, 0.1, 0.4]
    # No two bars lie on one another.
    heights = sorted((bottom, top) for *_, bottom, top in bars)
    assert all(top < bottom for (_, top), (bottom, _) in pairwise(heights))


def test_colour_is_not_the_only_sign(column_of):
    chart = SensitivityChart(view_of())
    assert len(set(column_of(chart.figure, "hatch"))) == 2


def test_a_slider_step_sends_few_events_and_makes_no_models(events_of, models_of):
    chart = SensitivityChart(view_of(50))
    before = models_of(chart.figure)
    events = events_of(chart.figure, lambda: chart.update(view_of(52)))
    assert 0 < len(events) <= 3
    assert models_of(chart.figure) == before
    assert events_of(chart.figure, lambda: chart.update(view_of(52))) == []


def test_the_words_name_what_matters_most_for_each():
    words = describe(view_of())
    assert "most uncertain from drag area, +0.3/−0.4 s" in words
    assert "to the fitted one from mass of bike and rider, +0.03/−0.01 s" in words
    assert "nothing moves the difference" in describe(view_of(difference=np.zeros((3, 2))))
    assert "No input" in describe(view_of(level=np.zeros((3, 2))))


@pytest.mark.parametrize(
    ("changes", "said"),
    [
        ({"level": np.full((3, 2), np.nan)}, "finite number"),
        ({"level": np.full((3, 2), -1.0)}, "shorter than nothing"),
        ({"names": ("drag area",)}, "two bars"),
    ],
)
def test_what_cannot_be_drawn_is_refused_in_a_sentence(changes, said):
    with pytest.raises(ValueError, match=said):
        view_of(**changes)


def test_all_zero_bars_keep_a_finite_axis(numbers_of):
    chart = SensitivityChart(view_of(level=np.zeros((3, 2)), difference=np.zeros((3, 2))))
    assert np.isfinite(numbers_of(chart.figure)).all()
    assert chart.figure.x_range.end > 0
