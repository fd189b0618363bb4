"""Sensitivity chart: how much of what is unsure comes from which input, level and difference."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    FloatArray,
    add_legend,
    bar_key,
    fix_ends,
    hide_rows_axis,
    require_finite,
    set_if_changed,
)
from explorer.charts.rows import Bars, HoverPlaces, Points

_ROW = 1.0
"""Height of an input: its name above two bars [axis unit]."""

_ROW_PIXELS, _AROUND = 28, 110
"""Height of an input, and of title, legend and axis together [px]."""

_LEVEL = palette.CHOSEN_QUIET, " "
_DIFFERENCE = palette.BEST_FILL, "right_diagonal_line"


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

    def build(self, view: SensitivityView) -> None:
        hide_rows_axis(self.figure)
        keys = ("chosen alone", *_LEVEL), ("chosen − fitted", *_DIFFERENCE)
        add_legend(self.figure, [bar_key(self.figure, *each) for each in keys])
        self.draw_with(Bars, Points, HoverPlaces)

    def paint(self, view: SensitivityView) -> None:
        ends = np.concatenate((view.level, view.difference))
        down, up = ends.max(axis=0, initial=0.0)
        # Room at the left, where the names begin, even if nothing reaches down.
        least = 0.2 * (max(down, up) or 1.0)
        self._x.show(-max(down, least), max(up, least), f"{view.quantity} {view.unit}")
        rows = len(view.names)
        set_if_changed(self.figure, height=_AROUND + _ROW_PIXELS * rows)
        fix_ends(self.figure.y_range, -rows * _ROW, 0.3)
        across = f"Change of “{view.quantity}”, {view.unit}"
        self.caption(f"± on “{view.quantity}” from each input, {view.unit}", across)
        self.show(_bars(view), self._names(view), _hover_places(view))

    def _names(self, view: SensitivityView) -> Points:
        points = Points()
        for row, name in enumerate(view.names):
            points.add(self._x.start, -row * _ROW - 0.2, text=name, dx=3)
        foot = -len(view.names) * _ROW
        points.add_ending(self._x.end, foot, f"chosen {view.pair}", palette.CHOSEN, dy=-12)
        return points


def _bars(view: SensitivityView) -> Bars:
    bars = Bars()
    for row, (level, difference) in enumerate(zip(view.level, view.difference, strict=True)):
        foot = -row * _ROW
        bars.add(-level[0], level[1], foot - 0.70, foot - 0.47, *_LEVEL)
        bars.add(-difference[0], difference[1], foot - 0.95, foot - 0.72, *_DIFFERENCE)
    return bars


def _hover_places(view: SensitivityView) -> HoverPlaces:
    places = HoverPlaces()
    for row, name in enumerate(view.names):
        level, apart = view.level_said[row], view.difference_said[row]
        text = name, f"chosen alone {level}", f"chosen − fitted {apart}"
        for place in np.linspace(-view.level[row, 0], view.level[row, 1], 5):
            places.add(place, -row * _ROW - 0.6, *text)
    return places


def describe(view: SensitivityView) -> str:
    """Which input matters most for the level, and which for the difference."""
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
