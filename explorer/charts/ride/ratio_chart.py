"""Ratio chart: how the moments of a ride gather around gears, and where the file has them."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, require_finite
from explorer.charts.rows import Bars, Curves, HoverPlaces, Points
from explorer.study.wording import ordinal

_BINS_PER_STEP = 0.015
"""Width of a bar as a share of the ratio."""


@dataclass(frozen=True, eq=False)
class RatioView:
    """All that the ratio chart shows.

    Attributes:
        ratios (array (moments,)): Engine turns for one turn of the wheel at each steady moment [-].
        expected (array (gears,), decreasing): Overall ratios after the bike file [-].
        found (array (found,)): Overall ratios of the gears found [-].
    """

    ratios: FloatArray
    expected: FloatArray
    found: FloatArray

    def __post_init__(self) -> None:
        require_finite(ratios=self.ratios, expected=self.expected, found=self.found)


class RatioChart(Chart):
    """The figure and its update."""

    def build(self, view: RatioView) -> None:
        self.caption("Readings at each overall ratio", "Overall ratio")
        self.draw_with(Bars, Curves, Points, HoverPlaces)

    def paint(self, view: RatioView) -> None:
        low, high = 0.85 * float(view.expected.min()), 1.15 * float(view.expected.max())
        edges = np.exp(np.arange(np.log(low), np.log(high) + _BINS_PER_STEP, _BINS_PER_STEP))
        counts, _ = np.histogram(view.ratios, edges)
        top = max(float(counts.max()), 1.0)
        self._x.show(low, high, "ratio")
        self._y.show(0.0, 1.2 * top, "moments")
        bars, lines, points, places = Bars(), Curves(), Points(), HoverPlaces()
        for left, right, count in zip(edges, edges[1:], counts, strict=False):
            if count:
                bars.add(left, right, 0.0, float(count), palette.CHOSEN_QUIET, " ")
        for gear, ratio in enumerate(view.expected, 1):
            lines.add([ratio] * 2, [0, 1.1 * top], palette.FITTED, palette.FITTED_DASH, 2.0)
            look = {"colour": palette.FITTED, "align": "center", "ground": palette.VEIL}
            points.add(ratio, 1.1 * top, text=str(gear), dy=-10, **look)
            places.add(ratio, 1.1 * top, f"{ordinal(gear)} gear, bike file: {ratio:.2f}")
        for ratio in view.found:
            points.add(ratio, 0.0, marker="triangle", size=12, line=palette.BEST, fill=palette.BEST)
            places.add(ratio, 0.0, f"found: {ratio:.2f}")
        corner = self._x.end, self._y.end
        points.add_ending(*corner, "╌ bike file", palette.FITTED, dy=12)
        points.add_ending(*corner, "▲ found", palette.BEST, dy=30)
        self.show(bars, lines, points, places)


def describe(view: RatioView) -> str:
    """The ratios found beside those of the bike file."""
    expected = ", ".join(f"{ratio:.2f}" for ratio in view.expected)
    if not len(view.found):
        return f"No gear stands out; the bike file expects {expected}."
    found = ", ".join(f"{ratio:.2f}" for ratio in view.found)
    return f"From the log: overall ratios {found}; the bike file expects {expected}."
