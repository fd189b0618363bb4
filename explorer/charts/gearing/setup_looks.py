"""How up to four set-ups are told apart on every chart: letter, colour, dash, marker, pattern."""

from typing import NamedTuple

from explorer.charts import palette


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


def named(look: Look, pair: str) -> str:
    """Letter and pair, such as "B 12/50"; the first one says that it is fitted."""
    return f"{look.letter} {pair}" + (" fitted" if look is LOOKS[0] else "")
