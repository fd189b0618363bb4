"""Trade-off chart: every pair of sprockets a point, a speed against acceleration."""

from collections.abc import Callable
from dataclasses import dataclass, field
from html import escape
from typing import Literal

import numpy as np
from bokeh.core.properties import field as column
from bokeh.core.properties import value
from bokeh.events import Tap
from bokeh.models import ColumnDataSource, HoverTool, LegendItem
from numpy.typing import NDArray

from explorer.charts import palette
from explorer.charts.chain_marks import chain_counts, chain_key, chain_marks
from explorer.charts.drawing import (
    HOVER_STYLE,
    Chart,
    Columns,
    FloatArray,
    Points,
    add_legend,
    decimals,
    replace,
    require_finite,
    set_if_changed,
)
from explorer.charts.tapping import tapped
from explorer.study.wording import SpeedUnits

Pair = tuple[int, int]
"""Front and rear teeth."""


_NEAR_EDGE = 0.1
"""Within this share of the upper or lower edge a label stands beside its marker."""


@dataclass(frozen=True, eq=False)
class TradeoffView:
    """All that the trade-off chart shows.

    Attributes:
        speed (array (pairs,)): What the measure is set against; NaN where the pair cannot hold any
            speed [unit of speed].
        measure (array (pairs,)): The measure of acceleration; NaN where the pair never gets there
            [measure_unit].
        on_best_line (array of bool (pairs,)): Whether no other pair is better in both.
        measure_name: Short name as in mid-sentence, such as "steepest slope" or "0 to 60 km/h".
        better ("lower" or "higher"): Which values of the measure are the better ones.
        speed_name: What the speeds are, such as "Top speed".
        notes (sequence of str (pairs,) or empty): One more line for hovering, such as whether the
            pair fits the chain.
        reach (array of int (pairs,) or None): Which chain goes round, codes of
            `chain_choice.Reach`; None where nobody has measured.
        offered (sequence of tuple (front, rear)): Pairs among which somebody chooses, each with its
            name.
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


class TradeoffChart(Chart):
    """The figure and its update."""

    def __init__(self, view: TradeoffView, on_pick: Callable[[int, int], None]) -> None:
        self._on_pick = on_pick
        super().__init__()
        self._pairs = ColumnDataSource()
        self._best = ColumnDataSource()
        names = (
            "x",
            "y",
            "front",
            "rear",
            "ratio",
            "other",
            "best",
            "note",
            "marker",
            "edge",
            "fill",
        )
        replace(self._pairs, {name: [] for name in names})
        replace(self._best, {"x": [], "y": []})
        pairs = self.figure.scatter(
            "x", "y", source=self._pairs, size=7, fill_color="fill", line_color="edge",
            line_width=1.0, marker=column("marker"),
        )  # fmt: skip
        line = self.figure.line(
            "x", "y", source=self._best, line_color=palette.BEST, line_width=2.0
        )
        rings = self.figure.scatter(
            "x", "y", source=self._best, size=11, fill_color=None,
            line_color=palette.BEST, line_width=1.5,
        )  # fmt: skip
        self._pairs_key = LegendItem(label=value(""), renderers=[pairs])
        best_key = LegendItem(label=value("best compromise"), renderers=[line, rings])
        add_legend(self.figure, [self._pairs_key, best_key])
        # Side by side they are too wide for a phone.
        self.figure.legend[0].update(ncols=1, spacing=2)
        self._marks = Points.draw_on(self.figure)
        self._hover = HoverTool(renderers=[pairs], limit=3, visible=False)
        self.figure.add_tools(self._hover)
        # A tap with its place, not a selection of points: nothing needs clearing afterwards, so
        # nothing can echo, and a finger may miss the point by a little.
        self.figure.on_event(Tap, self._tapped)
        self.update(view)

    def update(self, view: TradeoffView) -> None:
        """Show another view in the same figure."""
        self._view = view
        drawn = view.drawn
        unit = view.speed_units.unit
        quantity = f"{view.measure_name}, {view.measure_unit}"
        if drawn.size:
            speeds, measures = view.speed[drawn], view.measure[drawn]
            self._x.show(float(speeds.min()), float(speeds.max()), unit)
            self._y.show(float(measures.min()), float(measures.max()), quantity)
        arrow = "↓" if view.better == "lower" else "↑"
        set_if_changed(
            self.figure.title, text=f"{quantity[:1].upper()}{quantity[1:]} (better {arrow})"
        )
        set_if_changed(self.figure.xaxis[0], axis_label=f"{view.speed_name}, {unit} (better →)")
        set_if_changed(self._pairs_key, label=value(_pairs_in_words(view)))
        set_if_changed(self._hover, tooltips=_tooltip(view))
        replace(self._pairs, self._pair_columns(view))
        best = drawn[np.asarray(view.on_best_line, bool)[drawn]]
        best = best[np.argsort(view.speed[best])]
        replace(self._best, {"x": decimals(view.speed[best]), "y": decimals(view.measure[best])})
        replace(self._marks, self._mark_columns(view))

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

    def _mark_columns(self, view: TradeoffView) -> Columns:
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
            points.add(
                x,
                y,
                marker="diamond" if chosen else "square",
                size=20 if chosen else 13,
                fill=palette.CHOSEN if chosen else palette.FITTED,
                line=palette.PAPER,
                text=f"{label}{pair[0]}/{pair[1]}",
                colour=palette.CHOSEN if chosen else palette.INK_QUIET,
                ground=palette.PAPER,
                align="left" if rightward else "right",
                dx=12 if rightward else -12,
                dy=offset if _NEAR_EDGE < share < 1 - _NEAR_EDGE else 0,
            )
        for pair in view.offered:
            index, marked = view.index(pair), pair in named.values()
            if index is not None:
                points.add(
                    view.speed[index],
                    view.measure[index],
                    size=26 if marked else 15,
                    fill=palette.CLEAR,
                    text="" if marked else f"{pair[0]}/{pair[1]}",
                    ground=palette.PAPER,
                    align="center",
                    dy=-17,
                )
        return points.columns

    def _tapped(self, event: Tap) -> None:
        """Hand the pair nearest to a tap to the callback; a tap into the empty does nothing."""
        view = self._view
        drawn = view.drawn
        if event.x is None or event.y is None:
            return
        across = (view.speed[drawn] - event.x) / (self._x.end - self._x.start)
        up = (view.measure[drawn] - event.y) / (self._y.end - self._y.start)
        chosen = view.index(view.chosen)
        now = None if chosen is None else int(np.searchsorted(drawn, chosen))
        nearest = tapped(across, up, now)
        if nearest is not None:
            picked = drawn[nearest]
            self._on_pick(int(view.front[picked]), int(view.rear[picked]))


def _pairs_in_words(view: TradeoffView) -> str:
    count, drawn = len(view.front), view.drawn.size
    said = f"{count} pairs" if drawn == count else f"{drawn} of {count} pairs"
    return said if view.reach is None else f"{said}: {chain_key(view.reach)}"


def _tooltip(view: TradeoffView) -> str:
    """Hover text of a pair; Bokeh escapes the values that it fills in."""
    units = view.speed_units
    digits = "0." + "0" * view.decimals if view.decimals else "0"
    return (
        f'<div style="{HOVER_STYLE}">'
        "<b>front @front, rear @rear</b>"
        "<div>final drive ratio @ratio{0.00}</div>"
        f"<div>{escape(view.speed_name.lower())} @x{{0}} {escape(units.unit)}"
        f" · @other{{0}} {escape(units.other_unit)}</div>"
        f"<div>{escape(view.measure_name)}: @y{{{digits}}} {escape(view.measure_unit)}</div>"
        "<div>@best</div><div>@note</div></div>"
    )


def describe(view: TradeoffView) -> str:
    """Say in plain sentences what the chart shows.

    Returns: Both gearings in both measures, and how many pairs there are.
    """
    count, missing = len(view.front), len(view.front) - view.drawn.size
    best = int(np.sum(np.asarray(view.on_best_line, bool)[view.drawn]))
    left_out = f", {missing} of them without a result and not drawn" if missing else ""
    sentences = [
        f"Computed for {count} pairs{left_out}; {best} "
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
