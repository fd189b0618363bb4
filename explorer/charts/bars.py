"""Lying bars of a chart, one row each, drawn by one glyph and told apart by a pattern too."""

from typing import Any

from bokeh.core.properties import field, value
from bokeh.models import ColumnDataSource, LegendItem
from bokeh.plotting import figure

from explorer.charts import palette


class Bars:
    """Bars from left to right at a height, with a colour and a pattern."""

    _NAMES = ("left", "right", "bottom", "top", "fill", "hatch")

    def __init__(self) -> None:
        self.columns: dict[str, list[Any]] = {name: [] for name in self._NAMES}

    def add(
        self, left: float, right: float, bottom: float, top: float, fill: str, hatch: str
    ) -> None:
        """Add one bar.

        Args:
            hatch: Name of Bokeh's pattern over it; " " for none.
        """
        edges = (round(float(edge), 4) for edge in (left, right, bottom, top))
        for name, cell in zip(self._NAMES, (*edges, fill, hatch), strict=True):
            self.columns[name].append(cell)

    @classmethod
    def draw_on(cls, fig: figure) -> ColumnDataSource:
        """Add the glyph to a figure; the source returned takes the columns."""
        source = ColumnDataSource(cls().columns)
        fig.quad(
            left="left",
            right="right",
            bottom="bottom",
            top="top",
            source=source,
            fill_color="fill",
            line_color=palette.INK_QUIET,
            line_width=1,
            hatch_pattern=field("hatch"),
            hatch_color=palette.INK_QUIET,
            hatch_alpha=0.55,
            hatch_scale=9,
            hatch_weight=1,
        )
        return source


def legend_item(fig: figure, label: str, fill: str, hatch: str) -> LegendItem:
    """Entry of the legend for bars of one look; its own bar has no length."""
    key = fig.quad(
        left=[0],
        right=[0],
        bottom=[0],
        top=[0],
        fill_color=fill,
        line_color=palette.INK_QUIET,
        hatch_pattern=hatch,
        hatch_color=palette.INK_QUIET,
        hatch_alpha=0.55,
        hatch_scale=7,
    )
    return LegendItem(label=value(label), renderers=[key])


def hide_rows_axis(fig: figure) -> None:
    """Leave the vertical axis away: the rows carry their names inside the plot."""
    fig.yaxis.visible = False
    fig.ygrid.visible = False
