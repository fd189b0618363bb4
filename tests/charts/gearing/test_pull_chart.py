"""Pull chart: what it draws of the limits, and how little it sends when a slider moves."""

import dataclasses

import numpy as np
import pytest
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays

from explorer.charts import palette
from explorer.charts.gearing.pull_chart import PullChart, PullSetup, PullView, describe
from explorer.study.wording import SpeedUnits

MOST_EVENTS = 3
"""Document events of one step of a slider: chosen lines, marks and places to hover."""

GRIP = 1000.0


def setup_of(front: int, rear: int, **changes) -> PullSetup:
    """Invented: first gear pulls 1500 N where it is strongest, and the ground takes 1000 N."""
    ratio = (rear / front) / 3.5
    reach = np.array([40.0, 60.0, 90.0])[:, np.newaxis] / ratio
    share = np.linspace(0.2, 1.0, 21)
    speed = reach * share
    engine_pull = 60000.0 / reach * (1 - 3 * (share - 0.6) ** 2)
    pull = np.minimum(engine_pull, GRIP)
    setup = PullSetup(f"{front}/{rear}", speed, pull, engine_pull, 80.0 / ratio, 3, "power")
    return dataclasses.replace(setup, **changes)


def view_of(front: int, rear: int, **changes) -> PullView:
    speed = np.linspace(0.0, 140.0, 29)
    view = PullView(
        setup_of(front, rear), setup_of(14, 49), speed, 50 + 0.05 * speed**2, GRIP, 1400.0
    )
    return dataclasses.replace(view, **changes)


def test_a_slider_step_sends_few_events_and_makes_no_models(events_of, models_of):
    chart = PullChart(view_of(14, 49))
    before = models_of(chart.figure)
    for rear in (48, 49, 50, 49):
        events = events_of(chart.figure, lambda rear=rear: chart.update(view_of(14, rear)))
        assert 0 < len(events) <= MOST_EVENTS
    assert models_of(chart.figure) == before


def test_the_same_view_sends_nothing(events_of):
    chart = PullChart(view_of(13, 50))
    assert events_of(chart.figure, lambda: chart.update(view_of(13, 50))) == []


def test_pull_that_the_ground_refuses_is_dotted(column_of):
    chart = PullChart(view_of(14, 49))
    dashes = column_of(chart.figure, "dash")
    dotted = [ys for ys, dash in zip(column_of(chart.figure, "ys"), dashes, strict=True)
              if dash == palette.WANTED_DASH]  # fmt: skip
    # Only first gear pulls harder than 1000 N: second reaches 60 000 / 60 = 1000 N at most.
    assert len(dotted) == 1
    assert max(dotted[0]) == pytest.approx(1500.0)
    # It starts and ends on the solid line.
    assert max(dotted[0][0], dotted[0][-1]) <= GRIP


@pytest.mark.parametrize(("grip", "lift", "labels"), [
    (1000.0, 1400.0, {"grip limit", "front wheel lifts"}),
    (1000.0, None, {"grip limit"}),
    (None, 9000.0, set()),
    (None, None, set()),
])  # fmt: skip
def test_limits_in_sight_are_drawn_with_their_names(column_of, grip, lift, labels):
    chart = PullChart(view_of(14, 49, grip_limit=grip, wheel_lift_limit=lift))
    texts = set(column_of(chart.figure, "text"))
    assert texts & {"grip limit", "front wheel lifts"} == labels
    dashes = column_of(chart.figure, "dash")
    assert (palette.GRIP_DASH in dashes) == ("grip limit" in labels)
    assert (palette.WHEEL_LIFT_DASH in dashes) == ("front wheel lifts" in labels)


def test_the_top_speed_stands_on_the_resistance_with_its_limit(column_of):
    chart = PullChart(view_of(14, 49))
    sources = [renderer.data_source.data for renderer in chart.figure.renderers]
    points = next(data for data in sources if "marker" in data)
    at = points["marker"].index("diamond")
    assert points["x"][at] == pytest.approx(80.0)
    assert points["y"][at] == pytest.approx(50 + 0.05 * 80**2)
    assert points["text"][at] == "80 km/h\npower"
    texts = column_of(chart.figure, "text")
    assert "chosen 14/49: top speed\n80 km/h · 50 mph in 3rd gear\nlimited by: power" in texts


def test_hovering_says_pull_and_surplus(column_of):
    texts = column_of(PullChart(view_of(14, 49)).figure, "text")
    # Third gear at its limiter, 90 km/h: 60000/90 · (1 - 3·0.4²) = 346.7 N; resistance 455 N.
    assert "chosen 14/49: 3rd gear\n90 km/h · 56 mph\npull 347 N\nsurplus -108 N" in texts


def test_a_gearing_that_holds_no_speed_has_no_marker_and_says_so(column_of):
    stuck = setup_of(14, 49, top_speed=None)
    view = view_of(14, 49, chosen=stuck)
    assert "diamond" not in column_of(PullChart(view).figure, "marker")
    assert "Chosen 14/49 cannot hold any speed here" in describe(view)


def test_units_reach_axes_and_words():
    view = view_of(13, 50, speed_units=SpeedUnits("mph", "km/h", 1.609344), force_unit="lbf")
    chart = PullChart(view_of(13, 50))
    chart.update(view)
    assert chart.figure.title.text == "Pull at the tyre, lbf"
    assert chart.figure.xaxis[0].axis_label == "Road speed, mph"
    assert "km/h" not in describe(view)


def test_the_words_name_the_gears_that_the_ground_holds_back():
    assert describe(view_of(14, 49)) == (
        "Chosen 14/49 reaches 80 km/h in 3rd gear, limited by: power; "
        "fitted 14/49 reaches 80 km/h in 3rd gear, limited by: power. "
        "In 1st gear the engine could pull harder than the ground allows: "
        "the rear tyre slips at 1\u202f000 N."
    )


@pytest.fixture(scope="module")
def chart() -> PullChart:
    return PullChart(view_of(13, 50))


@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    deadline=None,
)
@given(pull=arrays(float, (3, 21), elements=st.floats(0.0, 5e3) | st.just(np.inf)))
def test_no_number_but_finite_ones_is_drawn(chart, numbers_of, pull):
    try:
        setup = setup_of(13, 50, pull=pull)
    except ValueError as error:
        assert np.isinf(pull).any()
        assert "finite number" in str(error)
    else:
        chart.update(view_of(13, 50, chosen=setup))
        assert np.isfinite(numbers_of(chart.figure)).all()
