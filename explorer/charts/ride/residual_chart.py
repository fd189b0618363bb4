"""Residual chart: what a calibration leaves unexplained of every speed and time, over speed.

Good: a cloud about zero without a shape, nearly all of it between the dashed lines. A slope or a
bend in one kind of run tells that something about it is not as assumed.
"""

from dataclasses import dataclass

import numpy as np
from bokeh.core.properties import value
from bokeh.models import Span

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    FloatArray,
    add_legend,
    point_key,
    require_finite,
    set_if_changed,
)
from explorer.charts.rows import HoverPlaces, Points
from explorer.units import signed

LIMIT = 2.0
"""Nineteen of twenty residuals lie within so many standard deviations."""

_MOST_POINTS = 800
"""More make no other picture, only a slow one [count]."""

_LOOKS = (
    ("circle", palette.CHOSEN),
    ("triangle", palette.LIMIT),
    ("square", palette.BEST),
    ("diamond", palette.INK_QUIET),
)


@dataclass(frozen=True, eq=False)
class ResidualView:
    """All that the residual chart shows.

    Attributes:
        kinds: Kinds of run, at most four.
        kind (array (n,) of int): Index of each residual's kind.
        speed (array (n,)): Speed at which it was seen [speed_unit].
        residual (array (n,)): Observed less fitted, over its standard uncertainty [-].
    """

    kinds: tuple[str, ...]
    kind: np.ndarray
    speed: FloatArray
    residual: FloatArray
    speed_unit: str

    def __post_init__(self) -> None:
        require_finite(speed=self.speed, residual=self.residual)
        if not len(self.kind) == len(self.speed) == len(self.residual):
            raise ValueError("The residual chart needs a kind and a speed for every residual.")
        if len(self.kinds) > len(_LOOKS):
            raise ValueError("The residual chart tells at most four kinds of run apart.")


class ResidualChart(Chart):
    """The figure and its update."""

    def build(self, view: ResidualView) -> None:
        self.figure.yaxis[0].axis_label = "observed − fitted, over its uncertainty"
        for height, dash in ((0.0, palette.SOLID), (LIMIT, "6 4"), (-LIMIT, "6 4")):
            line = Span(
                location=height, dimension="width", line_color=palette.INK_QUIET, line_dash=dash
            )
            self.figure.add_layout(line)
        self._items = []
        for marker, colour in _LOOKS:
            look = {"marker": marker, "size": 9, "fill_color": colour, "line_color": colour}
            self._items.append(point_key(self.figure, "", -1e6, -1e6, **look))
        add_legend(self.figure, self._items)
        self.draw_with(Points, HoverPlaces)

    def paint(self, view: ResidualView) -> None:
        fastest = float(view.speed.max(initial=1.0))
        highest = max(float(np.abs(view.residual).max(initial=0.0)), 1.5 * LIMIT)
        self._x.show(0.0, fastest, view.speed_unit)
        self._y.show(-highest, highest, "residual")
        title = "What the fit leaves, in standard deviations"
        self.caption(title, f"speed, {view.speed_unit}")
        for place, item in enumerate(self._items):
            known = place < len(view.kinds)
            label = value(view.kinds[place] if known else "")
            set_if_changed(item, label=label, visible=known)
        points, places = Points(), HoverPlaces()
        step = max(-(-len(view.speed) // _MOST_POINTS), 1)
        every = slice(None, None, step)
        rows = zip(view.kind[every], view.speed[every], view.residual[every], strict=True)
        for kind, speed, residual in rows:
            marker, colour = _LOOKS[int(kind)]
            points.add(speed, residual, marker=marker, size=7, fill=palette.CLEAR, line=colour)
            lines = f"{speed:.0f} {view.speed_unit}", f"{signed(residual, 1)} standard deviations"
            places.add(speed, residual, view.kinds[int(kind)], *lines)
        self.show(points, places)


def describe(view: ResidualView) -> str:
    """How many residuals there are, and how many lie outside the dashed lines."""
    count = len(view.residual)
    if not count:
        return "No residuals yet: nothing has been fitted."
    outside = int(np.sum(np.abs(view.residual) > LIMIT))
    largest = int(np.argmax(np.abs(view.residual)))
    worst = signed(view.residual[largest], 1)
    return (
        f"{count} values; {outside} of them ({100 * outside / count:.0f} %) lie more than "
        f"{LIMIT:g} standard deviations from the fit, about 5 % would be usual. The largest: "
        f"{worst} at {view.speed[largest]:.0f} {view.speed_unit}, "
        f"{view.kinds[int(view.kind[largest])]}."
    )
