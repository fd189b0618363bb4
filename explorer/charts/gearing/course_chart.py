"""Course chart: speed over distance along a course, fitted and chosen, with the corners."""

from dataclasses import dataclass, field

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import Chart, FloatArray, add_setup_legend, require_finite
from explorer.charts.rows import Curves, HoverPlaces, Points
from explorer.study.wording import SpeedUnits, grouped

_PLACES_TO_HOVER = 48
"""Along the whole course."""

_ROOM_FOR_LABELS = 1.15
"""Top of the speed axis over the fastest place."""


@dataclass(frozen=True, eq=False)
class CourseSetup:
    """One gearing on the course.

    Attributes:
        speed (array (nodes,), non-negative): Speed along the course [unit of speed].
        reached: Distance at which the motorcycle stops for good, or the end of the course [unit of
            distance].
    """

    pair: str
    speed: FloatArray
    reached: float

    def __post_init__(self) -> None:
        require_finite(speed=self.speed, reached=self.reached)


@dataclass(frozen=True, eq=False)
class CourseView:
    """All that the course chart shows.

    Attributes:
        distance (array (nodes,), increasing): Where the speeds are given, from the start [unit of
            distance].
        corner_distance, corner_speed (array (corners,)): Where the corners are, and the greatest
            speed there [unit of distance], [unit of speed].
    """

    chosen: CourseSetup
    fitted: CourseSetup
    distance: FloatArray
    corner_distance: FloatArray
    corner_speed: FloatArray
    distance_unit: str = "m"
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def __post_init__(self) -> None:
        require_finite(
            distance=self.distance,
            corner_distance=self.corner_distance,
            corner_speed=self.corner_speed,
        )
        if not len(self.distance) == len(self.chosen.speed) == len(self.fitted.speed) > 1:
            raise ValueError(
                "The course chart needs a speed of both gearings for every distance, at least two."
            )
        if len(self.corner_distance) != len(self.corner_speed):
            raise ValueError("The course chart needs one speed for every corner.")

    def ridden(self, setup: CourseSetup) -> tuple[FloatArray, FloatArray]:
        """Distance and speed of a gearing, as far as it gets."""
        there = self.distance <= setup.reached * (1 + 1e-9)
        distance, speed = self.distance[there], setup.speed[there]
        if there.all():
            return distance, speed
        return np.append(distance, setup.reached), np.append(speed, 0.0)


class CourseChart(Chart):
    """The figure and its update."""

    def build(self, view: CourseView) -> None:
        add_setup_legend(self.figure)
        self.draw_with(Curves, Curves, Points, Points, HoverPlaces)

    def paint(self, view: CourseView) -> None:
        unit = view.speed_units.unit
        fastest = max(float(setup.speed.max()) for setup in (view.chosen, view.fitted))
        # The end of the course is the end of the axis: another course gets another one.
        self._x.show(0.0, float(view.distance[-1]), f"{view.distance[-1]} {view.distance_unit}")
        self._y.show(0.0, max(fastest, 1.0) * _ROOM_FOR_LABELS, unit)
        across = f"Distance, {view.distance_unit}"
        self.caption(f"Speed along the course, {unit}", across, view.fitted.pair)
        fitted, chosen, corners = Curves(), Curves(), Points()
        fitted.add(*view.ridden(view.fitted), palette.FITTED, palette.FITTED_DASH, 2.0)
        chosen.add(*view.ridden(view.chosen), palette.CHOSEN, palette.SOLID, 3.0)
        for distance, speed in zip(view.corner_distance, view.corner_speed, strict=True):
            corners.add(distance, speed, marker="triangle", size=9, line=palette.LIMIT)
        self.show(fitted, chosen, corners, self._marks(view), _hover_places(view))

    def _marks(self, view: CourseView) -> Points:
        points = Points()
        pair = f"chosen {view.chosen.pair}"
        points.add_ending(self._x.end, self._y.end, pair, palette.CHOSEN, dy=12)
        for setup, colour in ((view.fitted, palette.FITTED), (view.chosen, palette.CHOSEN)):
            if setup.reached < view.distance[-1] * (1 - 1e-9):
                points.add(setup.reached, 0.0, marker="x", size=12, line=colour)
        if len(view.corner_distance):
            points.add(0, self._y.end, text="△ corner", colour=palette.LIMIT, dx=4, dy=12)
        return points


def _hover_places(view: CourseView) -> HoverPlaces:
    places, both = HoverPlaces(), view.speed_units.both
    last = len(view.distance) - 1
    for node in np.unique(np.linspace(0, last, _PLACES_TO_HOVER).astype(int)):
        distance = view.distance[node]
        chosen, fitted = view.chosen.speed[node], view.fitted.speed[node]
        places.add(
            distance,
            max(chosen, fitted),
            f"{grouped(distance)} {view.distance_unit} from the start",
            f"chosen {view.chosen.pair}: {both(chosen)}",
            f"fitted {view.fitted.pair}: {both(fitted)}",
        )
    return places


def describe(view: CourseView) -> str:
    """Fastest place of both gearings, and where their speeds differ most."""
    fastest = []
    for name, setup in (("chosen", view.chosen), ("fitted", view.fitted)):
        distance, speed = view.ridden(setup)
        place = int(np.argmax(speed))
        fastest.append(
            f"{name} {setup.pair} {view.speed_units.one(speed[place])} at "
            f"{grouped(distance[place])} {view.distance_unit}"
        )
    first = f"Fastest on this course: {'; '.join(fastest)}."
    gap = view.chosen.speed - view.fitted.speed
    both = view.distance <= min(view.chosen.reached, view.fitted.reached)
    place = int(np.argmax(np.where(both, np.abs(gap), -1.0)))
    if abs(gap[place]) < 1.0:
        return f"{first} The two never differ by more than 1 {view.speed_units.unit} on the way."
    word = "faster" if gap[place] > 0 else "slower"
    return (
        f"{first} They differ most at {grouped(view.distance[place])} {view.distance_unit}: the "
        f"chosen gearing is {view.speed_units.one(abs(gap[place]))} {word} there."
    )
