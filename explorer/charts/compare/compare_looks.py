"""How up to four set-ups are told apart on every chart: letter, colour, dash, marker, pattern."""

import math
from collections.abc import Sequence
from typing import NamedTuple

from bokeh.core.properties import value
from bokeh.models import LegendItem
from bokeh.plotting import figure

from explorer.charts import palette
from explorer.charts.drawing import add_legend, set_if_changed


class Look(NamedTuple):
    """One set-up's look; the letter always stands beside the colour.

    Attributes:
        letter, colour, quiet, dash, marker, hatch: As Bokeh names them; quiet is a ground on which
            the ink is readable.
        width: Of its lines [px].
    """

    letter: str
    colour: str
    quiet: str
    dash: str
    marker: str
    hatch: str
    width: float


LOOKS = (
    Look("A", palette.FITTED, palette.FITTED_QUIET, palette.FITTED_DASH, "square", " ", 2.0),
    Look("B", palette.CHOSEN, palette.CHOSEN_QUIET, palette.SOLID, "diamond", "/", 3.0),
    Look("C", palette.THIRD, palette.THIRD_QUIET, "12 3 3 3", "triangle", "\\", 3.0),
    Look("D", palette.BEST, palette.FOURTH_QUIET, "3 3", "circle", "x", 3.0),
)
"""The fitted set-up first, the quiet one of all."""

_NOWHERE = [math.nan]
"""Place of what is seen in the legend only."""


def named(look: Look, pair: str) -> str:
    """Letter and pair, such as "B 12/50"; the first one says that it is fitted."""
    return f"{look.letter} {pair}" + (" fitted" if look is LOOKS[0] else "")


class LooksLegend:
    """Legend of the set-ups that are there; an entry without a set-up is hidden.

    Args:
        fig: Gets the legend above its plot.
    """

    def __init__(self, fig: figure) -> None:
        self._items = []
        for look in LOOKS:
            line = fig.line(
                _NOWHERE, _NOWHERE,
                line_color=look.colour, line_dash=look.dash, line_width=look.width,
            )  # fmt: skip
            mark = fig.scatter(
                _NOWHERE, _NOWHERE, marker=look.marker, size=9,
                fill_color=palette.PAPER, line_color=look.colour, line_width=2,
            )  # fmt: skip
            self._items.append(LegendItem(label=value(look.letter), renderers=[line, mark]))
        add_legend(fig, self._items)
        # Four names side by side are too wide for a phone.
        fig.legend[0].ncols = 2

    def show(self, pairs: Sequence[str]) -> None:
        """Name the set-ups by letter and pair."""
        for number, (item, look) in enumerate(zip(self._items, LOOKS, strict=True)):
            there = number < len(pairs)
            label = named(look, pairs[number]) if there else look.letter
            set_if_changed(item, visible=there, label=value(label))
