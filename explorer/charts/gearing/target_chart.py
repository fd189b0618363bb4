"""Target chart: time to a speed, chosen less fitted, over the speed to reach."""

from dataclasses import dataclass, field
from itertools import pairwise

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, require_finite
from explorer.charts.rows import Curves, HoverPlaces, Points, inward
from explorer.study.wording import SpeedUnits, more_changes
from explorer.units import ends, rounded, signed

_LEAST = 0.1
"""The axis shows this much on both sides of no difference [s]."""

_ROOM = 1.35
"""How far the axis goes beyond the curves, for the words there [share]."""


@dataclass(frozen=True, eq=False)
class TargetView:
    """All that the target chart shows.

    Attributes:
        speed (array (speeds,), increasing): Speeds to reach [unit of speed].
        difference (array (speeds,)): Time with the chosen gearing less that with the fitted one;
            NaN where one of them does not reach it [s].
        changes (array of int (speeds,)): Gear changes before it, more than with the fitted gearing.
        target: The speed that the reader asks for [unit of speed].
        pair, fitted_pair: Teeth, such as "12/50".
    """

    speed: FloatArray
    difference: FloatArray
    changes: FloatArray
    target: float
    pair: str
    fitted_pair: str
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def __post_init__(self) -> None:
        require_finite(speed=self.speed, changes=self.changes)
        if not len(self.speed) == len(self.difference) == len(self.changes) > 1:
            raise ValueError("The target chart needs a time and gear changes for every speed.")

    @property
    def stretches(self) -> list[tuple[int, int, int]]:
        """First speed, last speed, and gear changes more, where both reach it."""
        known = np.isfinite(self.difference)
        marks = np.where(known, self.changes, np.iinfo(int).min)
        edges = [0, *(np.flatnonzero(np.diff(marks)) + 1), len(marks)]
        return [
            (int(first), int(beyond) - 1, int(self.changes[first]))
            for first, beyond in pairwise(edges)
            if known[first]
        ]


class TargetChart(Chart):
    """The figure and its update."""

    def build(self, view: TargetView) -> None:
        self.draw_with(Curves, Points, HoverPlaces)

    def paint(self, view: TargetView) -> None:
        unit = view.speed_units.unit
        known = view.difference[np.isfinite(view.difference)]
        most = _ROOM * max(_LEAST, *np.abs(known)) if known.size else _LEAST
        self._x.show(float(view.speed[0]), float(view.speed[-1]), unit)
        self._y.show(-most, most, "s")
        title = f"Time to a speed: {view.pair} less {view.fitted_pair}, s"
        self.caption(title, f"Speed to reach, {unit}")
        curves, points, places = Curves(), Points(), HoverPlaces()
        ends = [view.speed[0], view.speed[-1]]
        curves.add(ends, [0.0, 0.0], palette.INK_QUIET, palette.SOLID, 1.0)
        curves.add([view.target] * 2, [-most, most], palette.LIMIT, palette.WANTED_DASH, 1.5)
        half = np.median(np.diff(view.speed)) / 2
        for first, last, more in view.stretches:
            here = slice(first, last + 1)
            look = (palette.CHOSEN, palette.SOLID) if not more else (palette.LIMIT, "dotted")
            speeds, times = view.speed[here], view.difference[here]
            if first == last:  # a line of one place: as far as halfway to the next
                speeds, times = [speeds[0] - half, speeds[0] + half], [times[0]] * 2
            curves.add(speeds, times, *look, 3.5)
            middle = (first + last) // 2
            if more:
                share = (view.speed[middle] - ends[0]) / (ends[1] - ends[0])
                look = {"colour": palette.LIMIT, "ground": palette.VEIL, "dy": -16}
                text = {"text": more_changes(more), "align": inward(share, 0.3)}
                points.add(view.speed[middle], view.difference[middle], **text, **look)
            for at in range(first, last + 1):
                said = f"{signed(view.difference[at], 2)} s"
                to = f"to {view.speed_units.one(view.speed[at])}"
                places.add(view.speed[at], view.difference[at], to, said, more_changes(more))
        for height, way, dy in ((most, "slower", 8), (-most, "quicker", -8)):
            label = f"chosen {view.pair} {way}"
            points.add(ends[0], height, text=label, colour=palette.INK_QUIET, dx=4, dy=dy)
        self.show(curves, points, places)


def describe(view: TargetView) -> str:
    """What the chosen gearing saves or loses, by stretches of speed."""
    parts = []
    for first, last, more in view.stretches:
        both = ends(view.difference[first], view.difference[last], 1)
        span = ends(view.speed[first], view.speed[last], 0, rounded)
        parts.append(
            f"for {span} {view.speed_units.unit}: {both} s"
            + (f" with {more_changes(more)}" if more else "")
        )
    if not parts:
        return f"Computed: {view.pair} or {view.fitted_pair} reaches none of these speeds."
    return f"Computed, {view.pair} less {view.fitted_pair}: {'; '.join(parts)}."
