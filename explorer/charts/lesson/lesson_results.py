"""What a class measured or guessed, each as a point, against what was computed."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    FloatArray,
    add_legend,
    add_shade,
    hide_rows_axis,
    line_key,
    require_finite,
    set_if_changed,
)
from explorer.charts.rows import Curves, HoverPlaces, Points


@dataclass(frozen=True, eq=False)
class ResultsView:
    """All that the chart shows.

    Attributes:
        name: What was measured, with the unit in it.
        values (array (n,)): What the class found, in the order typed [unit].
        predicted: What was computed [unit].
    """

    name: str
    unit: str
    values: FloatArray
    predicted: float
    decimals: int

    def __post_init__(self) -> None:
        require_finite(values=self.values, predicted=self.predicted)

    @property
    def mean(self) -> float:
        """Mean of the class; NaN without results [unit]."""
        return float(np.mean(self.values)) if len(self.values) else float("nan")

    @property
    def spread(self) -> float:
        """Standard deviation of a single result; NaN below two results [unit]."""
        return float(np.std(self.values, ddof=1)) if len(self.values) > 1 else float("nan")

    def said(self, number: float) -> str:
        """A value with its unit."""
        return f"{number:.{self.decimals}f} {self.unit}".rstrip()


class ResultsChart(Chart):
    """The figure and its update."""

    def build(self, view: ResultsView) -> None:
        self.figure.height = 280
        hide_rows_axis(self.figure)
        self._band = add_shade(self.figure, palette.POWER_BAND, 0.3)
        mean = "mean of the class, spread shaded", palette.LIMIT, palette.WHEEL_LIFT_DASH
        looks = ("computed", palette.CHOSEN, palette.SOLID), mean
        add_legend(self.figure, [line_key(self.figure, *look, 3) for look in looks])
        self.draw_with(Curves, Points, HoverPlaces)

    def paint(self, view: ResultsView) -> None:
        count, mean, spread = len(view.values), view.mean, view.spread
        everything = np.append(view.values, view.predicted)
        if count > 1:
            everything = np.append(everything, [mean - spread, mean + spread])
        self._x.show(float(everything.min()), float(everything.max()), view.name)
        set_if_changed(self.figure.y_range, start=0.0, end=count + 1.0)
        set_if_changed(self.figure.xaxis[0], axis_label=view.name)
        shaded = (mean - spread, mean + spread) if count > 1 else (None, None)
        set_if_changed(self._band, left=shaded[0], right=shaded[1], visible=count > 1)
        curves, points, places = Curves(), Points(), HoverPlaces()
        ends = [0.0, count + 1.0]
        curves.add([view.predicted] * 2, ends, palette.CHOSEN, palette.SOLID, 3.5)
        if count:
            curves.add([mean] * 2, ends, palette.LIMIT, palette.WHEEL_LIFT_DASH, 2.5)
        for row, result in enumerate(view.values):
            y = count - row
            points.add(result, y, marker="circle", size=12, fill=palette.INK, line=palette.PAPER)
            places.add(result, y, f"result {row + 1}", view.said(result))
        self.show(curves, points, places)


def describe(view: ResultsView) -> str:
    """How many results, their mean and spread, and how far the mean is from what was computed."""
    count = len(view.values)
    if not count:
        return "No results of the class yet: the computed value is told with the first."
    predicted = f"Computed: {view.said(view.predicted)}."
    results = "result" if count == 1 else "results"
    off = view.mean / view.predicted - 1
    way = "above" if off > 0 else "below"
    mean = (
        f"{count} {results} of the class, mean {view.said(view.mean)}, {abs(off) * 100:.1f} % "
        f"{way} the computed value."
    )
    if count == 1:
        return f"{predicted} {mean} One result has no spread: repeat it."
    # What is printed alike is no difference.
    within = abs(view.mean - view.predicted) <= view.spread + 0.5 * 10.0**-view.decimals
    verdict = (
        "The computed value lies within the spread of the class."
        if within
        else "The computed value lies outside the spread of the class: ask what differs."
    )
    return (
        f"{predicted} {mean} Single results spread by {view.said(view.spread)} either side of the "
        f"mean (standard deviation). {verdict}"
    )
