"""Side view to scale: sprockets, chain and swingarm, of the fitted and of the chosen pair."""

from dataclasses import dataclass

from explorer.charts import palette
from explorer.charts.drawing import DrawingToScale, FloatArray, add_setup_legend, set_if_changed
from explorer.charts.rows import Curves, Points

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
    chain_x: FloatArray
    chain_y: FloatArray


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


class SideViewChart(DrawingToScale):
    """The figure and its update."""

    def build(self, view: SideView) -> None:
        self.frame_with(0.04)
        add_setup_legend(self.figure)
        self.draw_with(Curves, Points)

    def paint(self, view: SideView) -> None:
        self.show_frame(*(round(float(end), 3) for end in view.reach))
        set_if_changed(self.figure.xaxis[0], axis_label=f"{view.unit}, to scale")
        curves, points = Curves(), Points()
        _draw(view, view.fitted, curves, palette.FITTED, palette.FITTED_DASH, 2.0)
        _draw(view, view.chosen, curves, palette.CHOSEN, palette.SOLID, 3.0)
        _mark(view, points)
        self.show(curves, points)


def _draw(
    view: SideView, setup: SideSetup, curves: Curves, colour: str, dash: str, width: float
) -> None:
    for centre, radius in ((view.shaft, setup.front_radius), (setup.axle, setup.rear_radius)):
        curves.add_circle(*centre, radius, _CIRCLE_POINTS, colour, dash, 1.0)
    curves.add([0.0, setup.axle[0]], [0.0, setup.axle[1]], colour, dash, width + 3.0)
    curves.add(setup.chain_x, setup.chain_y, colour, dash, width)


def _mark(view: SideView, points: Points) -> None:
    for x, y, text, align, dx, dy in (
        (*view.shaft, "output shaft", "left", -14, 36),
        (0.0, 0.0, "pivot", "left", 6, 16),
        (*view.chosen.axle, "axle", "center", 0, 18),
    ):
        look = {"size": 8, "colour": palette.INK_QUIET, "ground": palette.VEIL}
        points.add(x, y, text=text, align=align, dx=dx, dy=dy, **look)
    chosen, fitted = view.chosen, view.fitted
    # Each label runs inward from the outer edge of its sprocket, to stay inside a narrow drawing.
    for (x, y), radius, new, old, side in (
        (view.shaft, chosen.front_radius, chosen.front, fitted.front, -1),
        (chosen.axle, chosen.rear_radius, chosen.rear, fitted.rear, 1),
    ):
        text = f"{new} teeth" if new == old else f"{new} teeth (now {old})"
        align = "right" if side > 0 else "left"
        look = {"align": align, "colour": palette.CHOSEN, "ground": palette.VEIL}
        points.add(x + side * radius, y + radius, text=text, dy=-16, **look)


def describe(view: SideView) -> str:
    """Both pairs, and where the axle is against the pivot."""
    height = view.chosen.axle[1]
    where = "above" if height >= 0 else "below"
    return (
        f"Drawn to scale: chosen {view.chosen.front}/{view.chosen.rear}, fitted "
        f"{view.fitted.front}/{view.fitted.rear}. The axle is {abs(height):.0f} {view.unit} "
        f"{where} the pivot."
    )
