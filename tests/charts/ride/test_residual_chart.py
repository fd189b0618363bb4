"""The residual chart: every value drawn where it is, told in words, few messages."""

import numpy as np
import pytest

from explorer.charts.ride.residual_chart import ResidualChart, ResidualView, describe

VIEW = ResidualView(
    ("coast-down there", "coast-down back"),
    np.array([0, 0, 1, 1]),
    np.array([80.0, 60.0, 79.0, 61.0]),
    np.array([0.5, -2.6, 1.0, 0.1]),
    "km/h",
)


def test_every_residual_is_drawn_inside_the_axes(column_of):
    figure = ResidualChart(VIEW).figure
    assert {80.0, 60.0, 79.0, 61.0} <= set(column_of(figure, "x"))
    assert {0.5, -2.6, 1.0, 0.1} <= set(column_of(figure, "y"))
    assert figure.y_range.start < -2.6 and figure.y_range.end > 2.0
    assert figure.x_range.end >= 80.0


def test_kinds_differ_by_marker_as_well_as_colour(column_of):
    figure = ResidualChart(VIEW).figure
    assert {"circle", "triangle"} <= set(column_of(figure, "marker"))
    labels = [item.label.value for item in figure.legend[0].items if item.visible]
    assert labels == list(VIEW.kinds)


def test_words_say_what_lies_outside():
    assert "4 values; 1 of them (25 %)" in describe(VIEW)
    assert "−2.6 at 60 km/h, coast-down there" in describe(VIEW)


def test_nothing_fitted_yet(column_of):
    none = np.zeros(0)
    empty = ResidualView((), none, none, none, "km/h")
    chart = ResidualChart(empty)
    assert "nothing has been fitted" in describe(empty)
    chart.update(VIEW)
    assert len([x for x in column_of(chart.figure, "text") if "standard deviations" in x]) == 4


def test_the_same_view_sends_nothing(events_of):
    chart = ResidualChart(VIEW)
    assert events_of(chart.figure, lambda: chart.update(VIEW)) == []


def test_a_great_many_are_thinned(column_of):
    many = 10_000
    view = ResidualView(
        ("a",), np.zeros(many, int), np.linspace(1, 90, many), np.zeros(many), "km/h"
    )
    assert len(column_of(ResidualChart(view).figure, "dx")) <= 800


@pytest.mark.parametrize(
    ("change", "words"),
    [
        ({"residual": np.array([np.nan, 0, 0, 0])}, "finite"),
        ({"speed": np.zeros(3)}, "for every residual"),
        ({"kinds": ("a",) * 5}, "at most four"),
    ],
)
def test_what_cannot_be_drawn(change, words):
    given = {name: getattr(VIEW, name) for name in VIEW.__dataclass_fields__} | change
    with pytest.raises(ValueError, match=words):
        ResidualView(**given)
