"""Map of all pairs: what is drawn, what a tap picks, how little one step sends."""

import dataclasses

import numpy as np
import pytest
from bokeh.events import Tap

from explorer.calc.chain.chain_fit import Verdict
from explorer.charts.fit.fit_map import SIGNS, FitMapChart, FitMapView, describe

FRONTS, REARS = np.arange(12, 16), np.arange(44, 54)
MOST_EVENTS = 1
"""Document events of one step of a slider: only the frame of the chosen pair moves."""


def view_of(**changes) -> FitMapView:
    """Invented: every verdict occurs."""
    margin = 15.0 - 2.0 * np.abs(FRONTS[:, np.newaxis] + REARS - 62)
    verdict = np.where(margin > 1, Verdict.FITS, Verdict.TOO_SHORT)
    verdict[0, :4] = (Verdict.CLOSE, Verdict.TOO_LONG, Verdict.NO_CHAIN, -1)
    view = FitMapView(
        fronts=FRONTS,
        rears=REARS,
        verdict=verdict,
        margin=margin,
        notes=tuple(f"{f}/{r}: note" for f in FRONTS for r in REARS),
        chosen=(13, 50),
        fitted=(13, 49),
    )
    return dataclasses.replace(view, **changes)


def chart_of(view):
    picks = []
    return FitMapChart(view, lambda front, rear: picks.append((front, rear))), picks


def test_shape_colour_and_word_differ_for_every_verdict():
    assert len({sign.marker for sign in SIGNS.values()}) == len(SIGNS)
    assert len({sign.colour for sign in SIGNS.values()}) == len(SIGNS)
    assert len({sign.word for sign in SIGNS.values()}) == len(SIGNS)
    assert {int(code) for code in SIGNS} == {*map(int, Verdict), -1}


def test_every_pair_is_drawn_with_its_sign(column_of):
    view = view_of()
    chart, _ = chart_of(view)
    assert column_of(chart.figure, "marker") == [
        SIGNS[int(code)].marker for code in view.verdict.ravel()
    ]
    assert column_of(chart.figure, "note") == list(view.notes)


def test_margins_are_written_signed_and_unknown_ones_left_out(column_of):
    margin = np.full((4, 10), -3.4)
    margin[0, 0], margin[0, 1] = np.nan, 0.2
    chart, _ = chart_of(view_of(margin=margin))
    assert column_of(chart.figure, "text")[:3] == ["", "0", "−3"]


def test_only_the_verdicts_that_occur_stand_in_the_legend():
    chart, _ = chart_of(view_of(verdict=np.zeros((4, 10), int)))
    shown = [item.label.value for item in chart.figure.above[0].items if item.visible]
    assert shown == ["fits"]


def tap(chart, x, y):
    chart.figure._trigger_event(Tap(chart.figure, x=x, y=y))


@pytest.mark.parametrize(("x", "y", "pair"), [(14.0, 48.0, (14, 48)), (13.6, 48.4, (14, 48))])
def test_a_tap_picks_the_pair_of_the_cell(x, y, pair):
    chart, picks = chart_of(view_of())
    tap(chart, x, y)
    assert picks == [pair]


@pytest.mark.parametrize(("x", "y"), [(14.0, 60.0), (20.0, 48.0), (None, None)])
def test_a_tap_beside_the_map_picks_nothing(x, y):
    chart, picks = chart_of(view_of())
    tap(chart, x, y)
    assert picks == []


def test_a_step_of_a_slider_sends_only_the_frame(events_of):
    chart, _ = chart_of(view_of())
    events = events_of(chart.figure, lambda: chart.update(view_of(chosen=(13, 51))))
    assert len(events) <= MOST_EVENTS


def test_another_bike_with_other_sprockets_is_shown_in_the_same_figure():
    chart, picks = chart_of(view_of())
    fronts, rears = np.arange(10, 18), np.arange(38, 69)
    shape = (fronts.size, rears.size)
    chart.update(
        view_of(
            fronts=fronts,
            rears=rears,
            verdict=np.zeros(shape, int),
            margin=np.ones(shape),
            notes=("note",) * (shape[0] * shape[1]),
        )
    )
    assert chart.figure.y_range.start < 38 < 68 < chart.figure.y_range.end
    tap(chart, 10, 68)
    assert picks == [(10, 68)]


@pytest.mark.parametrize("changes", [{"verdict": np.zeros((3, 10), int)}, {"notes": ("one",)}])
def test_columns_that_do_not_belong_together_are_refused(changes):
    with pytest.raises(ValueError, match="for every pair"):
        view_of(**changes)


def test_the_words_say_which_rear_sprockets_fit_each_front():
    verdict = np.full((4, 10), int(Verdict.TOO_SHORT))
    verdict[1, [0, 1, 2, 5]] = Verdict.FITS
    text = describe(view_of(verdict=verdict))
    assert "4 fits, 36 chain too short" in text
    assert "Front 13: fits with rear 44 to 46, 49." in text
    assert "The other rear sprockets" not in text
    out = np.array([52, 53, 55])
    said = describe(view_of(left_out=out, left_out_verdict=np.full((5, 3), Verdict.TOO_SHORT)))
    assert "Not shown: rear 52 to 53, 55, which fit with none of the front ones." in said


def test_rows_without_numbers_are_lower(column_of):
    chart, _ = chart_of(view_of())
    with_numbers = chart.figure.height
    chart.update(view_of(margin=np.full((4, 10), np.nan)))
    assert set(column_of(chart.figure, "text")) == {""}
    assert chart.figure.height < with_numbers
