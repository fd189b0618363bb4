"""Lever and wheel: the rear sprocket is the short arm, the wheel the long one."""

from dataclasses import dataclass

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import DrawingToScale, require_finite, set_if_changed
from explorer.charts.rows import Curves, Points

_CIRCLE_POINTS = 73
_HEIGHT = 420
_LONGEST_ARROW = 0.8
"""Length of an arrow as long as the greatest force, over the wheel's radius."""


@dataclass(frozen=True)
class LeverView:
    """All that the drawing shows.

    Attributes:
        front_radius, rear_radius, wheel_radius (float, positive): Of the sprockets' pitch circles
            and of the rolling tyre [unit].
        tension, pull: Force in the chain and force of the tyre on the ground [force_unit].
        turned: How far the wheel has been turned; a mark on each sprocket and wheel shows it.
    """

    front: int
    rear: int
    front_radius: float
    rear_radius: float
    wheel_radius: float
    tension: float
    pull: float
    unit: str = "mm"
    force_unit: str = "N"
    decimals: int = 0
    turned: float = 0.0

    @property
    def front_turns(self) -> float:
        """Turns that the front sprocket has made meanwhile."""
        return self.turned * self.rear / self.front

    def __post_init__(self) -> None:
        require_finite(
            front_radius=self.front_radius, rear_radius=self.rear_radius,
            wheel_radius=self.wheel_radius, tension=self.tension, pull=self.pull,
        )  # fmt: skip

    def length(self, value: float) -> str:
        """A length with its unit."""
        return f"{value:.{self.decimals}f} {self.unit}"

    def force(self, value: float) -> str:
        """A force with its unit, to three digits."""
        return f"{float(f'{value:.3g}'):.0f} {self.force_unit}"


class LeverChart(DrawingToScale):
    """The figure and its update."""

    def build(self, view: LeverView) -> None:
        self.figure.height = _HEIGHT
        self.frame_with(0.02)
        self.draw_with(Curves, Points)

    def paint(self, view: LeverView) -> None:
        wheel, rear, front = view.wheel_radius, view.rear_radius, view.front_radius
        shaft = -1.55 * wheel
        set_if_changed(
            self.figure.xaxis[0],
            axis_label=f"{view.unit}; the front sprocket is drawn nearer than it sits",
        )
        self.show_frame(shaft - 0.5 * wheel, 1.5 * wheel, -1.6 * wheel, 1.1 * wheel)
        curves, points = Curves(), Points()
        for x, radius, colour, width in (
            (0.0, wheel, palette.INK, 4.0),
            (0.0, rear, palette.CHOSEN, 3.0),
            (shaft, front, palette.CHOSEN, 3.0),
        ):
            curves.add_circle(x, 0.0, radius, _CIRCLE_POINTS, colour, palette.SOLID, width)
        # The chain touches both sprockets where one line is square to both radii.
        along = (rear - front) / shaft
        for across in (np.sqrt(1 - along**2), -np.sqrt(1 - along**2)):
            curves.add(
                [shaft + front * along, rear * along],
                [front * across, rear * across],
                palette.CHOSEN_QUIET, palette.SOLID, 2.0,
            )  # fmt: skip
        # The two arms of the lever, from the axle.
        curves.add([0.0, 0.0], [0.0, rear], palette.CHOSEN, palette.SOLID, 6.0)
        curves.add([0.0, 0.0], [0.0, -wheel], palette.LIMIT, palette.WHEEL_LIFT_DASH, 6.0)
        per_force = _LONGEST_ARROW * wheel / max(view.tension, view.pull)
        _arrow(curves, rear, -view.tension * per_force, palette.CHOSEN)
        _arrow(curves, -wheel, view.pull * per_force, palette.LIMIT)
        points.add(0.0, 0.0, marker="circle", size=10, fill=palette.INK)
        for x, radius, turns in ((0.0, wheel, view.turned), (shaft, front, view.front_turns)):
            # Forwards is to the left: from the top over the front.
            angle = np.pi / 2 + 2 * np.pi * turns
            look = {"marker": "square", "size": 14, "fill": palette.LIMIT}
            points.add(x + radius * np.cos(angle), radius * np.sin(angle), **look)
        turned = f": {view.front_turns:.1f} turns" if view.turned else " teeth"
        links = f" teeth: {view.turned * view.rear:.0f} links" if view.turned else " teeth"
        for x, y, text, colour, align, dx, dy in (
            (0.0, rear / 2, f"short arm {view.length(rear)}", palette.CHOSEN, "left", 10, 0),
            (0.0, -wheel * 0.7, f"long arm {view.length(wheel)}", palette.LIMIT, "left", 10, 0),
            (0.0, rear, f"chain {view.force(view.tension)}", palette.CHOSEN, "right", -20, -18),
            (0.0, -wheel, f"tyre {view.force(view.pull)}", palette.LIMIT, "left", 0, 20),
            (shaft, -front, f"front {view.front}{turned}", palette.CHOSEN, "center", 0, 20),
            (0.0, rear, f"rear {view.rear}{links}", palette.CHOSEN, "left", 12, -16),
        ):
            points.add(
                x, y, text=text, colour=colour, align=align, dx=dx, dy=dy, ground=palette.VEIL
            )
        self.show(curves, points)


def _arrow(curves: Curves, y: float, tip: float, colour: str) -> None:
    """A level arrow from above or below the axle; a negative tip is forward, to the left."""
    barb = 0.18 * tip
    curves.add([0.0, tip], [y, y], colour, palette.SOLID, 5.0)
    wing = 0.5 * abs(barb)
    curves.add([tip - barb, tip, tip - barb], [y + wing, y, y - wing], colour, palette.SOLID, 5.0)


def describe(view: LeverView) -> str:
    """Both arms and both forces."""
    turned = (
        f" {view.turned:.2f} turns of the wheel are {view.front_turns:.1f} of the front sprocket."
    )
    return (
        f"Computed: with {view.front} teeth in front and {view.rear} at the rear the chain pulls "
        f"with {view.force(view.tension)} on an arm of {view.length(view.rear_radius)}; the tyre "
        f"pushes the ground back with {view.force(view.pull)} on an arm of "
        f"{view.length(view.wheel_radius)}.{turned if view.turned else ''}"
    )
