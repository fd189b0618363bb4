"""A few named bars, large enough for the back row: the chart of most steps of the lesson."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, hide_rows_axis, require_finite, set_if_changed
from explorer.charts.rows import Bars, Points

_ROW_HEIGHT = 62
"""Height of one row with its name above the bar [px]."""

_FRAME = 110
"""Height of axis and margins [px]."""


@dataclass(frozen=True)
class Bar:
    """One row.

    Attributes:
        value: Its length [axis unit].
        said: The value in words, with its unit.
        strong (bool): Whether it is the one to look at; drawn darker, with a pattern of its own.
    """

    name: str
    value: float
    said: str
    strong: bool = False


@dataclass(frozen=True)
class BarsView:
    """All that the chart shows.

    Attributes:
        bars: The rows from above.
        axis: What the lengths are, with the unit.
    """

    bars: tuple[Bar, ...]
    axis: str

    def __post_init__(self) -> None:
        require_finite(value=[bar.value for bar in self.bars])


class LessonBars(Chart):
    """The figure and its update."""

    def build(self, view: BarsView) -> None:
        hide_rows_axis(self.figure)
        self.draw_with(Bars, Points)
        self.figure.height = _FRAME + _ROW_HEIGHT * len(view.bars)

    def paint(self, view: BarsView) -> None:
        values = np.array([bar.value for bar in view.bars] or [0.0])
        self._x.show(min(0.0, values.min()), max(0.0, values.max()), view.axis)
        rows = len(view.bars)
        set_if_changed(self.figure.y_range, start=0.0, end=float(max(rows, 1)))
        set_if_changed(self.figure.xaxis[0], axis_label=view.axis)
        bars, points = Bars(), Points()
        for row, bar in enumerate(view.bars):
            bottom = rows - row - 1
            fill, hatch = (palette.CHOSEN, " ") if bar.strong else (palette.FITTED_QUIET, "/")
            bars.add(0.0, bar.value, bottom + 0.08, bottom + 0.5, fill, hatch)
            text = {"text": f"{bar.name}: {bar.said}", "dx": 4}
            colour = palette.CHOSEN if bar.strong else palette.INK
            points.add(self._x.start, bottom + 0.72, colour=colour, **text)
        self.show(bars, points)


def describe(view: BarsView) -> str:
    """Say in plain sentences what the chart shows."""
    rows = "; ".join(f"{bar.name} {bar.said}" for bar in view.bars)
    return f"Computed, {view.axis}: {rows}."
