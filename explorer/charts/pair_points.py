"""Charts with a point for every pair of sprockets: which chain goes round, what a tap means."""

import numpy as np
from bokeh.core.properties import field, value
from bokeh.models import ColumnDataSource, GlyphRenderer, LegendItem
from numpy.typing import NDArray

from explorer.calc.chain.chain_choice import Reach
from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray

_NAMES = {
    Reach.YOURS: "● your chain",
    Reach.ANOTHER: "○ another chain",
    Reach.NONE: "✕ none",
    Reach.UNKNOWN: "* not known",
}
_MARKERS = {Reach.NONE: "x", Reach.UNKNOWN: "asterisk"}

REACH = 0.06
"""Farthest that a tap may be from a point, as a share of the chart [-]."""
SAME_PLACE = 0.001
"""Points whose distances from a tap differ by no more lie on top of each other [-]."""


class PairChart(Chart):
    """A chart with a point for every pair."""

    def add_pairs(self, size: int, *columns: str) -> GlyphRenderer:
        """Add the points, with further columns for hovering, and their entry for the legend."""
        names = ("x", "y", "front", "rear", "note", "marker", "edge", "fill", *columns)
        self._pairs = ColumnDataSource({name: [] for name in names})
        points = self.figure.scatter(
            "x", "y", source=self._pairs, size=size, fill_color="fill", line_color="edge",
            line_width=1.0, marker=field("marker"),
        )  # fmt: skip
        self._pairs_key = LegendItem(label=value(""), renderers=[points])
        return points


def tapped(across: FloatArray, up: FloatArray, now: int | None) -> int | None:
    """Index of the point nearest to a tap, None for a tap into the empty.

    Of points on top of each other, tapping again takes the next.

    Args:
        across, up (array (points,)): Distance of each point from the tap, as a share of the chart's
            width and height [-].
        now: Index of the point picked already.

    >>> tapped(np.array([0.01, 0.01, 0.4]), np.zeros(3), 0)
    1
    """
    distance = np.hypot(across, up)
    if not distance.size or distance.min() > REACH:
        return None
    same_place = np.flatnonzero(distance <= distance.min() + SAME_PLACE).tolist()
    turn = same_place.index(now) + 1 if now in same_place else 0
    return same_place[turn % len(same_place)]


def chain_marks(reach: NDArray[np.int_]) -> dict[str, list[str]]:
    """Marker, edge and fill of each pair.

    >>> chain_marks(np.array([Reach.YOURS, Reach.NONE]))["marker"]
    ['circle', 'x']
    """
    edges = {Reach.NONE: palette.LIMIT, Reach.YOURS: palette.PAPER}
    return {
        "marker": [_MARKERS.get(each, "circle") for each in reach],
        "edge": [edges.get(each, palette.PAIR) for each in reach],
        "fill": [palette.PAPER if each == Reach.ANOTHER else palette.PAIR for each in reach],
    }


def chain_key(reach: NDArray[np.int_]) -> str:
    """How many pairs each chain goes round, beside their marks; what there is none of is left out.

    >>> chain_key(np.array([Reach.YOURS, Reach.NONE, Reach.NONE]))
    '1 ● your chain, 2 ✕ none'
    """
    counts = ((int(np.sum(reach == each)), name) for each, name in _NAMES.items())
    return ", ".join(f"{count} {name}" for count, name in counts if count)


def chain_counts(reach: NDArray[np.int_]) -> str:
    """The same as a sentence without its full stop.

    >>> chain_counts(np.array([Reach.YOURS, Reach.NONE, Reach.NONE]))
    'Your chain goes round 1 of 3 pairs, only another chain round 0, none round 2'
    >>> chain_counts(np.array([Reach.YOURS, Reach.UNKNOWN, Reach.UNKNOWN]))
    'Your chain goes round 1 of 3 pairs; not known for 2'
    """
    yours, another, none, unknown = (int(np.sum(reach == each)) for each in Reach)
    said = f"Your chain goes round {yours} of {len(reach)} pairs"
    if another or none or not unknown:
        said += f", only another chain round {another}, none round {none}"
    return f"{said}; not known for {unknown}" if unknown else said
