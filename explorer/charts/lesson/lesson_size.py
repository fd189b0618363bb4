"""Makes any chart readable from the back row: larger letters, thicker lines, larger markers."""

from typing import Any

from bokeh.core.property.vectorization import Field, Value
from bokeh.models import LinearInterpolator
from bokeh.plotting import figure

FACTOR = 1.7

HEIGHT = 380
"""Of every chart on the stage, so that it fits a projector of 1280 × 720 with its controls [px]."""

LEAST_LETTERS = 24
"""Smallest letters [px]."""

_GREATEST = 1000.0
"""Beyond every line width, marker size and offset [px]."""


def enlarge(fig: figure) -> figure:
    """Enlarge the letters, lines and markers of a figure, and give it the stage's height.

    What comes from a column of data is enlarged on its way to the screen, so that a chart's
    `update` needs to know nothing about it.
    """
    fig.height = HEIGHT
    fig.toolbar_location = None
    fig.title.text_font_size = _larger(fig.title.text_font_size)
    for axis in (*fig.xaxis, *fig.yaxis):
        axis.axis_label_text_font_size = _larger(axis.axis_label_text_font_size)
        axis.major_label_text_font_size = _larger(axis.major_label_text_font_size)
        axis.axis_line_width = 2
    for legend in fig.legend:
        legend.label_text_font_size = _larger(legend.label_text_font_size)
    for renderer in fig.renderers:
        glyph = renderer.glyph
        for name in ("line_width", "size", "x_offset", "y_offset"):
            if name in glyph.properties():
                setattr(glyph, name, _scaled(getattr(glyph, name)))
        if "text_font_size" in glyph.properties():
            glyph.text_font_size = _larger(glyph.text_font_size)
    return fig


def _larger(size: Any) -> Any:
    """A size in pixels, such as "14px", enlarged."""
    plain = size.value if isinstance(size, Value) else size
    return f"{max(round(float(plain.removesuffix('px')) * FACTOR), LEAST_LETTERS)}px"


def _scaled(number: Any) -> Any:
    # A column's name alone is a plain text.
    column = number.field if isinstance(number, Field) else number
    if isinstance(column, str):
        stretch = LinearInterpolator(
            x=[-_GREATEST, _GREATEST], y=[-_GREATEST * FACTOR, _GREATEST * FACTOR]
        )
        return Field(column, stretch)
    plain = number.value if isinstance(number, Value) else number
    return plain * FACTOR
