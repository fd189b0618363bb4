"""Time over a course of up to four set-ups: a bar for each, cut up into its gears."""

from dataclasses import dataclass
from itertools import pairwise
from typing import NamedTuple

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, fix_ends, hide_rows_axis
from explorer.charts.rows import Bars, HoverPlaces, Points
from explorer.study.wording import ordinal


class Look(NamedTuple):
    """One set-up's look; its name always stands beside the colour.

    Attributes:
        colour, quiet, dash, marker, hatch: As Bokeh names them; quiet is a ground on which
            the ink is readable.
        width: Of its lines [px].
    """

    colour: str
    quiet: str
    dash: str
    marker: str
    hatch: str
    width: float


LOOKS = (
    Look(palette.FITTED, palette.FITTED_QUIET, palette.FITTED_DASH, "square", " ", 2.0),
    Look(palette.CHOSEN, palette.CHOSEN_QUIET, palette.SOLID, "diamond", "/", 3.0),
    Look(palette.THIRD, palette.THIRD_QUIET, "12 3 3 3", "triangle", "\\", 3.0),
    Look(palette.BEST, palette.FOURTH_QUIET, "3 3", "circle", "x", 3.0),
)
"""The fitted set-up first, the quiet one of all."""


_ROWS = len(LOOKS)
_NAMED = 0.05
"""A piece of a bar carries its gear from this share of the axis on."""


@dataclass(frozen=True, eq=False)
class SetupsCourseView:
    """All that the chart shows.

    Attributes:
        names: Of one to four set-ups, with their pairs, the fitted one first.
        time_in_gear (array (set_ups, gears), non-negative): Time in each gear [s].
        labels: What stands at the bars, which are narrow on a phone: the time with its band, or the
            difference to the fitted one; or that it does not get through.
        times: The same in full, for whoever cannot see the chart.
    """

    course: str
    names: tuple[str, ...]
    time_in_gear: FloatArray
    labels: tuple[str, ...]
    times: tuple[str, ...]


class SetupsCourseChart(Chart):
    """The figure and its update."""

    def build(self, view: SetupsCourseView) -> None:
        hide_rows_axis(self.figure)
        self.draw_with(Bars, Points, HoverPlaces)

    def paint(self, view: SetupsCourseView) -> None:
        totals = view.time_in_gear.sum(axis=1)
        self._x.show(0.0, max(float(totals.max()), 1.0), "s")
        fix_ends(self.figure.y_range, -_ROWS, 0.0)
        self.caption(f"{view.course}: time in each gear", "Time, s")
        bars, points, places = Bars(), Points(), HoverPlaces()
        for row, (look, name) in enumerate(zip(LOOKS, view.names, strict=False)):
            bottom, top = -row - 0.92, -row - 0.5
            ends = np.cumsum(np.append(0.0, view.time_in_gear[row]))
            for gear, (start, end) in enumerate(pairwise(ends)):
                if end <= start:
                    continue
                # Pieces in turn with and without a pattern, so that their edges are seen.
                fill = look.quiet if gear % 2 else palette.PAPER
                bars.add(start, end, bottom, top, fill, look.hatch if gear % 2 else " ")
                middle = 0.5 * (start + end), 0.5 * (bottom + top)
                if end - start > _NAMED * self._x.end:
                    points.add(*middle, text=str(gear + 1), align="center", ground=palette.VEIL)
                places.add(*middle, name, f"{end - start:.1f} s in {ordinal(gear + 1)} gear")
            text = f"{name}: {view.labels[row]}"
            points.add(0, -row - 0.28, text=text, colour=look.colour, dx=4)
        self.show(bars, points, places)


def describe(view: SetupsCourseView) -> str:
    """Time of each set-up."""
    said = [f"{name}: {label}" for name, label in zip(view.names, view.times, strict=True)]
    return f"{view.course}: {'; '.join(said)}."
