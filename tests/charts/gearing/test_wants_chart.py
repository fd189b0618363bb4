"""Chart of the short list: names of pairs that stand beside each other do not meet."""

import numpy as np
import pytest

from explorer.calc.chain.chain_choice import Reach
from explorer.charts.gearing.wants_chart import WantsChart, WantsView

REAR = np.arange(40, 61)


@pytest.mark.parametrize(
    ("listed", "aligned"),
    [
        (((13, 51), (13, 58)), {"fitted 13/50": "right", "1. 13/51": "left", "2. 13/58": "center"}),
        (((13, 49),), {"fitted 13/50": "left", "1. 13/49": "right"}),
        ((), {"fitted 13/50": "right"}),
    ],
    ids=("right of it", "left of it", "alone"),
)
def test_a_neighbours_name_leads_away_from_the_fitted_ones(listed, aligned):
    pairs = REAR.size
    view = WantsView(
        front=np.full(pairs, 13),
        rear=REAR,
        ratio=REAR / 13,
        score=np.full(pairs, 0.5),
        reach=np.full(pairs, Reach.YOURS),
        notes=("",) * pairs,
        fitted=(13, 50),
        listed=listed,
    )
    chart = WantsChart(view, lambda front, rear: None)
    marks = next(
        each.data_source.data for each in chart.figure.renderers if "align" in each.data_source.data
    )
    assert dict(zip(marks["text"], marks["align"], strict=True)) == aligned
