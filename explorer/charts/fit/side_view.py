"""Side view to scale: sprockets, chain and swingarm, of the fitted and of the chosen pair."""

from dataclasses import dataclass

import numpy as np
from bokeh.models import DataRange1d
from numpy.typing import NDArray

from explorer.charts import palette
from explorer.charts.drawing import (
    Curves,
    Points,
    add_setup_legend,
    new_figure,
    replace,
    set_if_changed,
)

HEIGHT = 360
"""Height of the drawing [px]."""

_CIRCLE_POINTS = 49


@dataclass(frozen=True, eq=False)
class SideSetup:
    """One pair of sprockets with its chain.

    Attributes:
        front_radius, rear_radius: Radii of the pitch circles [unit of the drawing].
        axle: Rear axle, to the rear of the pivot and above it [unit of the drawing].
        chain_x, chain_y (array (points,)): The chain as a closed line [unit of the drawing].
    """

    front: int
    rear: int
    front_radius: float
    rear_radius: float
    axle: tuple[float, float]
    chain_x: NDArray[np.float64]
    chain_y: NDArray[np.float64]


@dataclass(frozen=True, eq=False)
class SideView:
    """All that the drawing shows.

    Attributes:
        shaft: Output shaft, to the rear of the pivot and above it [unit].
        fitted, chosen: The pair on the motorcycle now, and the one to be fitted.
        reach: Left, right, lower and upper end of everything over the whole travel, so that the
            drawing stands still while the wheel moves [unit].
    """

    shaft: tuple[float, float]
    fitted: SideSetup
    chosen: SideSetup
    reach: tuple[float, float, float, float]
    unit: str = "mm"


class SideViewChart:
    """The figure, built once, and its update.

    Attributes:
        figure: The figure; one unit across is as long as one unit up.
    """

    def __init__(self, view: SideView) -> None:
        self.figure = new_figure()
        self.figure.height = HEIGHT
        self.figure.match_aspect = True
        self.figure.grid.visible = False
        # The same scale as across; without it a phone has more room for the drawing.
        self.figure.yaxis.visible = False
        # An invisible frame round the whole travel sets both ranges; Bokeh widens one of them
        # until the scales agree.
        frame = self.figure.line([], [], line_alpha=0)
        self._frame = frame.data_source
        self.figure.x_range = DataRange1d(renderers=[frame], range_padding=0.04)
        self.figure.y_range = DataRange1d(renderers=[frame], range_padding=0.04)
        self._fitted_key = add_setup_legend(self.figure)
        self._curves = Curves.draw_on(self.figure)
        self._points = Points.draw_on(self.figure)
        self.update(view)

    def update(self, view: SideView) -> None:
        """Show another view in the same figure."""
        left, right, low, high = (round(float(end), 3) for end in view.reach)
        replace(self._frame, {"x": [left, right], "y": [low, high]})
        set_if_changed(self.figure.xaxis[0], axis_label=f"{view.unit}, to scale")
        curves, points = Curves(), Points()
        _draw(view, view.fitted, curves, palette.FITTED, palette.FITTED_DASH, 2.0)
        _draw(view, view.chosen, curves, palette.CHOSEN, palette.SOLID, 3.0)
        _mark(view, points)
        replace(self._curves, curves.columns)
        replace(self._points, points.columns)


def _draw(
    view: SideView, setup: SideSetup, curves: Curves, colour: str, dash: str, width: float
) -> None:
    for centre, radius in ((view.shaft, setup.front_radius), (setup.axle, setup.rear_radius)):
        angle = np.linspace(0.0, 2 * np.pi, _CIRCLE_POINTS)
        curves.add(
            centre[0] + radius * np.cos(angle),
            centre[1] + radius * np.sin(angle),
            colour,
            dash,
            1.0,
        )
    curves.add([0.0, setup.axle[0]], [0.0, setup.axle[1]], colour, dash, width + 3.0)
    curves.add(setup.chain_x, setup.chain_y, colour, dash, width)


def _mark(view: SideView, points: Points) -> None:
    for x, y, text, align, dx, dy in (
        (*view.shaft, "output shaft", "left", -14, 36),
        (0.0, 0.0, "pivot", "left", 6, 16),
        (*view.chosen.axle, "axle", "center", 0, 18),
    ):
        points.add(
            x,
            y,
            marker="circle",
            size=8,
            text=text,
            dx=dx,
            dy=dy,
            align=align,
            colour=palette.INK_QUIET,
            ground=palette.VEIL,
        )
    chosen, fitted = view.chosen, view.fitted
    # Each label runs inward from the outer edge of its sprocket, to stay inside a narrow drawing.
    for (x, y), radius, new, old, side in (
        (view.shaft, chosen.front_radius, chosen.front, fitted.front, -1),
        (chosen.axle, chosen.rear_radius, chosen.rear, fitted.rear, 1),
    ):
        points.add(
            x + side * radius,
            y + radius,
            text=f"{new} teeth" if new == old else f"{new} teeth (now {old})",
            dy=-16,
            align="right" if side > 0 else "left",
            colour=palette.CHOSEN,
            ground=palette.VEIL,
        )


def describe(view: SideView) -> str:
    """Say in plain sentences what the drawing shows.

    Returns: Both pairs, and where the axle is against the pivot.
    """
    height = view.chosen.axle[1]
    where = "above" if height >= 0 else "below"
    return (
        f"Drawn to scale: chosen {view.chosen.front}/{view.chosen.rear}, fitted "
        f"{view.fitted.front}/{view.fitted.rear}. The axle is {abs(height):.0f} {view.unit} "
        f"{where} the pivot."
    )
