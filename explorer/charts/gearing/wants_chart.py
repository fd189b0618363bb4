"""Score of every pair against its ratio, the short list marked; a tap asks about a pair."""

from dataclasses import dataclass

import numpy as np
from bokeh.core.properties import value
from numpy.typing import NDArray

from explorer.charts import palette
from explorer.charts.drawing import (
    FloatArray,
    Pair,
    add_legend,
    fix_ends,
    replace,
    set_if_changed,
)
from explorer.charts.pair_points import PairChart, chain_counts, chain_key, chain_marks, tapped
from explorer.charts.rows import Points, add_hover, decimals, hover_html, inward

_OFFSETS = (-26, 30, 50, 70)
"""Labels of the short list, one above and the others below: their pairs lie close together [px]."""

_BESIDE = 0.12
"""Pairs nearer to the fitted one have names that would meet its own [share of the axis]."""

_TOOLTIP = hover_html(
    "<b>front @front, rear @rear</b><div>final drive ratio @x{0.00}</div>"
    "<div>score @y{0.00}</div><div>@note</div><div>tap: why not this one?</div>"
)


@dataclass(frozen=True, eq=False)
class WantsView:
    """All that the chart shows; arrays of shape (pairs,).

    Attributes:
        score: 0 to 1 [-].
        reach: Which chain goes round, codes of `chain_choice.Reach`.
        notes: One line about each pair's chain.
        listed (tuple of (front, rear)): The short list without the fitted pair, best first.
        asked (tuple (front, rear) or None): The pair asked about last.
    """

    front: NDArray[np.int_]
    rear: NDArray[np.int_]
    ratio: FloatArray
    score: FloatArray
    reach: NDArray[np.int_]
    notes: tuple[str, ...]
    fitted: Pair
    listed: tuple[Pair, ...]
    asked: Pair | None = None

    def index(self, pair: Pair) -> int:
        """Index of a pair that is among those shown."""
        return int(np.flatnonzero((self.front == pair[0]) & (self.rear == pair[1]))[0])


class WantsChart(PairChart):
    """The figure and its update."""

    def build(self, view: WantsView) -> None:
        across = "Final drive ratio (taller ←, → shorter)"
        self.caption("Score of every pair (better ↑)", across)
        fix_ends(self.figure.y_range, 0.0, 1.15)
        pairs = self.add_pairs(8)
        add_legend(self.figure, [self._pairs_key])
        self.draw_with(Points)
        add_hover(self.figure, pairs, _TOOLTIP, limit=3)

    def paint(self, view: WantsView) -> None:
        self._x.show(float(view.ratio.min()), float(view.ratio.max()), "ratio")
        set_if_changed(self._pairs_key, label=value(chain_key(view.reach)))
        places = {"x": decimals(view.ratio), "y": decimals(view.score)}
        teeth = {"front": view.front.tolist(), "rear": view.rear.tolist()}
        notes = {"note": list(view.notes)}
        replace(self._pairs, places | teeth | notes | chain_marks(view.reach))
        points = Points()
        named = {pair: f"{number}. " for number, pair in enumerate(view.listed, 1)}
        if view.asked is not None and view.asked not in named and view.asked != view.fitted:
            self._mark(points, view.asked, "? ", palette.LIMIT, "circle", 26)
        # The names of pairs beside the fitted one lead away from its own.
        beside = {pair: self._share(pair) - self._share(view.fitted) for pair in named}
        beside = {pair: apart for pair, apart in beside.items() if abs(apart) < _BESIDE}
        way = "left" if beside and max(beside.values()) < 0 else "right"
        self._mark(points, view.fitted, "fitted ", palette.FITTED, "square", -16, way)
        for number, (pair, name) in enumerate(named.items()):
            offset = _OFFSETS[number % len(_OFFSETS)]
            away = ("right" if beside[pair] < 0 else "left") if pair in beside else "center"
            self._mark(points, pair, name, palette.CHOSEN, "diamond", offset, away)
        self.show(points)

    def _share(self, pair: Pair) -> float:
        """How far along the axis a pair stands [0 to 1]."""
        ratio = self._view.ratio[self._view.index(pair)]
        return (ratio - self._x.start) / (self._x.end - self._x.start)

    def _mark(
        self,
        points: Points,
        pair: Pair,
        name: str,
        colour: str,
        marker: str,
        offset: int,
        align: str = "center",
    ) -> None:
        index, share = self._view.index(pair), self._share(pair)
        x, y = self._view.ratio[index], self._view.score[index]
        points.add(
            x, y, marker=marker, size=16, fill=colour, line=palette.PAPER,
            text=f"{name}{pair[0]}/{pair[1]}", colour=colour, ground=palette.VEIL,
            align=inward(share, 0.15, align), dy=offset,
        )  # fmt: skip

    def pair_at(self, x: float, y: float) -> Pair | None:
        """The pair nearest to a tap."""
        view = self._view
        across = (view.ratio - x) / (self._x.end - self._x.start)
        asked = None if view.asked is None else view.index(view.asked)
        picked = tapped(across, (view.score - y) / 1.15, asked)
        return None if picked is None else (int(view.front[picked]), int(view.rear[picked]))


def describe(view: WantsView) -> str:
    """Score of the fitted pair and of the short list."""
    fitted = view.score[view.index(view.fitted)]
    listed = [
        f"{pair[0]}/{pair[1]} scores {view.score[view.index(pair)]:.2f}" for pair in view.listed
    ]
    best = f"; {'; '.join(listed)}" if listed else ""
    return (
        f"Of {len(view.front)} pairs the fitted {view.fitted[0]}/{view.fitted[1]} "
        f"scores {fitted:.2f}{best}. {chain_counts(view.reach)}."
    )
