"""Target chart: the difference over the speed to reach, and where a gear change decides it."""

import dataclasses

import numpy as np
import pytest

from explorer.charts import palette
from explorer.charts.gearing.target_chart import TargetChart, TargetView, describe

VIEW = TargetView(
    speed=np.array([50.0, 52.5, 55.0, 57.5, 60.0, 62.5]),
    difference=np.array([-0.07, -0.07, 0.38, 0.40, 0.05, np.nan]),
    changes=np.array([0, 0, 1, 1, 0, 0]),
    target=60.0,
    pair="12/50",
    fitted_pair="13/50",
)


def test_where_a_gear_change_decides_the_line_has_another_look(numbers_of):
    """Two lines of the chosen gearing, one where it changes once more; no missing end. Of a line
    of one place as much as can be seen."""
    chart = TargetChart(VIEW)
    rows = next(r.data_source.data for r in chart.figure.renderers if "xs" in r.data_source.data)
    lines = list(zip(rows["xs"], rows["ys"], rows["colour"], strict=True))[2:]
    assert lines == [
        ([50.0, 52.5], [-0.07, -0.07], palette.CHOSEN),
        ([55.0, 57.5], [0.38, 0.40], palette.LIMIT),
        ([58.75, 61.25], [0.05, 0.05], palette.CHOSEN),
    ]
    assert np.isfinite(numbers_of(chart.figure)).all()


def test_in_words():
    assert describe(VIEW) == (
        "Computed, 12/50 less 13/50: for 50 to 52 km/h: −0.1 s; for 55 to 58 km/h: +0.4 s "
        "with one gear change more; for 60 km/h: +0.1 s."
    )
    nowhere = dataclasses.replace(VIEW, difference=np.full(6, np.nan))
    assert "reaches none of these speeds" in describe(nowhere)
    TargetChart(nowhere)


def test_every_speed_needs_a_time():
    with pytest.raises(ValueError, match="every speed"):
        dataclasses.replace(VIEW, changes=np.zeros(2, int))
