"""Pull chart of up to four set-ups: pull at the tyre in every gear against the resistance."""

from dataclasses import dataclass, field

import numpy as np

from explorer.charts import palette
from explorer.charts.compare.compare_looks import LOOKS, LooksLegend, named
from explorer.charts.drawing import (
    Curves,
    FloatArray,
    HoverPlaces,
    Points,
    new_figure,
    replace,
    set_if_changed,
)
from explorer.charts.gearing.pull_chart import PullSetup, PullView, label_resistance
from explorer.charts.held_range import HeldRange
from explorer.charts.wording import SpeedUnits, ordinal, three_digits

_PLACES_TO_HOVER = 5


@dataclass(frozen=True, eq=False)
class ComparePullView:
    """All that the chart shows.

    Attributes:
        setups: One to four, the fitted one first.
        resistance_speed, resistance, grip_limit, wheel_lift_limit, speed_units, force_unit: As in
            :class:`explorer.charts.gearing.pull_chart.PullView`.
    """

    setups: tuple[PullSetup, ...]
    resistance_speed: FloatArray
    resistance: FloatArray
    grip_limit: float | None
    wheel_lift_limit: float | None
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)
    force_unit: str = "N"

    @property
    def ground(self) -> PullView:
        """Resistance and limits as the pull chart of two has them."""
        return PullView(
            self.setups[0],
            self.setups[0],
            self.resistance_speed,
            self.resistance,
            self.grip_limit,
            self.wheel_lift_limit,
            self.speed_units,
            self.force_unit,
        )


class ComparePullChart:
    """The figure, built once, and its update.

    Attributes:
        figure: The figure.
    """

    def __init__(self, view: ComparePullView) -> None:
        self.figure = new_figure()
        self._x, self._y = HeldRange(self.figure.x_range), HeldRange(self.figure.y_range)
        self._legend = LooksLegend(self.figure)
        self._curves = Curves.draw_on(self.figure)
        self._points = Points.draw_on(self.figure)
        self._hover = HoverPlaces.draw_on(self.figure)
        self.update(view)

    def update(self, view: ComparePullView) -> None:
        """Show another view in the same figure."""
        ground = view.ground
        unit = view.speed_units.unit
        fastest = max(float(setup.speed.max()) for setup in view.setups)
        strongest = max(float(setup.pull.max()) for setup in view.setups)
        seen = view.resistance_speed <= fastest
        self._x.show(0.0, fastest, unit)
        self._y.show(
            min(0.0, *view.resistance[seen]),
            max(strongest, *view.resistance[seen]),
            view.force_unit,
        )
        set_if_changed(self.figure.title, text=f"Pull at the tyre, {view.force_unit}")
        set_if_changed(self.figure.xaxis[0], axis_label=f"Road speed, {unit}")
        self._legend.show([setup.pair for setup in view.setups])
        curves, points, places = Curves(), Points(), HoverPlaces()
        curves.add(
            view.resistance_speed[seen], view.resistance[seen],
            palette.RESISTANCE, palette.SOLID, 2.5,
        )  # fmt: skip
        label_resistance(points, view.resistance_speed, view.resistance, self._y.end)
        for name, limit in ground.limits.items():
            if limit < self._y.end:
                dash = palette.GRIP_DASH if name == "grip limit" else palette.WHEEL_LIFT_DASH
                curves.add([0.0, self._x.end], [limit, limit], palette.LIMIT, dash, 1.5)
                style = {"colour": palette.LIMIT, "align": "right", "dx": -4, "dy": -12}
                points.add(self._x.end, limit, text=name, **style)
        for number, (look, setup) in enumerate(zip(LOOKS, view.setups, strict=False)):
            for speed, pull in zip(setup.speed, setup.pull, strict=True):
                curves.add(speed, pull, look.colour, look.dash, 0.7 * look.width)
            self._mark_top_speed(points, places, view, number)
            self._add_places(places, view, number)
        replace(self._curves, curves.columns)
        replace(self._points, points.columns)
        replace(self._hover, places.columns)

    @staticmethod
    def _mark_top_speed(
        points: Points, places: HoverPlaces, view: ComparePullView, number: int
    ) -> None:
        look, setup, ground = LOOKS[number], view.setups[number], view.ground
        if setup.top_speed is None:
            return
        height = float(ground.resistance_at(setup.top_speed))
        points.add(
            setup.top_speed, height, marker=look.marker, size=12, fill=look.colour,
            line=palette.PAPER,
        )  # fmt: skip
        places.add(
            setup.top_speed,
            height,
            f"{named(look, setup.pair)}: top speed",
            f"{view.speed_units.both(setup.top_speed)} in {ordinal(setup.top_gear)} gear",
            f"limited by: {setup.top_limit}",
        )

    @staticmethod
    def _add_places(places: HoverPlaces, view: ComparePullView, number: int) -> None:
        look, setup = LOOKS[number], view.setups[number]
        chosen = np.linspace(0, setup.speed.shape[1] - 1, _PLACES_TO_HOVER).astype(int)
        for gear, (speeds, pulls) in enumerate(zip(setup.speed, setup.pull, strict=True)):
            for place in chosen:
                places.add(
                    speeds[place],
                    pulls[place],
                    f"{named(look, setup.pair)}: {ordinal(gear + 1)} gear",
                    view.speed_units.both(speeds[place]),
                    f"pull {three_digits(pulls[place])} {view.force_unit}",
                )


def describe(view: ComparePullView) -> str:
    """Say in plain sentences what the chart shows."""
    said = []
    for look, setup in zip(LOOKS, view.setups, strict=False):
        if setup.top_speed is None:
            said.append(f"{named(look, setup.pair)} cannot hold any speed here")
        else:
            said.append(
                f"{named(look, setup.pair)} pulls at most {three_digits(setup.pull[0].max())} "
                f"{view.force_unit} in 1st and reaches {view.speed_units.one(setup.top_speed)} in "
                f"{ordinal(setup.top_gear)}, limited by: {setup.top_limit}"
            )
    return f"Computed: {'; '.join(said)}."
