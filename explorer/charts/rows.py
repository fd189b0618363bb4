"""Rows of data for each kind of glyph: lines, marks with words, bars, places to hover.

Each change of a Bokeh property travels to the browser in messages of its own, so a chart keeps all
its lines in one source, all markers and labels in another and all places to hover in a third, and
replaces each of them once.
"""

from collections.abc import Mapping
from typing import Any

import numpy as np
from bokeh.core.properties import field, value
from bokeh.models import ColumnDataSource, HoverTool, Scatter
from bokeh.plotting import figure
from numpy.typing import ArrayLike

from explorer.charts import palette

Columns = Mapping[str, list[Any]]

_HOVER_STYLE = "font-size:14px;line-height:1.45;max-width:300px;white-space:pre-line"

_HOVER_REACH = 24
"""Width of the square around a place in which it answers the pointer [px]."""


class Rows:
    """Rows for one kind of glyph, as columns."""

    NAMES: tuple[str, ...]

    def __init__(self) -> None:
        self.columns: dict[str, list[Any]] = {name: [] for name in self.NAMES}

    def put(self, *row: Any) -> None:
        """Add one row, a cell for each column; later rows lie on top."""
        for column, cell in zip(self.columns.values(), row, strict=True):
            column.append(cell)

    @classmethod
    def draw_on(cls, fig: figure) -> ColumnDataSource:
        """Add the glyphs to a figure; the source returned takes the columns."""
        source = ColumnDataSource(cls().columns)
        cls.add_glyphs(fig, source)
        return source

    @staticmethod
    def add_glyphs(fig: figure, source: ColumnDataSource) -> None:
        """Add the glyphs for the rows of a source to a figure."""


class Curves(Rows):
    """Lines of a chart, one row each, for one multi-line glyph."""

    NAMES = ("xs", "ys", "colour", "dash", "width")

    def add(self, x: ArrayLike, y: ArrayLike, colour: str, dash: str, width: float) -> None:
        """Add one line."""
        self.put(decimals(x), decimals(y), colour, dash, width)

    def add_circle(self, x: float, y: float, radius: float, points: int, *look: Any) -> None:
        """Add a circle of so many points; `look` is colour, dash and width."""
        angle = np.linspace(0.0, 2 * np.pi, points)
        self.add(x + radius * np.cos(angle), y + radius * np.sin(angle), *look)

    @staticmethod
    def add_glyphs(fig: figure, source: ColumnDataSource) -> None:
        fig.multi_line(
            "xs", "ys", source=source, line_color="colour", line_dash=field("dash"),
            line_width="width", line_join="round",
        )  # fmt: skip


class Bars(Rows):
    """Lying bars, one row each, told apart by a pattern too."""

    NAMES = ("left", "right", "bottom", "top", "fill", "hatch")

    def add(
        self, left: float, right: float, bottom: float, top: float, fill: str, hatch: str
    ) -> None:
        """Add one bar; `hatch` is the name of Bokeh's pattern over it, " " for none."""
        edges = (round(float(edge), 4) for edge in (left, right, bottom, top))
        self.put(*edges, fill, hatch)

    @staticmethod
    def add_glyphs(fig: figure, source: ColumnDataSource) -> None:
        fig.quad(
            left="left", right="right", bottom="bottom", top="top", source=source,
            fill_color="fill", line_color=palette.INK_QUIET, line_width=1,
            hatch_pattern=field("hatch"), hatch_color=palette.INK_QUIET, hatch_alpha=0.55,
            hatch_scale=9, hatch_weight=1,
        )  # fmt: skip


class Points(Rows):
    """Markers and labels of a chart, one row each."""

    PLAIN: Mapping[str, Any] = {
        "marker": "circle", "size": 0, "fill": palette.PAPER, "line": palette.INK,
        "text": "", "colour": palette.INK, "ground": palette.CLEAR, "frame": palette.CLEAR,
        "align": "left", "dx": 0, "dy": 0,
    }  # fmt: skip
    NAMES = ("x", "y", *PLAIN)

    def add(self, x: float, y: float, **properties: Any) -> None:
        """Add one point.

        Args:
            **properties: What differs from an invisible point: marker, size, fill, line; text with
                its colour, ground, frame, align and the offset of its middle, dx and dy downward
                [px].
        """
        row = {**self.PLAIN, **properties, "x": round(float(x), 3), "y": round(float(y), 3)}
        self.put(*(row[name] for name in self.NAMES))

    def add_ending(self, x: float, y: float, text: str, colour: str, **properties: Any) -> None:
        """Add words that end at a place, such as the right edge of the plot."""
        self.add(x, y, text=text, colour=colour, align="right", dx=-4, **properties)

    def add_gear(self, x: float, y: float, gear: int, dy: int) -> None:
        """Add the number of a gear in a small frame, at the end of the chosen gearing's line."""
        look = {"colour": palette.CHOSEN, "ground": palette.PAPER, "frame": palette.CHOSEN}
        self.add(x, y, text=str(gear), align="center", dy=dy, **look)

    @staticmethod
    def add_glyphs(fig: figure, source: ColumnDataSource) -> None:
        fig.scatter(
            "x", "y", source=source, marker=field("marker"), size="size", fill_color="fill",
            line_color="line", line_width=2,
        )  # fmt: skip
        fig.text(
            "x", "y", "text", source=source, x_offset="dx", y_offset="dy",
            text_align=field("align"), text_baseline="middle", text_color="colour",
            text_font=value(palette.FONT), text_font_size=value(palette.LABEL_SIZE),
            background_fill_color="ground", border_line_color="frame", border_radius=4,
            padding=(3, 1),
        )  # fmt: skip


class HoverPlaces(Rows):
    """Places of a chart that say more when the pointer is near, one row each."""

    NAMES = ("x", "y", "text")

    def add(self, x: float, y: float, *lines: str) -> None:
        """Add one place with the lines of its text; empty lines are left out."""
        self.put(round(float(x), 3), round(float(y), 3), "\n".join(filter(None, lines)))

    @staticmethod
    def add_glyphs(fig: figure, source: ColumnDataSource) -> None:
        reach = Scatter(x="x", y="y", size=_HOVER_REACH, fill_alpha=0, line_alpha=0)
        # Bokeh escapes what it puts in place of @text.
        add_hover(fig, fig.add_glyph(source, reach), hover_html("@text"))


def hover_html(inner: str) -> str:
    """A hover text in the common style, from HTML with Bokeh's @columns."""
    return f'<div style="{_HOVER_STYLE}">{inner}</div>'


def add_hover(fig: figure, renderer: Any, tooltips: str, limit: int = 1) -> HoverTool:
    """Let the marks of a renderer say more, at most so many at once."""
    tool = HoverTool(renderers=[renderer], tooltips=tooltips, limit=limit, visible=False)
    fig.add_tools(tool)
    return tool


def inward(share: float, near: float, between: str = "center") -> str:
    """How words at a share of the width are aligned, so that they stay inside the plot."""
    return "left" if share < near else "right" if share > 1 - near else between


def decimals(values: ArrayLike) -> list[float]:
    """Plain numbers with three decimals, a third of the bytes on their way to the browser."""
    return np.round(np.asarray(values, float), 3).tolist()
