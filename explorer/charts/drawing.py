"""What every chart is: a figure in the common style, its axes, its legend and its layers of rows.

What has not changed is not sent to the browser.
"""

import math
from collections.abc import Callable, Iterator, Sequence
from contextlib import contextmanager
from typing import Any

import numpy as np
from bokeh.core.properties import value
from bokeh.events import Tap
from bokeh.models import BoxAnnotation, ColumnDataSource, DataRange1d, Legend, LegendItem, Range1d
from bokeh.plotting import figure
from numpy.typing import ArrayLike, NDArray

from explorer.charts import palette
from explorer.charts.rows import Columns, Rows

FloatArray = NDArray[np.float64]

HEIGHT = 360
"""Height of every chart [px]; explicit, because stretching figures collapse beside widgets."""

_LEAST_FILL = 0.6
"""An axis is drawn anew when the data fill less of it than this."""

_HEADROOM = 0.06
"""Free share at each end of a new axis, so that the next tooth still fits."""

Pair = tuple[int, int]
"""Front and rear teeth."""

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


def line_key(fig: figure, label: str, colour: str, dash: str, width: float) -> LegendItem:
    """Entry of the legend for lines of one look; its own line has no length."""
    key = fig.line([0, 0], [0, 0], line_color=colour, line_dash=dash, line_width=width)
    return LegendItem(label=value(label), renderers=[key])


def point_key(fig: figure, label: str, x: float, y: float, **look: Any) -> LegendItem:
    """Entry of the legend for markers of one look; its own is put where no range goes."""
    return LegendItem(label=value(label), renderers=[fig.scatter([x], [y], **look)])


def add_setup_legend(fig: figure) -> None:
    """Legend of the chosen and the fitted gearing; `Chart.caption` gives the second its teeth.

    The teeth of the chosen gearing stand in the plot: a legend whose label changes makes Bokeh lay
    out the whole figure again, too slow under a moving slider.
    """
    chosen = line_key(fig, "chosen", palette.CHOSEN, palette.SOLID, 3.5)
    add_legend(fig, [chosen, line_key(fig, "fitted", palette.FITTED, palette.FITTED_DASH, 2.0)])


def add_shade(fig: figure, colour: str, alpha: float) -> BoxAnnotation:
    """A shaded part of the plot, under all lines, as large as the plot until its ends are set."""
    shade = BoxAnnotation(fill_color=colour, fill_alpha=alpha, line_color=None, level="underlay")
    fig.add_layout(shade)
    return shade


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


def bar_key(fig: figure, label: str, fill: str, hatch: str) -> LegendItem:
    """Entry of the legend for bars of one look; its own bar has no length."""
    key = fig.quad(
        left=[0], right=[0], bottom=[0], top=[0], fill_color=fill, line_color=palette.INK_QUIET,
        hatch_pattern=hatch, hatch_color=palette.INK_QUIET, hatch_alpha=0.55, hatch_scale=7,
    )  # fmt: skip
    return LegendItem(label=value(label), renderers=[key])


def hide_rows_axis(fig: figure) -> None:
    """Leave the vertical axis away: the rows carry their names inside the plot."""
    fig.yaxis.visible = False
    fig.ygrid.visible = False


class Chart:
    """A figure, built once, in which `update` shows one view after another.

    Attributes:
        layers: Sources of the rows that `show` replaces, the lowest first.
    """

    def __init__(self, view: Any, on_pick: Callable[[int, int], None] | None = None) -> None:
        self.figure = new_figure()
        self._x, self._y = HeldRange(self.figure.x_range), HeldRange(self.figure.y_range)
        self._on_pick = on_pick
        self.layers: list[ColumnDataSource] = []
        self.build(view)
        if on_pick is not None:
            # A tap with its place, not a selection of points: nothing needs clearing afterwards,
            # so nothing can echo, and a finger may miss the point by a little.
            self.figure.on_event(Tap, self._tapped)
        self.update(view)

    def build(self, view: Any) -> None:
        """Add what stays whatever is shown."""

    def update(self, view: Any) -> None:
        """Show another view in the same figure."""
        self._view = view
        self.paint(view)

    def paint(self, view: Any) -> None:
        """Replace what a view changes."""

    def pair_at(self, x: float, y: float) -> Pair | None:
        """The pair that a tap means; None for a tap into the empty."""

    def draw_with(self, *rows: type[Rows]) -> None:
        """Add layers of some kinds of rows."""
        self.layers += [each.draw_on(self.figure) for each in rows]

    def show(self, *rows: Rows) -> None:
        """Replace the rows of every layer; what is as before is not sent again."""
        for source, each in zip(self.layers, rows, strict=True):
            replace(source, each.columns)

    def caption(self, title: str, across: str = "", fitted: str = "") -> None:
        """Replace the words about the plot: title, horizontal axis, pair in `add_setup_legend`."""
        set_if_changed(self.figure.title, text=title)
        if across:
            set_if_changed(self.figure.xaxis[0], axis_label=across)
        if fitted:
            set_if_changed(self.figure.above[0].items[1], label=value(f"fitted {fitted}"))

    def _tapped(self, event: Tap) -> None:
        """Hand the pair that was tapped to the callback."""
        known = event.x is not None and event.y is not None
        if known and (pair := self.pair_at(event.x, event.y)) is not None:
            self._on_pick(*pair)


class DrawingToScale(Chart):
    """A drawing in which one unit across is as long as one unit up."""

    def frame_with(self, padding: float) -> None:
        """Add an invisible frame that sets both ranges: Bokeh widens one until the scales agree."""
        fig = self.figure
        fig.match_aspect = True
        fig.grid.visible = False
        # The same scale as across; without it a phone has more room for the drawing.
        fig.yaxis.visible = False
        frame = fig.line([], [], line_alpha=0)
        self._frame = frame.data_source
        fig.x_range = DataRange1d(renderers=[frame], range_padding=padding)
        fig.y_range = DataRange1d(renderers=[frame], range_padding=padding)

    def show_frame(self, left: float, right: float, low: float, high: float) -> None:
        """Move the frame."""
        replace(self._frame, {"x": [left, right], "y": [low, high]})


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
