"""What the charts are drawn with: an empty figure in the common style, and its rows of data.

Each change of a Bokeh property travels to the browser in messages of its own, so a chart keeps all
its lines in one source, all markers and labels in another and all places to hover in a third, and
replaces each of them once. What has not changed is not sent.
"""

import math
from collections.abc import Iterator, Mapping, Sequence
from contextlib import contextmanager
from typing import Any

import numpy as np
from bokeh.core.properties import field, value
from bokeh.models import ColumnDataSource, HoverTool, Legend, LegendItem, Range1d, Scatter
from bokeh.plotting import figure
from numpy.typing import ArrayLike, NDArray

from explorer.charts import palette

FloatArray = NDArray[np.float64]

HEIGHT = 360
"""Height of every chart [px]; explicit, because stretching figures collapse beside widgets."""

_LEAST_FILL = 0.6
"""An axis is drawn anew when the data fill less of it than this."""

_HEADROOM = 0.06
"""Free share at each end of a new axis, so that the next tooth still fits."""


_anew = 0


@contextmanager
def axes_anew() -> Iterator[None]:
    """Within it nothing is held, for no number moves: a page follows a link, maybe to another bike.

    >>> axis = Range1d()
    >>> held = HeldRange(axis)
    >>> held.show(0.0, 90.0, "km/h"); axis.end
    100.0
    >>> with axes_anew():
    ...     held.show(0.0, 75.0, "km/h"); axis.end
    80.0
    """
    global _anew
    _anew += 1
    try:
        yield
    finally:
        _anew -= 1


class HeldRange:
    """Keeps one axis steady: it moves only when the data leave it or shrink inside it.

    >>> axis = Range1d()
    >>> held = HeldRange(axis)
    >>> held.show(0.0, 90.0, "km/h"); axis.end
    100.0
    >>> held.show(0.0, 97.0, "km/h"); axis.end
    100.0
    >>> held.show(0.0, 101.0, "km/h"); axis.end
    110.0
    """

    def __init__(self, axis_range: Range1d) -> None:
        self._range = axis_range
        self._quantity = ""
        self.start, self.end = 0.0, 0.0

    def show(self, low: float, high: float, quantity: str) -> None:
        """Make the axis hold what lies between two values.

        Args:
            low, high: Smallest and largest value to be seen; zero as an end gets no headroom [axis
                unit].
            quantity: What the axis shows and in which unit; another quantity always gets a new
                axis.
        """
        inside = self.start <= low and high <= self.end
        filled = high - low >= _LEAST_FILL * (self.end - self.start)
        if quantity == self._quantity and inside and filled and not _anew:
            return
        self._quantity = quantity
        self.start, self.end = _round_range(low, high)
        fix_ends(self._range, self.start, self.end)


def _round_range(low: float, high: float) -> tuple[float, float]:
    """Ends on round numbers, with at most one step and the headroom added at each."""
    if high - low < 1e-6 * max(abs(low), abs(high), 1e-6):
        margin = max(abs(high) * 0.1, 0.5)
        low, high = low - margin, high + margin
    span = high - low
    step = _round_step(span / 8)
    start = low if low == 0 else math.floor((low - _HEADROOM * span) / step) * step
    if low > 0:
        start = max(start, 0.0)
    end = high if high == 0 else math.ceil((high + _HEADROOM * span) / step) * step
    return float(f"{start:.9g}"), float(f"{end:.9g}")


def _round_step(largest: float) -> float:
    """Largest of 1, 2, 2.5 and 5 times a power of ten that is not above a number."""
    power = 10.0 ** math.floor(math.log10(largest))
    return max(step * power for step in (1.0, 2.0, 2.5, 5.0) if step * power <= largest * 1.0001)


HOVER_STYLE = "font-size:14px;line-height:1.45;max-width:300px;white-space:pre-line"

_TOOLTIP = f'<div style="{HOVER_STYLE}">@text</div>'
"""One column holds all lines of the hover text; Bokeh escapes what it puts in place of @text."""

_HOVER_REACH = 24
"""Width of the square around a place in which it answers the pointer [px]."""

Columns = Mapping[str, list[Any]]


def new_figure() -> figure:
    """Empty figure in the common style, with its zooming tools off until they are asked for.

    No tool is active, so that a finger on the chart scrolls the page.
    """
    fig = figure(
        height=HEIGHT,
        sizing_mode="stretch_width",
        x_range=Range1d(),
        y_range=Range1d(),
        tools="pan,box_zoom,reset,save",
        active_drag=None,
        active_scroll=None,
        toolbar_location="above",
        background_fill_color=palette.PAPER,
        border_fill_color=palette.PAPER,
        outline_line_color=None,
        min_border_left=8,
        min_border_right=14,
        title="",
    )
    fig.toolbar.logo = None
    fig.title.update(
        text_font=palette.FONT,
        text_font_size=palette.TITLE_SIZE,
        text_font_style="normal",
        text_color=palette.INK,
    )
    for axis in (*fig.xaxis, *fig.yaxis):
        axis.update(
            axis_label_text_font=palette.FONT,
            axis_label_text_font_size=palette.AXIS_SIZE,
            axis_label_text_font_style="normal",
            axis_label_text_color=palette.INK,
            axis_label_standoff=6,
            major_label_text_font=palette.FONT,
            major_label_text_font_size=palette.TICK_SIZE,
            major_label_text_color=palette.INK_QUIET,
            axis_line_color=palette.INK_QUIET,
            major_tick_line_color=palette.INK_QUIET,
            minor_tick_line_color=None,
        )
        axis.ticker.update(desired_num_ticks=5, num_minor_ticks=0)
        axis.formatter.use_scientific = False
    fig.grid.grid_line_color = palette.GRID
    return fig


class Chart:
    """A figure, built once; `update(view)` of each chart shows another view in it."""

    def __init__(self) -> None:
        self.figure = new_figure()
        self._x, self._y = HeldRange(self.figure.x_range), HeldRange(self.figure.y_range)

    def layers(self, *rows: Any) -> Iterator[ColumnDataSource]:
        """The sources of some kinds of rows, the lowest first."""
        return (each.draw_on(self.figure) for each in rows)


def add_legend(fig: figure, items: Sequence[LegendItem]) -> None:
    """Put a one-row legend above the plot, where no line can run through it."""
    legend = Legend(
        items=list(items),
        orientation="horizontal",
        location="left",
        border_line_color=None,
        background_fill_color=None,
        label_text_font=palette.FONT,
        label_text_font_size=palette.LABEL_SIZE,
        label_text_color=palette.INK,
        padding=2,
        margin=2,
        spacing=14,
        label_standoff=6,
        click_policy="none",
    )
    fig.add_layout(legend, "above")


def add_setup_legend(fig: figure) -> LegendItem:
    """Legend of the chosen and the fitted gearing; the second entry, returned, awaits its label.

    The teeth of the chosen gearing stand in the plot: a legend whose label changes makes Bokeh lay
    out the whole figure again, too slow under a moving slider.
    """
    items = []
    for label, colour, dash, width in (
        ("chosen", palette.CHOSEN, palette.SOLID, 3.5),
        ("fitted", palette.FITTED, palette.FITTED_DASH, 2.0),
    ):
        # A line without length: seen in the legend only.
        key = fig.line([0, 0], [0, 0], line_color=colour, line_dash=dash, line_width=width)
        items.append(LegendItem(label=value(label), renderers=[key]))
    add_legend(fig, items)
    return items[1]


def set_if_changed(model: Any, **values: Any) -> None:
    """Set properties of a Bokeh model, sparing the messages of those that keep their value."""
    changed = {name: new for name, new in values.items() if getattr(model, name) != new}
    if changed:
        model.update(**changed)


def fix_ends(axis_range: Range1d, low: float, high: float) -> None:
    """Set the ends of an axis, and those that its reset button brings back."""
    set_if_changed(axis_range, start=low, end=high, reset_start=low, reset_end=high)


def replace(source: ColumnDataSource, columns: Columns) -> None:
    """Replace all columns of a source at once, or nothing if they are the same."""
    set_if_changed(source, data=dict(columns))


class Curves:
    """Lines of a chart, one row each, for one multi-line glyph."""

    _NAMES = ("xs", "ys", "colour", "dash", "width")

    def __init__(self) -> None:
        self.columns: dict[str, list[Any]] = {name: [] for name in self._NAMES}

    def add(self, x: ArrayLike, y: ArrayLike, colour: str, dash: str, width: float) -> None:
        """Add one line; later lines lie on top."""
        row = (decimals(x), decimals(y), colour, dash, width)
        for name, cell in zip(self._NAMES, row, strict=True):
            self.columns[name].append(cell)

    @classmethod
    def draw_on(cls, fig: figure) -> ColumnDataSource:
        """Add the glyph to a figure; the source returned takes the columns."""
        source = ColumnDataSource(cls().columns)
        fig.multi_line(
            "xs",
            "ys",
            source=source,
            line_color="colour",
            line_dash=field("dash"),
            line_width="width",
            line_join="round",
        )
        return source


class Points:
    """Markers and labels of a chart, one row each."""

    PLAIN: Mapping[str, Any] = {
        "marker": "circle",
        "size": 0,
        "fill": palette.PAPER,
        "line": palette.INK,
        "text": "",
        "colour": palette.INK,
        "ground": palette.CLEAR,
        "frame": palette.CLEAR,
        "align": "left",
        "dx": 0,
        "dy": 0,
    }

    def __init__(self) -> None:
        self.columns: dict[str, list[Any]] = {name: [] for name in ("x", "y", *self.PLAIN)}

    def add(self, x: float, y: float, **properties: Any) -> None:
        """Add one point.

        Args:
            x, y: Place [axis units].
            **properties: What differs from an invisible point: marker, size, fill, line; text with
                its colour, ground, frame, align and the offset of its middle, dx and dy downward
                [px].
        """
        row = {**self.PLAIN, **properties, "x": round(float(x), 3), "y": round(float(y), 3)}
        for name, column in self.columns.items():
            column.append(row[name])

    def add_gear(self, x: float, y: float, gear: int, dy: int) -> None:
        """Add the number of a gear in a small frame, at the end of the chosen gearing's line."""
        self.add(
            x,
            y,
            text=str(gear),
            colour=palette.CHOSEN,
            ground=palette.PAPER,
            frame=palette.CHOSEN,
            align="center",
            dy=dy,
        )

    @classmethod
    def draw_on(cls, fig: figure) -> ColumnDataSource:
        """Add the glyphs to a figure; the source returned takes the columns."""
        source = ColumnDataSource(cls().columns)
        fig.scatter(
            "x",
            "y",
            source=source,
            marker=field("marker"),
            size="size",
            fill_color="fill",
            line_color="line",
            line_width=2,
        )
        fig.text(
            "x",
            "y",
            "text",
            source=source,
            x_offset="dx",
            y_offset="dy",
            text_align=field("align"),
            text_baseline="middle",
            text_color="colour",
            text_font=value(palette.FONT),
            text_font_size=value(palette.LABEL_SIZE),
            background_fill_color="ground",
            border_line_color="frame",
            border_radius=4,
            padding=(3, 1),
        )
        return source


class HoverPlaces:
    """Places of a chart that say more when the pointer is near, one row each."""

    def __init__(self) -> None:
        self.columns: dict[str, list[Any]] = {"x": [], "y": [], "text": []}

    def add(self, x: float, y: float, *lines: str) -> None:
        """Add one place with the lines of its text; empty lines are left out."""
        self.columns["x"].append(round(float(x), 3))
        self.columns["y"].append(round(float(y), 3))
        self.columns["text"].append("\n".join(filter(None, lines)))

    @classmethod
    def draw_on(cls, fig: figure) -> ColumnDataSource:
        """Add hovering to a figure; the source returned takes the columns."""
        source = ColumnDataSource(cls().columns)
        reach = fig.add_glyph(
            source, Scatter(x="x", y="y", size=_HOVER_REACH, fill_alpha=0, line_alpha=0)
        )
        fig.add_tools(HoverTool(renderers=[reach], tooltips=_TOOLTIP, limit=1, visible=False))
        return source


def decimals(values: ArrayLike) -> list[float]:
    """Plain numbers with three decimals, a third of the bytes on their way to the browser."""
    return np.round(np.asarray(values, float), 3).tolist()


def require_finite(**arrays: ArrayLike) -> None:
    """Refuse numbers that cannot be drawn.

    Raises:
        ValueError: In one sentence that names the field.
    """
    for name, values in arrays.items():
        if not np.all(np.isfinite(np.asarray(values, float))):
            raise ValueError(
                f"{name.replace('_', ' ')} holds a value that is not a finite number, which a "
                "chart cannot draw; leave it out or give a number."
            )
