"""Trade-off chart: pairs drawn and left out, taps, and how little a slider step sends."""

import dataclasses

import numpy as np
import pytest
from bokeh.events import Tap
from hypothesis import HealthCheck, given, settings
from hypothesis import strategies as st
from hypothesis.extra.numpy import arrays
from jupyter_bokeh import BokehModel

from explorer.calc.chain.chain_choice import Reach
from explorer.charts import palette
from explorer.charts.gearing.tradeoff_chart import TradeoffChart, TradeoffView, describe
from explorer.study.wording import SpeedUnits

MOST_EVENTS = 1
"""Document events of one step of a slider: only the marks move."""

FRONT, REAR = (teeth.ravel() for teeth in np.meshgrid(range(10, 18), range(30, 61), indexing="ij"))


def view_of(chosen=(13, 50), **changes) -> TradeoffView:
    """Invented: a taller gearing is faster and takes longer."""
    ratio = REAR / FRONT
    view = TradeoffView(
        front=FRONT,
        rear=REAR,
        speed=400.0 / ratio,
        measure=4.0 + 8.0 / ratio,
        on_best_line=ratio > 3.0,
        chosen=chosen,
        fitted=(14, 49),
        measure_name="0 to 60 km/h",
        measure_unit="s",
        better="lower",
    )
    return dataclasses.replace(view, **changes)


def chart_of(view: TradeoffView) -> tuple[TradeoffChart, list[tuple[int, int]]]:
    picks: list[tuple[int, int]] = []
    return TradeoffChart(view, lambda front, rear: picks.append((front, rear))), picks


def data_with(chart: TradeoffChart, column: str) -> dict:
    return next(r.data_source.data for r in chart.figure.renderers if column in r.data_source.data)


def tap(chart: TradeoffChart, front: int, rear: int, aside: float = 0.0) -> None:
    """Tap as the browser does: through the widget that carries the figure."""
    widget = BokehModel(chart.figure)
    ratio = rear / front
    event = Tap(chart.figure, x=400.0 / ratio + aside, y=4.0 + 8.0 / ratio)
    values = {"type": "map", "entries": [["model", {"id": chart.figure.id}], ["x", event.x],
              ["y", event.y], ["sx", 0], ["sy", 0]]}  # fmt: skip
    rep = {"type": "event", "name": "tap", "values": values}
    content = {"event": "jsevent", "kind": "MessageSent", "msg_type": "bokeh_event",
               "msg_data": rep}  # fmt: skip
    widget._sync_model(widget, content, [])


def test_a_slider_step_moves_only_the_marks(events_of, models_of):
    chart, _ = chart_of(view_of())
    before = models_of(chart.figure)
    for rear in (49, 48, 52):
        events = events_of(chart.figure, lambda rear=rear: chart.update(view_of((13, rear))))
        assert len(events) == MOST_EVENTS
    assert models_of(chart.figure) == before


def test_other_conditions_send_each_source_once(events_of):
    chart, _ = chart_of(view_of())
    slower = view_of(speed=view_of().speed * 0.99)
    assert len(events_of(chart.figure, lambda: chart.update(slower))) == 3


def test_the_same_view_sends_nothing(events_of):
    chart, _ = chart_of(view_of())
    assert events_of(chart.figure, lambda: chart.update(view_of())) == []


def test_pairs_without_a_result_are_left_out_and_counted():
    measure = view_of().measure
    measure[:12] = np.nan
    view = view_of(measure=measure)
    chart, _ = chart_of(view)
    assert len(data_with(chart, "ratio")["x"]) == 236
    assert chart.figure.legend.items[0].label.value == "236 of 248 pairs"
    assert "248 pairs, 12 of them without a result and not drawn" in describe(view)


def test_the_best_line_runs_from_slow_to_fast():
    chart, _ = chart_of(view_of())
    best = next(r.data_source.data for r in chart.figure.renderers
                if set(r.data_source.data) == {"x", "y"})  # fmt: skip
    assert len(best["x"]) == np.sum(REAR / FRONT > 3.0)
    assert best["x"] == sorted(best["x"])


def test_chosen_and_fitted_have_markers_and_labels(column_of):
    chart, _ = chart_of(view_of())
    marks = data_with(chart, "align")
    assert dict(zip(marks["text"], marks["marker"], strict=True)) == {
        "fitted 14/49": "square",
        "chosen 13/50": "diamond",
    }
    chart.update(view_of((14, 49)))
    assert data_with(chart, "align")["text"] == ["chosen = fitted\n14/49"]


def test_a_tap_picks_the_nearest_pair():
    chart, picks = chart_of(view_of())
    tap(chart, 11, 60, aside=0.2)
    assert picks == [(11, 60)]


def test_a_tap_into_the_empty_picks_nothing(events_of):
    chart, picks = chart_of(view_of())
    tap(chart, 11, 60, aside=60.0)
    assert picks == []


def test_a_tap_sends_nothing_back(events_of):
    chart, picks = chart_of(view_of())
    assert events_of(chart.figure, lambda: tap(chart, 11, 60)) == []
    assert picks == [(11, 60)]


def test_pairs_on_one_spot_are_taken_in_turn():
    """10/30, 11/33, … 17/51 have one ratio, and so one place on the chart."""
    chart, picks = chart_of(view_of())
    for _ in range(9):
        tap(chart, 10, 30)
        chart.update(view_of(picks[-1]))
    assert set(picks) == {(front, 3 * front) for front in range(10, 18)}
    assert picks[8] == picks[0]


def test_the_axis_says_which_way_is_better():
    chart, _ = chart_of(view_of())
    assert chart.figure.title.text == "0 to 60 km/h, s (better ↓)"
    slope = view_of(measure_name="steepest slope", measure_unit="%", better="higher")
    chart.update(slope)
    assert chart.figure.title.text == "Steepest slope, % (better ↑)"
    assert chart.figure.xaxis[0].axis_label == "Top speed, km/h (better →)"


def test_names_are_escaped_in_the_hover_text():
    view = view_of(measure_name="<img>", speed_units=SpeedUnits("mph", "km/h", 1.6))
    chart, _ = chart_of(view)
    tooltips = [tool.tooltips for tool in chart.figure.tools if hasattr(tool, "tooltips")]
    assert any("&lt;img&gt;: @y{0.0} s" in tooltip for tooltip in tooltips)
    assert not any("<img" in tooltip for tooltip in tooltips)


def test_the_words_agree_with_the_numbers():
    assert describe(view_of()) == (
        "248 pairs; 156 are best compromises. "
        "Chosen 13/50: top speed 104 km/h, 0 to 60 km/h 6.1 s; "
        "fitted 14/49: top speed 114 km/h, 0 to 60 km/h 6.3 s. "
        "The chosen pair is on the best-compromise line."
    )


def test_one_best_compromise_is_one():
    alone = np.zeros(FRONT.shape, bool)
    alone[0] = True
    assert "; 1 is the best compromise. " in describe(view_of(on_best_line=alone))


def test_a_chosen_pair_without_result_is_said_and_not_drawn(column_of):
    measure = view_of().measure
    measure[(FRONT == 13) & (REAR == 50)] = np.nan
    view = view_of(measure=measure)
    chart, _ = chart_of(view)
    assert column_of(chart.figure, "text") == ["fitted 14/49"]
    assert "Chosen 13/50: no result" in describe(view)


def test_columns_of_different_length_are_refused():
    with pytest.raises(ValueError, match="one value a pair"):
        view_of(measure=np.zeros(3))


@pytest.fixture(scope="module")
def chart() -> TradeoffChart:
    return chart_of(view_of())[0]


@settings(
    max_examples=25,
    suppress_health_check=[HealthCheck.function_scoped_fixture],
    deadline=None,
)
@given(
    speed=arrays(float, 248, elements=st.floats(0.0, 300.0) | st.just(np.nan)),
    measure=arrays(float, 248, elements=st.floats(0.0, 100.0) | st.sampled_from([np.nan, np.inf])),
)
def test_no_number_but_finite_ones_is_drawn(chart, numbers_of, speed, measure):
    chart.update(view_of(speed=speed, measure=measure))
    assert np.isfinite(numbers_of(chart.figure)).all()
    assert chart.figure.x_range.start < chart.figure.x_range.end


def test_each_chain_has_its_mark_and_its_count():
    view = view_of()
    reach = np.full(len(view.front), Reach.YOURS)
    reach[view.drawn[:3]] = Reach.NONE, Reach.ANOTHER, Reach.ANOTHER
    chart, _ = chart_of(dataclasses.replace(view, reach=reach))
    drawn = data_with(chart, "ratio")
    crossed = np.array(drawn["marker"]) == "x"
    rings = ~crossed & (np.array(drawn["fill"]) == palette.PAPER)
    assert crossed.tolist()[:3] == [True, False, False] and crossed.sum() == 1
    assert rings.tolist()[:3] == [False, True, True] and rings.sum() == 2
    said = describe(dataclasses.replace(view, reach=reach))
    rest = len(view.front) - 3
    assert f"Your chain goes round {rest} of {len(view.front)} pairs" in said
    assert "only another chain round 2, none round 1." in said
    assert "chain" not in describe(view)
