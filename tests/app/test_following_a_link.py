"""A page made ahead and then led along a link is the page that the link makes directly.

The oracle is the page made from the link: every widget of the one must say what its counterpart
in the other says, and every chart must hold the same numbers and words.
"""

import json
import re

import pytest
from bokeh.models import Axis, ColumnDataSource

from explorer.app.chart_widget import ChartWidget
from explorer.tasks.bench.page import GearingPage
from explorer.tasks.check.page import CheckPage
from explorer.tasks.fit.page import FitPage
from explorer.tasks.ground.page import GroundPage
from explorer.tasks.lesson.page import LessonPage
from explorer.tasks.wants.page import WantsPage

PAGES = (GearingPage, GroundPage, WantsPage, FitPage, LessonPage, CheckPage)

LINKS = (
    "?bike=sleet-450&front=14&rear=48&units=imperial&slope=12&surface=wet-grass",
    "?bike=nobody&front=13&rear=52&tyre=4.60-18&rollout=2.05+m&measure=roll_on&tooth=x",
)

_MODEL_ID = re.compile(r"IPY_MODEL_[0-9a-f]{32}")


def drawn(chart: ChartWidget) -> list[str]:
    """What the figures of a chart hold; a range may be held from before (drawing.py)."""
    models = chart._model.document.models
    numbers = [each.data for each in models if isinstance(each, ColumnDataSource)]
    numbers += [each.axis_label for each in models if isinstance(each, Axis)]
    return sorted(repr(each) for each in numbers)


def said(widget) -> list:
    """What the browser is told of a widget and of all within it, in the order of the page."""
    if isinstance(widget, ChartWidget):
        return drawn(widget)
    told = []
    if widget.layout.display == "none":
        return ["not shown"]
    for part in (widget, getattr(widget, "layout", None), getattr(widget, "style", None)):
        if part is not None:
            text = json.dumps(part.get_state(), default=repr, sort_keys=True)
            told.append(_MODEL_ID.sub("a widget", text))
    for child in getattr(widget, "children", ()):
        told += said(child)
    return told


@pytest.mark.parametrize(
    "kind", PAGES, ids=lambda kind: getattr(kind, "title", None) or kind.__name__
)
def test_a_page_that_follows_a_link_is_the_page_of_that_link(kind):
    led = kind()
    for link in LINKS:
        led.follow(link)
        for one, other in zip(said(led.widget), said(kind(link).widget), strict=True):
            assert one == other
