"""Map of the pairs: which of them the chain reaches, front teeth across, rear teeth up.

A bike has more rear sprockets than front ones, and a phone is higher than it is wide.
"""

from dataclasses import dataclass, field
from typing import NamedTuple

import numpy as np
from bokeh.core.properties import field as column
from bokeh.core.properties import value
from bokeh.models import ColumnDataSource, FixedTicker
from bokeh.palettes import Colorblind8
from numpy.typing import NDArray

from explorer.calc.chain.chain_fit import Verdict
from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    Pair,
    add_legend,
    fix_ends,
    point_key,
    replace,
    set_if_changed,
)
from explorer.charts.rows import Columns, add_hover, decimals, hover_html

_ROSE = Colorblind8[6]
"""The last of the hues of `palette`, for the one verdict that the other charts do not have."""

_ROW, _BARE_ROW = 34, 18
"""Height of a row with its margins under the marks, and of one without [px]."""

_LIFT = 0.2
"""How far a mark stands above the middle of its cell, for the margin under it [rows]."""

_AROUND = 150
"""Height of axes, title and legend [px]."""

_MOST_WRITTEN = 10
"""With more columns than this, the margins run into each other on a phone."""


class Sign(NamedTuple):
    """How a verdict is drawn: Bokeh's marker, its fill and a word say the same."""

    marker: str
    colour: str
    word: str


SIGNS: dict[int, Sign] = {
    Verdict.FITS: Sign("circle", palette.CHOSEN, "fits"),
    Verdict.CLOSE: Sign("diamond", palette.POWER_BAND, "close"),
    Verdict.TOO_SHORT: Sign("triangle", palette.LIMIT_FILL, "chain too short"),
    Verdict.TOO_LONG: Sign("inverted_triangle", _ROSE, "chain too long"),
    Verdict.NO_CHAIN: Sign("x", palette.INK, "no chain"),
    -1: Sign("asterisk", palette.PAIR, "not known"),
}
"""Sign of every verdict code; -1 where a measurement is missing."""


@dataclass(frozen=True, eq=False)
class FitMapView:
    """All that the map shows.

    Attributes:
        fronts, rears: Teeth of rows and columns [count].
        verdict (array of int (fronts, rears)): Codes of `SIGNS` [-].
        margin (array (fronts, rears)): Room left at the nearer end of the adjuster; negative by
            what is missing, NaN where nothing can be said [unit].
        notes (sequence of str (fronts × rears,)): Hover text of each pair, row by row.
        decimals: Decimals with which the margin is written.
        chain: Which chain the map is for, in a few words.
        left_out: Rear teeth that go with none of the front ones and are not shown [count].
        left_out_verdict (array of int): Codes of their pairs [-].
    """

    fronts: NDArray[np.int_]
    rears: NDArray[np.int_]
    verdict: NDArray[np.int_]
    margin: NDArray[np.float64]
    notes: tuple[str, ...]
    chosen: Pair
    fitted: Pair
    unit: str = "mm"
    decimals: int = 0
    chain: str = "your chain"
    left_out: NDArray[np.int_] = field(default_factory=lambda: np.empty(0, int))
    left_out_verdict: NDArray[np.int_] = field(default_factory=lambda: np.empty(0, int))

    def __post_init__(self) -> None:
        shape = (len(self.fronts), len(self.rears))
        if np.shape(self.verdict) != shape or np.shape(self.margin) != shape:
            raise ValueError("The map needs one verdict and one margin for every pair.")
        if len(self.notes) != shape[0] * shape[1]:
            raise ValueError("The map needs one note for every pair.")


class FitMapChart(Chart):
    """The figure and its update."""

    def build(self, view: FitMapView) -> None:
        self._pairs, self._frames = (
            ColumnDataSource({name: [] for name in ("x", "y", "colour", *others)})
            for others in (("marker", "text", "note"), ("dash", "width"))
        )
        edge = {"line_color": palette.INK, "line_width": 1.2}
        self._keys = [
            point_key(
                self.figure, sign.word, 0, -99, marker=sign.marker, size=14,
                fill_color=sign.colour, **edge,
            )
            for sign in SIGNS.values()
        ]  # fmt: skip
        add_legend(self.figure, self._keys)
        self.figure.above[0].ncols = 2  # one row of all would be wider than a phone
        self.figure.rect(
            "x", "y", width=0.92, height=0.98, source=self._frames, fill_color=None,
            line_color="colour", line_dash=column("dash"), line_width="width",
        )  # fmt: skip
        marks = self.figure.scatter(
            "x",
            "y",
            source=self._pairs,
            marker=column("marker"),
            size=12,
            fill_color="colour",
            **edge,
        )
        self.figure.text(
            "x", "y", "text", source=self._pairs, y_offset=14, text_align="center",
            text_baseline="middle", text_color=palette.INK, text_font=value(palette.FONT),
            text_font_size=value("12px"),
        )  # fmt: skip
        add_hover(self.figure, marks, hover_html("@note"))
        self.figure.grid.visible = False
        self.figure.xaxis[0].axis_label = "Front teeth"
        self.figure.yaxis[0].axis_label = "Rear teeth"

    def paint(self, view: FitMapView) -> None:
        ranges = (
            (self.figure.x_range, self.figure.xaxis[0], view.fronts),
            (self.figure.y_range, self.figure.yaxis[0], view.rears),
        )
        for axis_range, axis, teeth in ranges:
            fix_ends(axis_range, float(min(teeth)) - 0.6, float(max(teeth)) + 0.6)
            set_if_changed(axis, ticker=_ticks(axis, teeth))
        columns = _pair_columns(view)
        row = _ROW if any(columns["text"]) else _BARE_ROW
        set_if_changed(self.figure, height=_AROUND + row * len(view.rears))
        self.caption(f"Adjuster left, {view.unit}\n{view.chain}")
        present = set(np.unique(view.verdict).tolist())
        for code, key in zip(SIGNS, self._keys, strict=True):
            set_if_changed(key, visible=int(code) in present)
        replace(self._pairs, columns)
        replace(self._frames, _frame_columns(view))

    def pair_at(self, x: float, y: float) -> Pair | None:
        """The pair of the tapped cell; None beside the map."""
        front, rear = round(x), round(y)
        known = front in self._view.fronts and rear in self._view.rears
        return (front, rear) if known else None


def _ticks(axis, teeth: NDArray[np.int_]) -> FixedTicker:
    """The axis's own ticker if it has these ticks, else a new one."""
    wanted = [int(tooth) for tooth in teeth]
    if isinstance(axis.ticker, FixedTicker) and list(axis.ticker.ticks) == wanted:
        return axis.ticker
    return FixedTicker(ticks=wanted)


def _pair_columns(view: FitMapView) -> Columns:
    front, rear = np.meshgrid(view.fronts, view.rears, indexing="ij")
    signs = [SIGNS[int(code)] for code in np.ravel(view.verdict)]
    written = len(view.fronts) <= _MOST_WRITTEN
    return {
        "x": decimals(front.ravel()),
        "y": decimals(rear.ravel() + _LIFT),
        "marker": [sign.marker for sign in signs],
        "colour": [sign.colour for sign in signs],
        "text": [
            _margin_text(margin, view.decimals) if written else ""
            for margin in np.ravel(view.margin)
        ],
        "note": list(view.notes),
    }


def _frame_columns(view: FitMapView) -> Columns:
    return {
        "x": [view.fitted[0], view.chosen[0]],
        "y": [view.fitted[1], view.chosen[1]],
        "colour": [palette.FITTED, palette.CHOSEN],
        "dash": ["4 3", "solid"],
        "width": [2.0, 3.0],
    }


def _margin_text(margin: float, digits: int) -> str:
    if not np.isfinite(margin):
        return ""
    # No sign where something is left: on a phone the columns are narrow.
    said = f"{margin:.{digits}f}"
    return said.replace("-", "−") if float(said) else "0"


def describe(view: FitMapView) -> str:
    """How many pairs each verdict has, and which front sprocket takes which rear ones."""
    pairs = np.concatenate([view.verdict.ravel(), view.left_out_verdict.ravel()])
    codes, numbers = np.unique(pairs, return_counts=True)
    counted = ", ".join(
        f"{number} {SIGNS[int(code)].word}" for code, number in zip(codes, numbers, strict=True)
    )
    sentences = [f"Computed for {pairs.size} pairs with {view.chain}: {counted}."]
    for row, front in enumerate(view.fronts):
        rears = view.rears[view.verdict[row] == Verdict.FITS]
        if rears.size:
            sentences.append(f"Front {front}: fits with rear {_runs(rears)}.")
    if view.left_out.size:
        sentences.append(
            f"Not shown: rear {_runs(view.left_out)}, which fit with none of the front ones."
        )
    return " ".join(sentences)


def _runs(teeth: NDArray[np.int_]) -> str:
    """Teeth as ranges, such as "44 to 48, 50"."""
    breaks = np.flatnonzero(np.diff(teeth) > 1) + 1
    parts = np.split(teeth, breaks)
    return ", ".join(
        f"{part[0]}" if part.size == 1 else f"{part[0]} to {part[-1]}" for part in parts
    )
