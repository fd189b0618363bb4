"""Course chart: what it draws, how little it sends, and its words."""

import dataclasses

import numpy as np
import pytest
from bokeh.models import MultiLine

from explorer.charts.gearing.course_chart import CourseChart, CourseSetup, CourseView, describe
from explorer.study.wording import SpeedUnits

DISTANCE = np.linspace(0.0, 400.0, 41)
MOST_EVENTS = 3
"""Document events of one step of a slider: chosen line, marks and places to hover."""


def setup_of(front: int, rear: int, reached: float = 400.0) -> CourseSetup:
    """Invented: up to a corner at 200 m and on again, faster with a taller gearing."""
    fastest = 60.0 * front / rear * 3.7
    speed = np.minimum(fastest, 10.0 + np.abs(DISTANCE - 200.0) / 2)
    return CourseSetup(f"{front}/{rear}", np.where(reached >= DISTANCE, speed, 0.0), reached)


def view_of(front: int, rear: int, **changes) -> CourseView:
    view = CourseView(
        setup_of(front, rear),
        setup_of(14, 49),
        DISTANCE,
        np.array([200.0]),
        np.array([10.0]),
    )
    return dataclasses.replace(view, **changes)


def lines_of(chart: CourseChart) -> list[tuple[list[float], list[float]]]:
    sources = [r.data_source for r in chart.figure.renderers if isinstance(r.glyph, MultiLine)]
    return [line for s in sources for line in zip(s.data["xs"], s.data["ys"], strict=True)]


def test_both_lines_run_over_the_whole_course():
    fitted, chosen = lines_of(CourseChart(view_of(13, 50)))
    assert fitted[0] == chosen[0] == DISTANCE.tolist()
    np.testing.assert_allclose(chosen[1], setup_of(13, 50).speed, atol=5e-4)


def test_a_motorcycle_that_stops_for_good_ends_its_line_at_rest():
    view = view_of(13, 50, chosen=setup_of(13, 50, reached=155.0))
    _, (distance, speed) = lines_of(CourseChart(view))
    assert (distance[-1], speed[-1]) == (155.0, 0.0)


def test_a_slider_step_sends_few_events_and_makes_no_models(events_of, models_of):
    chart = CourseChart(view_of(13, 50))
    before = models_of(chart.figure)
    for rear in (49, 48, 49, 51):
        events = events_of(chart.figure, lambda rear=rear: chart.update(view_of(13, rear)))
        assert 0 < len(events) <= MOST_EVENTS
    assert models_of(chart.figure) == before
    assert events_of(chart.figure, lambda: chart.update(view_of(13, 51))) == []


def test_another_course_gets_another_axis():
    chart = CourseChart(view_of(13, 50))
    assert chart.figure.x_range.end >= 400
    short = view_of(13, 50, distance=DISTANCE / 4, corner_distance=np.array([50.0]))
    short = dataclasses.replace(
        short,
        chosen=dataclasses.replace(short.chosen, reached=100.0),
        fitted=dataclasses.replace(short.fitted, reached=100.0),
    )
    chart.update(short)
    assert 100 <= chart.figure.x_range.end <= 120


def test_hovering_and_labels_say_both_gearings(column_of):
    texts = column_of(CourseChart(view_of(13, 50)).figure, "text")
    assert {"chosen 13/50", "△ corner"} <= set(texts)
    start = [text for text in texts if text.startswith("0 m from the start")]
    assert len(start) == 1 and "chosen 13/50: " in start[0] and "fitted 14/49: " in start[0]


def test_the_words_name_the_fastest_and_the_largest_difference():
    view = view_of(13, 50)
    words = describe(view)
    fastest = view.chosen.speed.max()
    assert f"chosen 13/50 {fastest:.0f} km/h at 0 m" in words
    gap = np.abs(view.chosen.speed - view.fitted.speed).max()
    assert f"{gap:.0f} km/h slower there" in words
    same = dataclasses.replace(view, fitted=view.chosen)
    assert "never differ" in describe(same)


def test_units_reach_axis_and_words():
    view = view_of(13, 50, speed_units=SpeedUnits("mph", "km/h", 1.609344), distance_unit="ft")
    chart = CourseChart(view)
    assert chart.figure.xaxis[0].axis_label == "Distance, ft"
    assert "mph" in describe(view) and "km/h" not in describe(view)


@pytest.mark.parametrize("bad", [np.nan, np.inf])
def test_no_number_but_finite_ones_is_drawn(bad):
    with pytest.raises(ValueError, match="finite number"):
        dataclasses.replace(setup_of(13, 50), speed=np.where(DISTANCE > 300, bad, 20.0))
    with pytest.raises(ValueError, match="finite number"):
        view_of(13, 50, corner_speed=np.array([bad]))
