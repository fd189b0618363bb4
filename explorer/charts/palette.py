"""Colours, dashes and type sizes of every chart, so that they look like one set.

The hues are those of Okabe and Ito, told apart by readers with any of the usual kinds of colour
blindness (bokeh.palettes.Colorblind8). Lines of text use darker shades of them, for contrast on
white. Colour never stands alone: dashes, markers or a label say the same.
"""

from bokeh.palettes import Colorblind8

_BLUE, _, _YELLOW, _GREEN, _, _VERMILION, _, _ = Colorblind8

CHOSEN = _BLUE
"""The gearing under the sliders."""

CHOSEN_QUIET = "#7db3d6"
"""The same gearing where it is only the ground for something stronger."""

FITTED = "#737373"
"""The gearing fitted now, the baseline of every comparison."""

FITTED_QUIET = "#c4c4c4"

LIMIT = "#b34700"
"""What ends a curve: rev limit, grip, the lifting front wheel. Dashes tell them apart."""

LIMIT_FILL = _VERMILION

RESISTANCE = "#1f1f1f"

POWER_BAND = _YELLOW

BEST = "#007a59"
"""The best compromises: the green of the set, darkened."""

BEST_FILL = _GREEN

PAIR = "#9aa5ad"

THIRD = "#8f3f71"
"""A third set-up beside chosen and fitted: the rose of the set, darkened. A fourth is BEST."""

THIRD_QUIET = "#dcb0cb"
FOURTH_QUIET = "#8fcdb8"

INK = "#1f1f1f"
INK_QUIET = "#4d4d4d"
GRID = "#e8e8e8"
PAPER = "#ffffff"
CLEAR = "#ffffff00"
VEIL = "#ffffffcc"
"""Ground of a label that may lie on lines."""

SOLID = "solid"
FITTED_DASH = "7 4"
WANTED_DASH = "2 3"
"""Pull that the engine has but the ground does not take."""

GRIP_DASH = "9 3 2 3"
WHEEL_LIFT_DASH = "4 4"

FONT = "system-ui, 'Segoe UI', 'DejaVu Sans', sans-serif"
TITLE_SIZE = "15px"
AXIS_SIZE = "15px"
TICK_SIZE = "13px"
LABEL_SIZE = "14px"
"""Labels inside the plot."""
