"""The three figures of the bench, without data: the browser fills their named sources.

What is in them comes from a table of every pair (explorer/study/table.py), picked and scaled by
serve/template/static/bench_charts.js. So they stand in a page once and are never sent again.
"""

from functools import cache
from typing import Any

from bokeh.embed import json_item
from bokeh.models import ColumnDataSource
from bokeh.plotting import figure

from explorer.charts import palette
from explorer.charts.drawing import add_shade, new_figure
from explorer.charts.rows import Curves, Points

COLOURS = (palette.FITTED, palette.CHOSEN, palette.LIMIT, palette.THIRD)
DASHES = (palette.FITTED_DASH, palette.SOLID, palette.WANTED_DASH, palette.GRIP_DASH)
MARKERS = ("square", "circle", "triangle", "diamond")
"""Of the fitted set-up and up to three others: a dash and a mark say what the colour says."""


def _figure() -> figure:
    fig = new_figure()
    fig.update(sizing_mode="stretch_both", height=None, toolbar_location=None)
    fig.update(min_border_left=4, min_border_right=10, min_border_top=4, min_border_bottom=4)
    fig.title = None
    for name in ("ground", "lines"):
        Curves.draw_on(fig).name = name
    return fig


def _shift() -> figure:
    fig = _figure()
    add_shade(fig, palette.POWER_BAND, 0.3).name = "band"
    return fig


def _tradeoff() -> figure:
    fig = _figure()
    fig.yaxis.axis_label_text_font_size = "12px"  # the name of a measure is long
    pairs = ColumnDataSource(
        {name: [] for name in ("x", "y", "size", "marker", "fill", "line", "alpha")}, name="pairs"
    )
    fig.scatter(
        "x", "y", source=pairs, marker={"field": "marker"}, size="size", fill_color="fill",
        line_color="line", fill_alpha="alpha", line_alpha="alpha",
    )  # fmt: skip
    return fig


@cache
def figures_for_browser() -> dict[str, Any]:
    """Name to BokehJS's description of each figure, and how set-ups look on all of them."""
    items = {}
    for name, make in (("shift", _shift), ("pull", _figure), ("tradeoff", _tradeoff)):
        fig = make()
        Points.draw_on(fig).name = "marks"
        items[name] = json_item(fig)
    looks = {
        "colours": COLOURS,
        "dashes": DASHES,
        "markers": MARKERS,
        "plain": dict(Points.PLAIN),
        **{name: getattr(palette, name.upper()) for name in _NAMED},
    }
    return {"figures": items, "looks": looks}


_NAMED = ("ink", "ink_quiet", "limit", "resistance", "best", "pair", "paper", "veil", "clear")
