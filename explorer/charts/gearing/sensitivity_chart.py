"""Sensitivity chart: how much of what is unsure comes from which input, level and difference."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.bars import Bars, hide_rows_axis, legend_item
from explorer.charts.drawing import (
    Chart,
    Columns,
    FloatArray,
    HoverPlaces,
    Points,
    add_legend,
    fix_ends,
    replace,
    require_finite,
    set_if_changed,
)

_ROW = 1.0
"""Height of an input: its name above two bars [axis unit]."""

_ROW_PIXELS, _AROUND = 28, 110
"""Height of an input, and of title, legend and axis together [px]."""

_LEVEL_HATCH, _DIFFERENCE_HATCH = " ", "right_diagonal_line"


@dataclass(frozen=True, eq=False)
class SensitivityView:
    """All that the sensitivity chart shows.

    Attributes:
        names: Inputs, the one that matters most first.
        level, difference (array (inputs, 2), non-negative): How far down and up the band reaches
            that each input alone gives to the result of the chosen gearing, and to the difference
            between chosen and fitted [unit].
        level_said, difference_said: These bands in words, such as "+0.3/−0.4 s".
        quantity: What the result is, such as "0 to 60 km/h".
        unit: Its unit.
    """

    names: tuple[str, ...]
    level: FloatArray
    difference: FloatArray
    level_said: tuple[str, ...]
    difference_said: tuple[str, ...]
    quantity: str
    unit: str
    pair: str

    def __post_init__(self) -> None:
        require_finite(level=self.level, difference=self.difference)
        if not (len(self.names), 2) == self.level.shape == self.difference.shape:
            raise ValueError("The sensitivity chart needs two bars for every input.")
        if np.any(self.level < 0) or np.any(self.difference < 0):
            raise ValueError("The bars of the sensitivity chart cannot be shorter than nothing.")


class SensitivityChart(Chart):
    """The figure and its update."""

    def __init__(self, view: SensitivityView) -> None:
        super().__init__()
        hide_rows_axis(self.figure)
        add_legend(
            self.figure,
            [
                legend_item(self.figure, "chosen alone", palette.CHOSEN_QUIET, _LEVEL_HATCH),
                legend_item(self.figure, "chosen − fitted", palette.BEST_FILL, _DIFFERENCE_HATCH),
            ],
        )
        self._bars, self._points, self._hover = self.layers(Bars, Points, HoverPlaces)
        self.update(view)

    def update(self, view: SensitivityView) -> None:
        """Show another view in the same figure."""
        ends = np.concatenate((view.level, view.difference))
        down, up = ends.max(axis=0, initial=0.0)
        # Room at the left, where the names begin, even if nothing reaches down.
        longest = max(down, up) or 1.0
        self._x.show(
            -max(down, 0.2 * longest), max(up, 0.2 * longest), f"{view.quantity} {view.unit}"
        )
        rows = len(view.names)
        set_if_changed(self.figure, height=_AROUND + _ROW_PIXELS * rows)
        fix_ends(self.figure.y_range, -rows * _ROW, 0.3)
        set_if_changed(
            self.figure.title, text=f"± on “{view.quantity}” from each input, {view.unit}"
        )
        set_if_changed(self.figure.xaxis[0], axis_label=f"Change of “{view.quantity}”, {view.unit}")
        replace(self._bars, _bars(view))
        replace(self._points, self._names(view))
        replace(self._hover, _hover_places(view))

    def _names(self, view: SensitivityView) -> Columns:
        points = Points()
        for row, name in enumerate(view.names):
            points.add(self._x.start, -row * _ROW - 0.2, text=name, dx=3)
        pair = {"text": f"chosen {view.pair}", "colour": palette.CHOSEN, "align": "right"}
        points.add(self._x.end, -len(view.names) * _ROW, dx=-4, dy=-12, **pair)
        return points.columns


def _bars(view: SensitivityView) -> Columns:
    bars = Bars()
    for row, (level, difference) in enumerate(zip(view.level, view.difference, strict=True)):
        foot = -row * _ROW
        chosen = palette.CHOSEN_QUIET, _LEVEL_HATCH
        apart = palette.BEST_FILL, _DIFFERENCE_HATCH
        bars.add(-level[0], level[1], foot - 0.70, foot - 0.47, *chosen)
        bars.add(-difference[0], difference[1], foot - 0.95, foot - 0.72, *apart)
    return bars.columns


def _hover_places(view: SensitivityView) -> Columns:
    places = HoverPlaces()
    for row, name in enumerate(view.names):
        text = (
            name,
            f"chosen alone {view.level_said[row]}",
            f"chosen − fitted {view.difference_said[row]}",
        )
        for place in np.linspace(-view.level[row, 0], view.level[row, 1], 5):
            places.add(place, -row * _ROW - 0.6, *text)
    return places.columns


def describe(view: SensitivityView) -> str:
    """Say in plain sentences what the chart shows.

    Returns: Which input matters most for the level, and which for the difference.
    """
    if not view.level.max(initial=0.0) > 0:
        return f"No input moves “{view.quantity}”."
    first, most = (int(np.argmax(ends.max(axis=1))) for ends in (view.level, view.difference))
    sentence = (
        f"“{view.quantity}”, chosen gearing: most uncertain from {view.names[first]}, "
        f"{view.level_said[first]}"
    )
    if not view.difference[most].max() > 0:
        return f"{sentence}; nothing moves the difference to the fitted one."
    return (
        f"{sentence}; the difference to the fitted one from {view.names[most]}, "
        f"{view.difference_said[most]}."
    )
