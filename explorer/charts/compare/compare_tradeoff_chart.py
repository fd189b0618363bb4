"""Trade-off chart of up to four set-ups: each a marked point among all pairs, with a band."""

from dataclasses import dataclass, field
from typing import Literal, NamedTuple

import numpy as np
from bokeh.models import ColumnDataSource

from explorer.charts import palette
from explorer.charts.compare.compare_looks import LOOKS, LooksLegend, named
from explorer.charts.drawing import (
    Curves,
    FloatArray,
    HoverPlaces,
    Points,
    decimals,
    new_figure,
    replace,
    set_if_changed,
)
from explorer.charts.held_range import HeldRange
from explorer.charts.wording import SpeedUnits


class Place(NamedTuple):
    """One set-up on the chart; NaN where it has no top speed or never gets there.

    Attributes:
        pair: Front and rear teeth.
        top_speed, top_speed_band: Top speed, and half the width of the band of its difference to
            the first [unit of speed].
        measure, measure_band: The measure, and half the width of the same band [measure_unit].
    """

    pair: str
    top_speed: float
    top_speed_band: float
    measure: float
    measure_band: float

    @property
    def drawn(self) -> bool:
        """Whether it has a place on the chart."""
        return bool(np.isfinite(self.top_speed) and np.isfinite(self.measure))


@dataclass(frozen=True, eq=False)
class CompareTradeoffView:
    """All that the chart shows.

    Attributes:
        places: One to four, the fitted one first.
        top_speed, measure (array (pairs,)): Every pair of sprockets sold for the bike, on the
            fitted tyre; NaN where there is no result [unit of speed], [measure_unit].
        measure_name, measure_unit, better, decimals, speed_units: As in
            :class:`explorer.charts.gearing.tradeoff_chart.TradeoffView`.
    """

    places: tuple[Place, ...]
    top_speed: FloatArray
    measure: FloatArray
    measure_name: str
    measure_unit: str
    better: Literal["lower", "higher"]
    decimals: int = 1
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def measure_text(self, value: float) -> str:
        """A value of the measure with its unit."""
        return f"{value:.{self.decimals}f} {self.measure_unit}"


class CompareTradeoffChart:
    """The figure, built once, and its update.

    Attributes:
        figure: The figure.
    """

    def __init__(self, view: CompareTradeoffView) -> None:
        self.figure = new_figure()
        self._x, self._y = HeldRange(self.figure.x_range), HeldRange(self.figure.y_range)
        self._legend = LooksLegend(self.figure)
        self._pairs = ColumnDataSource({"x": [], "y": []})
        self.figure.scatter(
            "x", "y", source=self._pairs, size=6, fill_color=palette.FITTED_QUIET,
            line_color=palette.PAPER,
        )  # fmt: skip
        self._curves = Curves.draw_on(self.figure)
        self._points = Points.draw_on(self.figure)
        self._hover = HoverPlaces.draw_on(self.figure)
        self.update(view)

    def update(self, view: CompareTradeoffView) -> None:
        """Show another view in the same figure."""
        unit = view.speed_units.unit
        quantity = f"{view.measure_name}, {view.measure_unit}"
        there = np.isfinite(view.top_speed) & np.isfinite(view.measure)
        marked = [place for place in view.places if place.drawn]
        speeds = np.append(view.top_speed[there], [place.top_speed for place in marked])
        measures = np.append(view.measure[there], [place.measure for place in marked])
        if speeds.size:
            self._x.show(float(speeds.min()), float(speeds.max()), unit)
            self._y.show(float(measures.min()), float(measures.max()), quantity)
        arrow = "↓" if view.better == "lower" else "↑"
        set_if_changed(
            self.figure.title, text=f"{quantity[:1].upper()}{quantity[1:]} (better {arrow})"
        )
        set_if_changed(self.figure.xaxis[0], axis_label=f"Top speed, {unit} (better →)")
        self._legend.show([place.pair for place in view.places])
        replace(
            self._pairs,
            {"x": decimals(view.top_speed[there]), "y": decimals(view.measure[there])},
        )
        curves, points, hover = Curves(), Points(), HoverPlaces()
        ranks = sorted(marked, key=lambda place: -place.measure)
        for look, place in zip(LOOKS, view.places, strict=False):
            if not place.drawn:
                continue
            x, y = place.top_speed, place.measure
            across, up = np.nan_to_num([place.top_speed_band, place.measure_band])
            curves.add([x - across, x + across], [y, y], look.colour, palette.SOLID, 1.5)
            curves.add([x, x], [y - up, y + up], look.colour, palette.SOLID, 1.5)
            # Labels run towards the middle of the plot, and in the order of the marks: they may
            # lie close together.
            rightward = x < 0.5 * (self._x.start + self._x.end)
            points.add(
                x, y, marker=look.marker, size=15, fill=look.colour, line=palette.PAPER,
                text=f"{look.letter} {place.pair}", colour=look.colour, ground=palette.VEIL,
                align="left" if rightward else "right", dx=14 if rightward else -14,
                dy=round(20 * (ranks.index(place) - 0.5 * (len(ranks) - 1))),
            )  # fmt: skip
            hover.add(x, y, named(look, place.pair), *_lines(view, place))
        replace(self._curves, curves.columns)
        replace(self._points, points.columns)
        replace(self._hover, hover.columns)


def _lines(view: CompareTradeoffView, place: Place) -> tuple[str, str]:
    return (
        f"top speed {view.speed_units.both(place.top_speed)}",
        f"{view.measure_name}: {view.measure_text(place.measure)}",
    )


def describe(view: CompareTradeoffView) -> str:
    """Say in plain sentences what the chart shows."""
    said = [
        f"{named(look, place.pair)}: "
        + (", ".join(_lines(view, place)) if place.drawn else "does not reach it")
        for look, place in zip(LOOKS, view.places, strict=False)
    ]
    return (
        f"Computed: {'; '.join(said)}. The crosses through the marks are what is unsure about the "
        "difference to the first; the quiet points are every other pair on the fitted tyre."
    )
