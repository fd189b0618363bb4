"""How up to four set-ups are told apart on every chart: colour, dash, marker, pattern."""

from typing import NamedTuple

from explorer.charts import palette


class Look(NamedTuple):
    """One set-up's look; its name always stands beside the colour.

    Attributes:
        colour, quiet, dash, marker, hatch: As Bokeh names them; quiet is a ground on which
            the ink is readable.
        width: Of its lines [px].
    """

    colour: str
    quiet: str
    dash: str
    marker: str
    hatch: str
    width: float


LOOKS = (
    Look(palette.FITTED, palette.FITTED_QUIET, palette.FITTED_DASH, "square", " ", 2.0),
    Look(palette.CHOSEN, palette.CHOSEN_QUIET, palette.SOLID, "diamond", "/", 3.0),
    Look(palette.THIRD, palette.THIRD_QUIET, "12 3 3 3", "triangle", "\\", 3.0),
    Look(palette.BEST, palette.FOURTH_QUIET, "3 3", "circle", "x", 3.0),
)
"""The fitted set-up first, the quiet one of all."""
