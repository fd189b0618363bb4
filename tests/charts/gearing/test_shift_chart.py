"""Shift chart: the path it draws, and how little it sends when a slider moves."""

import dataclasses

import numpy as np
import pytest
from bokeh.models import MultiLine
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from explorer.charts.gearing.shift_chart import ShiftChart, ShiftSetup, ShiftView, describe
from explorer.study.wording import SpeedUnits

MOST_EVENTS = 3
"""Document events of one step of a slider: chosen lines, marks and places to hover."""


def setup_of(front: int, rear: int) -> ShiftSetup:
    """Invented gearbox: 1000 rpm gives 10 km/h in first gear at a final drive ratio of 3.6."""
    rpm_per_speed = np.array([100.0, 70.0, 52.0, 42.0]) * (rear / front) / 3.6
    exit_speed = 9600.0 / rpm_per_speed
    exit_speed[-1] = 8000.0 / rpm_per_speed[-1]
    shifts_up = np.array([True, True, True, False])
    return ShiftSetup(f"{front}/{rear}", rpm_per_speed, exit_speed, shifts_up)


def view_of(front: int, rear: int) -> ShiftView:
    return ShiftView(setup_of(front, rear), setup_of(14, 49), 1500, 4000, 10000, (6500, 9500))


def lines_of(chart: ShiftChart) -> list[tuple[list[float], list[float]]]:
    sources = [r.data_source for r in chart.figure.renderers if isinstance(r.glyph, MultiLine)]
    return [line for s in sources for line in zip(s.data["xs"], s.data["ys"], strict=True)]


def test_the_path_slips_climbs_and_drops_at_each_shift():
    view = ShiftView(setup_of(10, 36), setup_of(14, 49), 1500, 4000, 10000, (6500, 9500))
    speeds, rpms = view.path(view.chosen)
    # Clutch held at 4000 rpm up to 40 km/h, then 100 rpm for each km/h, shift at 9600 rpm.
    assert (speeds[0], rpms[0]) == (0.0, 4000.0)
    assert np.interp([20, 40, 60, 95.9], speeds, rpms) == pytest.approx([4000, 4000, 6000, 9590])
    drop = rpms[np.isclose(speeds, 96.0)]
    assert drop[[0, -1]] == pytest.approx([9600.0, 6720.0])
    assert np.all(np.diff(speeds) >= 0)
    assert rpms.max() <= 10000
    assert rpms[-1] == pytest.approx(8000.0)


def test_a_gear_that_is_never_left_ends_the_path():
    setup = dataclasses.replace(setup_of(13, 50), shifts_up=np.array([True, False, True, False]))
    view = dataclasses.replace(view_of(13, 50), chosen=setup)
    assert setup.shifts == 1
    assert view.path(setup)[0][-1] == pytest.approx(setup.exit_speed[1])
    assert "to end in 2nd gear" in describe(view)


def test_the_gear_lines_run_from_idle_to_the_rev_limit():
    chart = ShiftChart(view_of(13, 50))
    ends = [ys for _, ys in lines_of(chart) if len(ys) == 2 and ys[0] != ys[1]]
    assert ends == [[1500.0, 10000.0]] * 8


def test_a_slider_step_sends_few_events_and_makes_no_models(events_of, models_of):
    chart = ShiftChart(view_of(13, 50))
    before = models_of(chart.figure)
    for rear in (49, 48, 49, 50, 51):
        events = events_of(chart.figure, lambda rear=rear: chart.update(view_of(13, rear)))
        assert 0 < len(events) <= MOST_EVENTS
    assert models_of(chart.figure) == before


def test_the_same_view_sends_nothing(events_of):
    chart = ShiftChart(view_of(13, 50))
    assert events_of(chart.figure, lambda: chart.update(view_of(13, 50))) == []


def test_labels_and_hovering_say_gear_speed_and_shift(column_of):
    chart = ShiftChart(view_of(10, 36))
    texts = column_of(chart.figure, "text")
    assert {"1", "2", "3", "4", "power band", "chosen 10/36"} <= set(texts)
    assert "rev limit 10\u202f000 rpm" in texts
    shift = "1→2 at 9\u202f600 rpm, falls to 6\u202f720 rpm"
    assert f"chosen 10/36: best shift\n96 km/h · 60 mph\n{shift}" in texts
    gear = [text for text in texts if text.startswith("chosen 10/36: 1st gear\n15 km/h · 9 mph")]
    assert gear == [f"chosen 10/36: 1st gear\n15 km/h · 9 mph\n1\u202f500 rpm\n{shift}"]


def test_units_reach_axis_and_words():
    units = SpeedUnits("mph", "km/h", 1.609344)
    chart = ShiftChart(view_of(13, 50))
    view = dataclasses.replace(view_of(13, 50), speed_units=units)
    chart.update(view)
    assert chart.figure.xaxis[0].axis_label == "Road speed, mph"
    assert "mph" in describe(view)
    assert "km/h" not in describe(view)


def test_the_words_agree_with_the_numbers():
    view = dataclasses.replace(view_of(10, 36), fitted=setup_of(10, 36))
    assert describe(view) == (
        "Chosen 10/36 shifts up at 96, 137 and 185 km/h, to end in 4th gear; "
        "fitted 10/36 shifts up at 96, 137 and 185 km/h, to end in 4th gear. "
        "At the rev limit 4th gear runs 238 km/h with the chosen gearing and 238 km/h with the "
        "fitted one."
    )


@pytest.fixture(scope="module")
def chart() -> ShiftChart:
    return ShiftChart(view_of(13, 50))


@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    deadline=None,
)
@given(exit_speed=arrays(float, 4, elements=st.floats(-0.0, 1e3) | st.just(np.nan)))
def test_no_number_but_finite_ones_is_drawn(chart, numbers_of, exit_speed):
    try:
        setup = dataclasses.replace(setup_of(13, 50), exit_speed=exit_speed)
    except ValueError as error:
        assert np.isnan(exit_speed).any()
        assert "finite number" in str(error)
    else:
        chart.update(dataclasses.replace(view_of(13, 50), chosen=setup))
        assert np.isfinite(numbers_of(chart.figure)).all()
