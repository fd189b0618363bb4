"""Side view and slack chart: to scale, and still while the wheel moves."""

import dataclasses

import numpy as np
import pytest
from bokeh.models import ColumnDataSource

from explorer.calc.chain.chain_path import outline
from explorer.calc.chain.swingarm import Point, axle_position
from explorer.calc.sprockets import pitch_diameter
from explorer.charts.fit import side_view, slack_chart
from explorer.charts.fit.side_view import SideSetup, SideView, SideViewChart
from explorer.charts.fit.slack_chart import SlackChart, SlackView

PITCH = 15.875
SHAFT = Point(-80.0, 10.0)


def setup_of(front, rear, angle):
    axle = axle_position(560.0, angle)
    line = outline(SHAFT, axle, PITCH, front, rear)
    return SideSetup(
        front,
        rear,
        pitch_diameter(PITCH, front) / 2,
        pitch_diameter(PITCH, rear) / 2,
        (float(axle.x), float(axle.y)),
        line.x,
        line.y,
    )


def view_of(angle=-0.2, chosen=(12, 52)):
    return SideView(
        (SHAFT.x, SHAFT.y),
        setup_of(13, 48, angle),
        setup_of(*chosen, angle),
        (-120.0, 700.0, -350.0, 250.0),
    )


def lines_of(chart):
    data = next(r.data_source.data for r in chart.figure.renderers if "xs" in r.data_source.data)
    return [np.array([x, y]) for x, y in zip(data["xs"], data["ys"], strict=True)]


def test_one_unit_across_is_drawn_as_long_as_one_unit_up():
    assert SideViewChart(view_of()).figure.match_aspect


def test_sprockets_swingarm_and_chain_are_where_they_are():
    view = view_of()
    lines = lines_of(SideViewChart(view))
    for setup, (front, rear, arm, chain) in (
        (view.fitted, lines[:4]),
        (view.chosen, lines[4:]),
    ):
        for circle, centre, radius in (
            (front, view.shaft, setup.front_radius),
            (rear, setup.axle, setup.rear_radius),
        ):
            distance = np.hypot(circle[0] - centre[0], circle[1] - centre[1])
            # Drawn with three decimals of a millimetre.
            np.testing.assert_allclose(distance, radius, rtol=0, atol=1e-3)
        np.testing.assert_allclose(arm.T, [(0.0, 0.0), setup.axle], rtol=0, atol=1e-3)
        np.testing.assert_allclose(chain, [setup.chain_x, setup.chain_y], rtol=0, atol=1e-3)


def test_tooth_counts_of_both_pairs_are_written(column_of):
    texts = column_of(SideViewChart(view_of()).figure, "text")
    assert {"12 teeth (now 13)", "52 teeth (now 48)"} <= set(texts)
    same = column_of(SideViewChart(view_of(chosen=(13, 48))).figure, "text")
    assert {"13 teeth", "48 teeth"} <= set(same)


def test_moving_the_wheel_moves_chain_and_marks_and_nothing_else(events_of):
    chart = SideViewChart(view_of())
    assert len(events_of(chart.figure, lambda: chart.update(view_of(angle=-0.1)))) <= 2
    assert len(events_of(chart.figure, lambda: chart.update(view_of(angle=-0.1)))) == 0


def test_the_words_say_where_the_axle_is():
    assert "the pivot" in side_view.describe(view_of())
    assert "below" in side_view.describe(view_of(angle=-0.2))
    assert "above" in side_view.describe(view_of(angle=0.2))


def slack_view(**changes):
    travel = np.linspace(0.0, 300.0, 61)
    fitted = 40.0 + (travel - 140.0) ** 2 / 500.0
    view = SlackView(
        travel=travel,
        fitted=fitted,
        chosen=fitted - 5.0,
        rest=0.0,
        tightest=140.0,
        now=100.0,
        basis="set to your manual's value",
    )
    return dataclasses.replace(view, **changes)


def test_the_slack_curves_end_where_the_chain_is_taut(numbers_of):
    chosen = slack_view().chosen.copy()
    chosen[20:40] = np.nan
    chart = SlackChart(slack_view(chosen=chosen))
    assert np.isfinite(numbers_of(chart.figure)).all()
    assert "taut at the tightest" in slack_chart.describe(slack_view(chosen=chosen))


def test_the_mark_follows_the_wheel(events_of):
    chart = SlackChart(slack_view())
    assert len(events_of(chart.figure, lambda: chart.update(slack_view(now=120.0)))) <= 1


def test_the_words_give_slack_where_it_matters():
    text = slack_chart.describe(slack_view())
    assert "35 mm at the tightest position (140 mm of travel)" in text
    assert "74 mm where it is measured" in text
    assert "38 mm where the slider stands (100 mm of travel)" in text
    text = slack_chart.describe(slack_view(now=140.0))
    assert "35 mm where the slider stands (140 mm of travel)" in text


@pytest.mark.parametrize(
    ("tightest", "label"),
    [
        (0.0, "tightest: wheel hanging"),
        (140.0, "tightest: in line"),
        (np.nextafter(300.0, 0.0), "tightest: fully compressed"),
    ],
)
def test_in_line_is_said_only_within_the_travel(tightest, label):
    chart = SlackChart(slack_view(tightest=tightest))
    texts = [
        text
        for source in chart.figure.select({"type": ColumnDataSource})
        for text in source.data.get("text", ())
    ]
    assert [text for text in texts if text.startswith("tightest")] == [label]


def test_nothing_known_at_all_is_still_drawn():
    nothing = np.full(61, np.nan)
    chart = SlackChart(slack_view(fitted=nothing, chosen=nothing))
    assert chart.figure.x_range.end > 0


@pytest.mark.parametrize(("unit", "decimals", "said"), [("mm", 0, "12 mm"), ("in", 2, "12.34 in")])
def test_units_are_the_readers(unit, decimals, said):
    assert slack_view(unit=unit, decimals=decimals).said(12.341) == said
