"""Limits chart: a bar for every stretch, how little it sends, and its words."""

import dataclasses

import numpy as np
import pytest

from explorer.charts.gearing.limits_chart import (
    ENGINE,
    FRONT_WHEEL,
    GRIP,
    LimitsChart,
    LimitsView,
    Stretch,
    describe,
)


def view_of(rear: int = 50) -> LimitsView:
    end = 31.0 * 50 / rear
    chosen = (
        Stretch(1, 0.0, 12.0, FRONT_WHEEL),
        Stretch(1, 12.0, end, GRIP),
        Stretch(2, 0.0, 48.0, ENGINE),
    )
    fitted = (Stretch(1, 0.0, 33.0, GRIP), Stretch(2, 0.0, 50.0, ENGINE))
    return LimitsView(chosen, fitted, f"13/{rear}", "14/49", 2)


def test_a_bar_for_every_stretch_side_by_side(column_of):
    chart = LimitsChart(view_of())
    edges = (column_of(chart.figure, name) for name in ("left", "right", "bottom", "top"))
    # The bars of the legend have no height.
    bars = [bar for bar in zip(*edges, strict=True) if bar[2] < bar[3]]
    assert sorted(bar[:2] for bar in bars) == [
        (0.0, 12.0),
        (0.0, 33.0),
        (0.0, 48.0),
        (0.0, 50.0),
        (12.0, 31.0),
    ]
    assert len(set(column_of(chart.figure, "hatch"))) == 3


def test_a_slider_step_sends_few_events_and_makes_no_models(events_of, models_of):
    chart = LimitsChart(view_of(50))
    before = models_of(chart.figure)
    assert 0 < len(events_of(chart.figure, lambda: chart.update(view_of(51)))) <= 3
    assert models_of(chart.figure) == before
    assert events_of(chart.figure, lambda: chart.update(view_of(51))) == []


def test_the_words_say_between_which_speeds_each_limit_binds():
    words = describe(view_of())
    assert "grip binds in 1st from 12 km/h to 31 km/h" in words
    assert "the lifting front wheel binds in 1st to 12 km/h" in words
    plain = dataclasses.replace(view_of(), chosen=(Stretch(1, 0.0, 40.0, ENGINE),))
    assert "engine is what binds in every gear" in describe(plain)
    twice = (Stretch(1, 0.0, 5.0, GRIP), Stretch(1, 5.0, 9.0, ENGINE), Stretch(1, 9.0, 12.0, GRIP))
    said = describe(dataclasses.replace(view_of(), chosen=twice))
    assert "grip binds in 1st to 5 km/h and from 9 km/h to 12 km/h" in said


def test_no_number_but_finite_ones_is_drawn():
    with pytest.raises(ValueError, match="finite number"):
        dataclasses.replace(view_of(), chosen=(Stretch(1, 0.0, np.nan, GRIP),))
    with pytest.raises(ValueError, match="needs stretches"):
        dataclasses.replace(view_of(), chosen=(Stretch(1, 0.0, 5.0, "wind"),))
