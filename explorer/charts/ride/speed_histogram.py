"""Speed histogram: how long a ride was ridden at each speed."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, require_finite
from explorer.charts.rows import Bars, HoverPlaces
from explorer.study.wording import clock


@dataclass(frozen=True, eq=False)
class HistogramView:
    """All that the histogram shows.

    Attributes:
        edges (array (bins + 1,)): Limits of the bins [unit].
        minutes (array (bins,)): Time in each [min].
    """

    edges: FloatArray
    minutes: FloatArray
    unit: str

    def __post_init__(self) -> None:
        require_finite(edges=self.edges, minutes=self.minutes)


class SpeedHistogram(Chart):
    """The figure and its update."""

    def build(self, view: HistogramView) -> None:
        self.draw_with(Bars, HoverPlaces)

    def paint(self, view: HistogramView) -> None:
        self._x.show(0.0, float(view.edges[-1]), view.unit)
        self._y.show(0.0, max(float(view.minutes.max()), 0.1), "min")
        self.caption("Time at each speed, min", f"Speed, {view.unit}")
        bars, places = Bars(), HoverPlaces()
        for left, right, minutes in zip(view.edges, view.edges[1:], view.minutes, strict=False):
            bars.add(left, right, 0.0, minutes, palette.CHOSEN_QUIET, " ")
            said = f"{left:.0f} to {right:.0f} {view.unit}", clock(60 * minutes)
            places.add(0.5 * (left + right), minutes, *said)
        self.show(bars, places)


def describe(view: HistogramView) -> str:
    """The speed ridden most, and the one below which half of the ride was."""
    total = float(view.minutes.sum())
    if total <= 0:
        return "The ride has no time at any speed."
    most = int(np.argmax(view.minutes))
    half = int(np.searchsorted(np.cumsum(view.minutes), 0.5 * total))
    return (
        f"From the log: most time, {clock(view.minutes[most] * 60)}, between "
        f"{view.edges[most]:.0f} and {view.edges[most + 1]:.0f} {view.unit}; half of the ride "
        f"below {view.edges[half + 1]:.0f} {view.unit}."
    )
