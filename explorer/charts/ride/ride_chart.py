"""Ride chart: speed over time as logged and without its glitches."""

from dataclasses import dataclass, field

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    Columns,
    Curves,
    FloatArray,
    HoverPlaces,
    Points,
    replace,
    require_finite,
    set_if_changed,
)
from explorer.study.wording import SpeedUnits

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

    def __init__(self, view: RideView) -> None:
        super().__init__()
        self.figure.xaxis[0].axis_label = "Time since the start, min"
        self._lines, self._points, self._hover = self.layers(Curves, Points, HoverPlaces)
        self.update(view)

    def update(self, view: RideView) -> None:
        """Show another view in the same figure."""
        unit = view.speed_units.unit
        end = max(float(time[-1]) for time, _ in view.logged)
        self._x.show(0.0, end, f"{end} min")
        self._y.show(0.0, max(view.fastest, 1.0) * _HEADROOM, unit)
        set_if_changed(self.figure.title, text=f"Speed of the ride, {unit}")
        lines = Curves()
        for stretches, colour, width in (
            (view.logged, palette.FITTED_QUIET, 4.0),
            (view.cleaned, palette.CHOSEN, 1.8),
        ):
            for time, speed in thinned(stretches):
                # What jumps beyond the axis would otherwise stretch the first look at the chart.
                lines.add(time, np.minimum(speed, self._y.end), colour, palette.SOLID, width)
        replace(self._lines, lines.columns)
        replace(self._points, self._marks(view))
        replace(self._hover, _places(view))

    def _marks(self, view: RideView) -> Columns:
        points = Points()
        time, speed = view.glitches
        step = max(len(time) // _MOST_GLITCHES, 1)
        for moment, value in zip(time[::step], speed[::step], strict=True):
            points.add(moment, min(value, self._y.end), marker="x", size=9, line=palette.LIMIT)
        legend = {"align": "left", "dx": 4}
        points.add(0, self._y.end, text="without glitches", colour=palette.CHOSEN, dy=12, **legend)
        if len(time):
            points.add(0, self._y.end, text="✕ left out", colour=palette.LIMIT, dy=30, **legend)
        if view.held is not None:
            begin, end, held = view.held
            # Beside an edge of the chart the words stand on the side that is free.
            share = 0.5 * (begin + end) / max(float(time[-1]) for time, _ in view.logged)
            points.add(
                0.5 * (begin + end),
                held,
                marker="inverted_triangle",
                size=11,
                line=palette.BEST,
                fill=palette.BEST,
                text=f"held {view.speed_units.one(held)}",
                colour=palette.BEST,
                ground=palette.VEIL,
                align="left"
                if share < _NEAR_EDGE
                else "right"
                if share > 1 - _NEAR_EDGE
                else "center",
                dy=-16,
            )
        return points.columns


def thinned(
    stretches: tuple[tuple[FloatArray, FloatArray], ...],
) -> list[tuple[FloatArray, FloatArray]]:
    """Fewer points that look the same: first, lowest, highest and last of each piece of time.

    Args:
        stretches (tuple of (array, array)): Time and speed of each stretch.

    Returns: list of (array, array): As many stretches.
    """
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


def _places(view: RideView) -> Columns:
    places = HoverPlaces()
    share = max(_PLACES_TO_HOVER // len(view.cleaned), 1)
    for time, speed in view.cleaned[:_PLACES_TO_HOVER]:
        for row in np.unique(np.linspace(0, len(time) - 1, share + 1).astype(int)):
            places.add(
                time[row], speed[row], f"{time[row]:.1f} min", view.speed_units.both(speed[row])
            )
    return places.columns


def describe(view: RideView) -> str:
    """Say in plain sentences what the chart shows."""
    minutes = sum(float(time[-1] - time[0]) for time, _ in view.cleaned)
    many = len(view.cleaned)
    left_out = len(view.glitches[0])
    sentences = [
        f"Speed over time, from the log: {minutes:.0f} min in {many} unbroken "
        f"stretch{'es' if many > 1 else ''}, up to {view.speed_units.one(view.fastest)}; "
        f"{left_out or 'no'} reading{'s' if left_out != 1 else ''} left out as glitches."
    ]
    if view.held is not None:
        sentences.append(
            f"The highest speed that was held is {view.speed_units.one(view.held[2])}, at "
            f"{view.held[0]:.1f} min."
        )
    return " ".join(sentences)
