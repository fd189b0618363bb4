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
    replace,
    require_finite,
    set_if_changed,
)

_ROW = 1.0
"""Height of an input: its name above two bars [axis unit]."""

_LEVEL_HATCH, _DIFFERENCE_HATCH = " ", "right_diagonal_line"


@dataclass(frozen=True, eq=False)
class SensitivityView:
    """All that the sensitivity chart shows.

    Attributes:
        names: Inputs, the one that matters most first.
        level, difference (array (inputs,), non-negative): Band that each input alone gives to the
            result of the chosen gearing, and to the difference between chosen and fitted [unit].
        quantity: What the result is, such as "0 to 60 km/h".
        unit: Its unit.
        pair: Front and rear teeth of the chosen gearing.
    """

    names: tuple[str, ...]
    level: FloatArray
    difference: FloatArray
    quantity: str
    unit: str
    pair: str

    def __post_init__(self) -> None:
        require_finite(level=self.level, difference=self.difference)
        if not len(self.names) == len(self.level) == len(self.difference):
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
        longest = max([*view.level, *view.difference, 0.0])
        self._x.show(0.0, longest or 1.0, f"{view.quantity} {view.unit}")
        rows = len(view.names)
        set_if_changed(
            self.figure.y_range, start=-rows * _ROW, end=0.3, reset_start=-rows, reset_end=0.3
        )
        set_if_changed(
            self.figure.title, text=f"± on “{view.quantity}” from each input, {view.unit}"
        )
        set_if_changed(self.figure.xaxis[0], axis_label=f"± {view.unit}")
        replace(self._bars, _bars(view))
        replace(self._points, self._names(view))
        replace(self._hover, _hover_places(view))

    def _names(self, view: SensitivityView) -> Columns:
        points = Points()
        for row, name in enumerate(view.names):
            points.add(0, -row * _ROW - 0.12, text=name, dx=3)
        pair = {"text": f"chosen {view.pair}", "colour": palette.CHOSEN, "align": "right"}
        points.add(self._x.end, -len(view.names) * _ROW, dx=-4, dy=-12, **pair)
        return points.columns


def _bars(view: SensitivityView) -> Columns:
    bars = Bars()
    for row, (level, difference) in enumerate(zip(view.level, view.difference, strict=True)):
        foot = -row * _ROW
        bars.add(0, level, foot - 0.58, foot - 0.32, palette.CHOSEN_QUIET, _LEVEL_HATCH)
        bars.add(0, difference, foot - 0.86, foot - 0.60, palette.BEST_FILL, _DIFFERENCE_HATCH)
    return bars.columns


def _hover_places(view: SensitivityView) -> Columns:
    places = HoverPlaces()
    for row, name in enumerate(view.names):
        level, difference = view.level[row], view.difference[row]
        text = (
            name,
            f"chosen alone ± {level:.2g} {view.unit}",
            f"chosen − fitted ± {difference:.2g} {view.unit}",
        )
        for place in np.linspace(0.0, level, 5):
            places.add(place, -row * _ROW - 0.5, *text)
    return places.columns


def describe(view: SensitivityView) -> str:
    """Say in plain sentences what the chart shows.

    Returns: Which input matters most for the level, and which for the difference.
    """
    if not len(view.names) or not view.level.max() > 0:
        return f"Computed: no input makes “{view.quantity}” unsure."
    first = int(np.argmax(view.level))
    sentence = (
        f"Computed: “{view.quantity}” of the chosen gearing is unsure most of all from "
        f"{view.names[first]}, ± {view.level[first]:.2g} {view.unit}"
    )
    most = int(np.argmax(view.difference))
    if not view.difference[most] > 0:
        return f"{sentence}; nothing makes the difference to the fitted one unsure."
    return (
        f"{sentence}; the difference to the fitted one most of all from {view.names[most]}, "
        f"± {view.difference[most]:.2g} {view.unit}."
    )
