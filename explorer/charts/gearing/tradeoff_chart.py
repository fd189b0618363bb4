"""Trade-off chart: every pair of sprockets a point, a speed against acceleration."""

from dataclasses import dataclass, field
from html import escape
from typing import Literal

import numpy as np
from bokeh.core.properties import value
from bokeh.models import ColumnDataSource, LegendItem
from numpy.typing import NDArray

from explorer.charts import palette
from explorer.charts.drawing import (
    FloatArray,
    Pair,
    add_legend,
    replace,
    require_finite,
    set_if_changed,
)
from explorer.charts.pair_points import PairChart, chain_counts, chain_key, chain_marks, tapped
from explorer.charts.rows import Columns, Points, add_hover, decimals, hover_html
from explorer.study.wording import SpeedUnits

_NEAR_EDGE = 0.1
"""Within this share of the upper or lower edge a label stands beside its marker."""


@dataclass(frozen=True, eq=False)
class TradeoffView:
    """All that the trade-off chart shows; arrays of shape (pairs,).

    Attributes:
        speed: What the measure is set against; NaN where a pair holds none [unit of speed].
        measure: The measure of acceleration; NaN where a pair never gets there [measure_unit].
        on_best_line: Whether no other pair is better in both.
        measure_name: Short name as in mid-sentence, such as "steepest slope" or "0 to 60 km/h".
        better ("lower" or "higher"): Which values of the measure are the better ones.
        speed_name: What the speeds are, such as "Top speed".
        notes: One more line for hovering for each pair, such as whether it fits the chain; or none.
        reach: Which chain goes round, codes of `chain_choice.Reach`; None: nobody has measured.
        offered: Pairs among which somebody chooses.
    """

    front: NDArray[np.int_]
    rear: NDArray[np.int_]
    speed: FloatArray
    measure: FloatArray
    on_best_line: NDArray[np.bool_]
    chosen: Pair
    fitted: Pair
    measure_name: str
    measure_unit: str
    better: Literal["lower", "higher"]
    decimals: int = 1
    speed_name: str = "Top speed"
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)
    notes: tuple[str, ...] = ()
    reach: NDArray[np.int_] | None = None
    offered: tuple[Pair, ...] = ()

    def __post_init__(self) -> None:
        require_finite(front=self.front, rear=self.rear)
        columns = [self.front, self.rear, self.speed, self.measure, self.on_best_line]
        if len({len(column) for column in [*columns, self.notes or self.front]}) != 1:
            raise ValueError("The trade-off chart needs every column to have one value a pair.")

    @property
    def drawn(self) -> NDArray[np.int_]:
        """Indices of the pairs with a place on the chart, for which both numbers exist."""
        return np.flatnonzero(np.isfinite(self.speed) & np.isfinite(self.measure))

    def index(self, pair: Pair) -> int | None:
        """Index of a pair with a place on the chart; None where it has none."""
        here = (self.front == pair[0]) & (self.rear == pair[1])
        found = np.intersect1d(np.flatnonzero(here), self.drawn)
        return int(found[0]) if found.size else None

    def measure_text(self, value: float) -> str:
        """A value of the measure with its unit."""
        return f"{value:.{self.decimals}f} {self.measure_unit}"


class TradeoffChart(PairChart):
    """The figure and its update."""

    def build(self, view: TradeoffView) -> None:
        pairs = self.add_pairs(7, "ratio", "other", "best")
        self._best = ColumnDataSource({"x": [], "y": []})
        green = {"source": self._best, "line_color": palette.BEST}
        line = self.figure.line("x", "y", line_width=2.0, **green)
        rings = self.figure.scatter("x", "y", size=11, fill_color=None, line_width=1.5, **green)
        best_key = LegendItem(label=value("best compromise"), renderers=[line, rings])
        add_legend(self.figure, [self._pairs_key, best_key])
        # Side by side they are too wide for a phone.
        self.figure.legend[0].update(ncols=1, spacing=2)
        self.draw_with(Points)
        self._hover = add_hover(self.figure, pairs, _tooltip(view), limit=3)

    def paint(self, view: TradeoffView) -> None:
        drawn = view.drawn
        unit = view.speed_units.unit
        quantity = f"{view.measure_name}, {view.measure_unit}"
        if drawn.size:
            speeds, measures = view.speed[drawn], view.measure[drawn]
            self._x.show(float(speeds.min()), float(speeds.max()), unit)
            self._y.show(float(measures.min()), float(measures.max()), quantity)
        arrow = "↓" if view.better == "lower" else "↑"
        title = f"{quantity[:1].upper()}{quantity[1:]} (better {arrow})"
        self.caption(title, f"{view.speed_name}, {unit} (better →)")
        set_if_changed(self._pairs_key, label=value(_pairs_in_words(view)))
        set_if_changed(self._hover, tooltips=_tooltip(view))
        replace(self._pairs, self._pair_columns(view))
        best = drawn[np.asarray(view.on_best_line, bool)[drawn]]
        best = best[np.argsort(view.speed[best])]
        replace(self._best, {"x": decimals(view.speed[best]), "y": decimals(view.measure[best])})
        self.show(self._marks(view))

    @staticmethod
    def _pair_columns(view: TradeoffView) -> Columns:
        drawn = view.drawn
        front, rear = view.front[drawn], view.rear[drawn]
        best = np.asarray(view.on_best_line, bool)[drawn]
        reach = np.zeros(len(view.front), int) if view.reach is None else view.reach
        return {
            "x": decimals(view.speed[drawn]),
            "y": decimals(view.measure[drawn]),
            "front": front.tolist(),
            "rear": rear.tolist(),
            "ratio": decimals(rear / front),
            "other": decimals(view.speed[drawn] * view.speed_units.other_factor),
            "best": ["on the best-compromise line" if on else "" for on in best],
            "note": [view.notes[i] if view.notes else "" for i in drawn],
            **chain_marks(reach[drawn]),
        }

    def _marks(self, view: TradeoffView) -> Points:
        points = Points()
        same = view.chosen == view.fitted
        named = {"chosen": view.chosen} if same else {"fitted": view.fitted, "chosen": view.chosen}
        places = {name: view.index(pair) for name, pair in named.items()}
        places = {name: index for name, index in places.items() if index is not None}
        heights = {name: view.measure[index] for name, index in places.items()}
        for name, index in places.items():
            pair = named[name]
            chosen = name == "chosen"
            x, y = view.speed[index], view.measure[index]
            # Labels run towards the middle of the plot; the higher one goes up, the other down.
            share = (y - self._y.start) / (self._y.end - self._y.start)
            # In one line, what is both would be wider than half a plot on a phone.
            label, room = ("chosen = fitted\n", 24) if same else (f"{name} ", 15)
            offset = -room if y >= max(heights.values()) else room
            rightward = x < 0.5 * (self._x.start + self._x.end)
            way = {"align": "left", "dx": 12} if rightward else {"align": "right", "dx": -12}
            marker, size = ("diamond", 20) if chosen else ("square", 13)
            fill = palette.CHOSEN if chosen else palette.FITTED
            colour = palette.CHOSEN if chosen else palette.INK_QUIET
            look = {"marker": marker, "size": size, "fill": fill, "line": palette.PAPER}
            text = {"text": f"{label}{pair[0]}/{pair[1]}", "colour": colour}
            height = offset if _NEAR_EDGE < share < 1 - _NEAR_EDGE else 0
            points.add(x, y, ground=palette.PAPER, dy=height, **look, **text, **way)
        for pair in view.offered:
            index, marked = view.index(pair), pair in named.values()
            if index is not None:
                size, text = (26, "") if marked else (15, f"{pair[0]}/{pair[1]}")
                look = {"fill": palette.CLEAR, "ground": palette.PAPER, "align": "center"}
                place = view.speed[index], view.measure[index]
                share = (place[1] - self._y.start) / (self._y.end - self._y.start)
                above = share < 1 - _NEAR_EDGE
                points.add(*place, size=size, text=text, dy=-17 if above else 34, **look)
        return points

    def pair_at(self, x: float, y: float) -> Pair | None:
        """The pair nearest to a tap."""
        view = self._view
        drawn = view.drawn
        across = (view.speed[drawn] - x) / (self._x.end - self._x.start)
        up = (view.measure[drawn] - y) / (self._y.end - self._y.start)
        chosen = view.index(view.chosen)
        now = None if chosen is None else int(np.searchsorted(drawn, chosen))
        if (nearest := tapped(across, up, now)) is None:
            return None
        return int(view.front[drawn[nearest]]), int(view.rear[drawn[nearest]])


def _pairs_in_words(view: TradeoffView) -> str:
    count, drawn = len(view.front), view.drawn.size
    said = f"{count} pairs" if drawn == count else f"{drawn} of {count} pairs"
    return said if view.reach is None else f"{said}: {chain_key(view.reach)}"


def _tooltip(view: TradeoffView) -> str:
    """Hover text of a pair; Bokeh escapes the values that it fills in."""
    units = view.speed_units
    digits = "0." + "0" * view.decimals if view.decimals else "0"
    return hover_html(
        "<b>front @front, rear @rear</b>"
        "<div>final drive ratio @ratio{0.00}</div>"
        f"<div>{escape(view.speed_name.lower())} @x{{0}} {escape(units.unit)}"
        f" · @other{{0}} {escape(units.other_unit)}</div>"
        f"<div>{escape(view.measure_name)}: @y{{{digits}}} {escape(view.measure_unit)}</div>"
        "<div>@best</div><div>@note</div>"
    )


def describe(view: TradeoffView) -> str:
    """Both gearings in both measures, and how many pairs there are."""
    count, missing = len(view.front), len(view.front) - view.drawn.size
    best = int(np.sum(np.asarray(view.on_best_line, bool)[view.drawn]))
    left_out = f", {missing} of them without a result and not drawn" if missing else ""
    sentences = [
        f"{count} pairs{left_out}; {best} "
        f"{'is the best compromise' if best == 1 else 'are best compromises'}.",
        f"Chosen {_pair_in_words(view, view.chosen)}; fitted {_pair_in_words(view, view.fitted)}.",
    ]
    if view.reach is not None:
        sentences.append(f"{chain_counts(view.reach)}.")
    if view.offered:
        offered = "; ".join(_pair_in_words(view, pair) for pair in view.offered)
        sentences.append(f"To choose among: {offered}.")
    index = view.index(view.chosen)
    if index is not None:
        place = "on" if view.on_best_line[index] else "not on"
        sentences.append(f"The chosen pair is {place} the best-compromise line.")
    return " ".join(sentences)


def _pair_in_words(view: TradeoffView, pair: Pair) -> str:
    index = view.index(pair)
    if index is None:
        return f"{pair[0]}/{pair[1]}: no result"
    speed = view.speed_units.one(view.speed[index])
    measure = view.measure_text(view.measure[index])
    return f"{pair[0]}/{pair[1]}: {view.speed_name.lower()} {speed}, {view.measure_name} {measure}"
