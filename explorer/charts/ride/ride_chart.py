"""Ride chart: speed over time as logged and without its glitches."""

from dataclasses import dataclass, field

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, require_finite
from explorer.charts.rows import Curves, HoverPlaces, Points, inward
from explorer.study.wording import SpeedUnits, clock

MOST_POINTS = 1500
"""Of each line, whatever the length of the ride [count]."""
_MOST_GLITCHES = 300
_PLACES_TO_HOVER = 60
_HEADROOM = 1.4
"""Top of the axis over the fastest speed: room for the words above the line [-]."""
_NEAR_EDGE = 0.2
"""Within this share of an end of the chart there is no room on both sides [-]."""


@dataclass(frozen=True, eq=False)
class RideView:
    """All that the ride chart shows.

    Attributes:
        logged, cleaned (tuple of (array, array)): Time and speed of each stretch, as logged and
            without glitches [min], [unit of speed].
        glitches: Time and speed of what was left out [min], [unit of speed].
        held (tuple of float, or None): Begin, end and speed of the top speed that was held [min],
            [unit of speed].
    """

    logged: tuple[tuple[FloatArray, FloatArray], ...]
    cleaned: tuple[tuple[FloatArray, FloatArray], ...]
    glitches: tuple[FloatArray, FloatArray]
    held: tuple[float, float, float] | None = None
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def __post_init__(self) -> None:
        for time, speed in (*self.logged, *self.cleaned, self.glitches):
            require_finite(time=time, speed=speed)

    @property
    def fastest(self) -> float:
        """Highest speed without the glitches; the axis does not follow these."""
        return max(float(speed.max()) for _, speed in self.cleaned)


class RideChart(Chart):
    """The figure and its update."""

    def build(self, view: RideView) -> None:
        self.draw_with(Curves, Points, HoverPlaces)

    def paint(self, view: RideView) -> None:
        unit = view.speed_units.unit
        end = max(float(time[-1]) for time, _ in view.logged)
        self._x.show(0.0, end, f"{end} min")
        self._y.show(0.0, max(view.fastest, 1.0) * _HEADROOM, unit)
        self.caption(f"Speed of the ride, {unit}", "Time since the start, min")
        lines = Curves()
        for stretches, colour, width in (
            (view.logged, palette.FITTED_QUIET, 4.0),
            (view.cleaned, palette.CHOSEN, 1.8),
        ):
            for time, speed in thinned(stretches):
                # What jumps beyond the axis would otherwise stretch the first look at the chart.
                lines.add(time, np.minimum(speed, self._y.end), colour, palette.SOLID, width)
        self.show(lines, self._marks(view), _places(view))

    def _marks(self, view: RideView) -> Points:
        points = Points()
        time, speed = view.glitches
        step = max(len(time) // _MOST_GLITCHES, 1)
        for moment, value in zip(time[::step], speed[::step], strict=True):
            points.add(moment, min(value, self._y.end), marker="x", size=9, line=palette.LIMIT)
        points.add(0, self._y.end, text="without glitches", colour=palette.CHOSEN, dx=4, dy=12)
        if len(time):
            points.add(0, self._y.end, text="✕ left out", colour=palette.LIMIT, dx=4, dy=30)
        if view.held is not None:
            begin, end, held = view.held
            # Beside an edge of the chart the words stand on the side that is free.
            share = 0.5 * (begin + end) / max(float(time[-1]) for time, _ in view.logged)
            align = inward(share, _NEAR_EDGE)
            mark = {"marker": "inverted_triangle", "line": palette.BEST, "fill": palette.BEST}
            text = {"text": f"held {view.speed_units.one(held)}", "align": align, "dy": -16}
            look = {"colour": palette.BEST, "ground": palette.VEIL}
            points.add(0.5 * (begin + end), held, size=11, **mark, **text, **look)
        return points


def thinned(
    stretches: tuple[tuple[FloatArray, FloatArray], ...],
) -> list[tuple[FloatArray, FloatArray]]:
    """Fewer points that look the same: first, lowest, highest and last of each piece of time."""
    total = sum(len(time) for time, _ in stretches)
    if total <= MOST_POINTS:
        return list(stretches)
    size = int(np.ceil(4 * total / MOST_POINTS))
    found = []
    for time, speed in stretches:
        starts = np.arange(0, len(time), size)
        rows = [starts, np.minimum(starts + size, len(time)) - 1]
        pieces = np.split(speed, starts[1:])
        rows.append(starts + [int(np.argmin(piece)) for piece in pieces])
        rows.append(starts + [int(np.argmax(piece)) for piece in pieces])
        kept = np.unique(np.concatenate(rows))
        found.append((time[kept], speed[kept]))
    return found


def _places(view: RideView) -> HoverPlaces:
    places = HoverPlaces()
    share = max(_PLACES_TO_HOVER // len(view.cleaned), 1)
    for time, speed in view.cleaned[:_PLACES_TO_HOVER]:
        for row in np.unique(np.linspace(0, len(time) - 1, share + 1).astype(int)):
            said = clock(60 * time[row]), view.speed_units.both(speed[row])
            places.add(time[row], speed[row], *said)
    return places


def describe(view: RideView) -> str:
    """How long and how fast, what was left out, and the top speed that was held."""
    minutes = sum(float(time[-1] - time[0]) for time, _ in view.cleaned)
    many = len(view.cleaned)
    left_out = len(view.glitches[0])
    sentences = [
        f"Speed over time, from the log: {clock(60 * minutes)} in {many} unbroken "
        f"stretch{'es' if many > 1 else ''}, up to {view.speed_units.one(view.fastest)}; "
        f"{left_out or 'no'} reading{'s' if left_out != 1 else ''} left out as glitches."
    ]
    if view.held is not None:
        sentences.append(
            f"The highest speed that was held is {view.speed_units.one(view.held[2])}, at "
            f"{clock(60 * view.held[0])}."
        )
    return " ".join(sentences)
