"""Pull chart: pull at the tyre in every gear against the resistance, with the ground's limits."""

from dataclasses import dataclass, field
from typing import Any

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    FloatArray,
    add_setup_legend,
    add_shade,
    require_finite,
    set_if_changed,
)
from explorer.charts.rows import Curves, HoverPlaces, Points, inward
from explorer.study.wording import SpeedUnits, listed, ordinal, three_digits

_PLACES_TO_HOVER = 10
"""Along the line of one gear."""

_NOTICEABLE = 0.002
"""Pull that the ground refuses is drawn from this share of the pull on."""

_ROOM_BELOW = 0.16
"""A top speed this far up the axis has its label below the marker, where no line runs."""


@dataclass(frozen=True, eq=False)
class PullSetup:
    """One gearing on the pull chart.

    Attributes:
        speed (array (gears, points)): From idle to the rev limit in each gear [unit of speed].
        pull (array (gears, points)): What the rear tyre passes on, within grip and balance [unit of
            force].
        engine_pull (array (gears, points)): What the engine has for the tyre [unit of force].
        top_speed: Top speed; None where no gear can hold any speed [unit of speed].
        top_gear: Gear of the top speed, counted from 1 [-].
        top_limit: What keeps it from going faster, such as "rev limit".
        top_speed_band: How far down and up its band reaches; zeros for none [unit of speed].
        top_speed_said: Top speed with its band, such as "92 km/h (87 to 94)".
    """

    pair: str
    speed: FloatArray
    pull: FloatArray
    engine_pull: FloatArray
    top_speed: float | None
    top_gear: int
    top_limit: str
    top_speed_band: tuple[float, float] = (0.0, 0.0)
    top_speed_said: str = ""

    def __post_init__(self) -> None:
        require_finite(speed=self.speed, pull=self.pull, engine_pull=self.engine_pull)
        if self.top_speed is not None:
            require_finite(top_speed=self.top_speed)
        shape = self.speed.shape
        if len(shape) != 2 or not shape == self.pull.shape == self.engine_pull.shape:
            raise ValueError(
                "The pull chart needs speed, pull and engine pull as three tables of the same "
                "shape, one line for every gear."
            )


@dataclass(frozen=True, eq=False)
class PullView:
    """All that the pull chart shows.

    Attributes:
        resistance_speed, resistance (array (points,)): Rolling, slope and air resistance against
            road speed [unit of speed], [unit of force].
        grip_limit, wheel_lift_limit: Pull at which the rear tyre slips and at which the front wheel
            lifts; None for a limit that never binds [unit of force].
    """

    chosen: PullSetup
    fitted: PullSetup
    resistance_speed: FloatArray
    resistance: FloatArray
    grip_limit: float | None
    wheel_lift_limit: float | None
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)
    force_unit: str = "N"

    def __post_init__(self) -> None:
        require_finite(resistance_speed=self.resistance_speed, resistance=self.resistance)
        require_finite(limits=[limit for limit in self.limits.values()])
        if len(self.resistance_speed) != len(self.resistance) or len(self.resistance) < 2:
            raise ValueError("The resistance curve needs as many forces as speeds, at least two.")

    @property
    def limits(self) -> dict[str, float]:
        """The ground's limits that exist, by name, the lower one first [unit of force]."""
        named = {"grip limit": self.grip_limit, "front wheel lifts": self.wheel_lift_limit}
        given = {name: limit for name, limit in named.items() if limit is not None}
        return dict(sorted(given.items(), key=lambda item: item[1]))

    def resistance_at(self, speed: FloatArray | float) -> FloatArray:
        """Resistance at a road speed, read off the curve [unit of force]."""
        return np.interp(speed, self.resistance_speed, self.resistance)


class PullChart(Chart):
    """The figure and its update."""

    def build(self, view: PullView) -> None:
        self._refused = add_shade(self.figure, palette.LIMIT_FILL, 0.08)
        add_setup_legend(self.figure)
        self.draw_with(Curves, Curves, Points, HoverPlaces)

    def paint(self, view: PullView) -> None:
        unit = view.speed_units.unit
        setups = (view.chosen, view.fitted)
        fastest = max(float(setup.speed.max()) for setup in setups)
        seen = view.resistance[view.resistance_speed <= fastest]
        strongest = max(float(setup.engine_pull.max()) for setup in setups)
        self._x.show(0.0, fastest, unit)
        self._y.show(min(0.0, *seen), max(strongest, *seen), view.force_unit)
        title, across = f"Pull at the tyre, {view.force_unit}", f"Road speed, {unit}"
        self.caption(title, across, view.fitted.pair)
        lowest = next(iter(view.limits.values()), self._y.end)
        set_if_changed(self._refused, bottom=lowest)
        lines = self._ground_lines(view), self._chosen_lines(view)
        self.show(*lines, self._marks(view), _hover_places(view))

    def _limits_in_sight(self, view: PullView) -> list[tuple[str, float]]:
        return [(name, limit) for name, limit in view.limits.items() if limit < self._y.end]

    def _ground_lines(self, view: PullView) -> Curves:
        """All that stays while the chosen gearing changes; unchanged, it is not sent again."""
        curves = Curves()
        for name, limit in self._limits_in_sight(view):
            dash = palette.GRIP_DASH if name == "grip limit" else palette.WHEEL_LIFT_DASH
            curves.add([0.0, self._x.end], [limit, limit], palette.LIMIT, dash, 1.5)
        for speed, pull in zip(view.fitted.speed, view.fitted.pull, strict=True):
            curves.add(speed, pull, palette.FITTED, palette.FITTED_DASH, 1.5)
        seen = view.resistance_speed <= self._x.end
        resistance = view.resistance_speed[seen], view.resistance[seen]
        curves.add(*resistance, palette.RESISTANCE, palette.SOLID, 3.5)
        return curves

    @staticmethod
    def _chosen_lines(view: PullView) -> Curves:
        curves, setup = Curves(), view.chosen
        if setup.top_speed is not None and max(setup.top_speed_band) > 0:
            below, above = setup.top_speed_band
            slowest = max(setup.top_speed - below, 0.0)
            speeds = np.linspace(slowest, setup.top_speed + above, 7)
            heights = view.resistance_at(speeds)
            curves.add(speeds, heights, palette.CHOSEN_QUIET, palette.SOLID, 10.0)
        for speed, pull, wanted in zip(setup.speed, setup.pull, setup.engine_pull, strict=True):
            curves.add(speed, pull, palette.CHOSEN, palette.SOLID, 3.0)
            refused = np.flatnonzero(wanted > pull * (1 + _NOTICEABLE))
            if refused.size:
                part = slice(max(refused[0] - 1, 0), refused[-1] + 2)
                curves.add(speed[part], wanted[part], palette.CHOSEN, palette.WANTED_DASH, 2.0)
        return curves

    def _marks(self, view: PullView) -> Points:
        points = Points()
        self._label_corner(points, view)
        self._label_resistance(points, view)
        self._mark_top_speeds(points, view)
        setup = view.chosen
        # Last, so that no other label's ground covers them.
        for gear, (speeds, pulls) in enumerate(zip(setup.speed, setup.pull, strict=True)):
            points.add_gear(speeds[-1], pulls[-1], gear + 1, dy=0)
        return points

    def _label_corner(self, points: Points, view: PullView) -> None:
        in_sight = self._limits_in_sight(view)
        for place, (name, limit) in enumerate(in_sight):
            # Above its line; the lower one of close limits below it, so that both stay legible.
            below = place == 0 and any(
                higher - limit < _ROOM_BELOW * self._y.end for _, higher in in_sight[1:]
            )
            points.add_ending(self._x.end, limit, name, palette.LIMIT, dy=14 if below else -13)
        # The pair stands in the upper right corner, or below the limits where they are up there.
        lowest = min((limit for _, limit in in_sight), default=0.0)
        crowded = bool(in_sight) and in_sight[-1][1] > 0.8 * self._y.end
        height, offset = (lowest, 34) if crowded else (self._y.end, 12)
        pair = f"chosen {view.chosen.pair}"
        points.add_ending(self._x.end, height, pair, palette.CHOSEN, dy=offset)

    def _label_resistance(self, points: Points, view: PullView) -> None:
        """Where it begins: at its other end gears, limits and top speed meet."""
        speed, height = view.resistance_speed[0], view.resistance[0]
        below = height > _ROOM_BELOW / 2 * self._y.end  # for one line instead of two
        offset = 12 if below else -14
        points.add(speed, height, text="resistance", dx=4, dy=offset, ground=palette.VEIL)

    def _mark_top_speeds(self, points: Points, view: PullView) -> None:
        speed = view.fitted.top_speed
        if speed is not None:
            style = {"marker": "square", "size": 8, "line": palette.FITTED}
            points.add(speed, view.resistance_at(speed), **style)
        speed = view.chosen.top_speed
        if speed is not None:
            height = float(view.resistance_at(speed))
            said = view.chosen.top_speed_said or f"{speed:.0f} {view.speed_units.unit}"
            text = f"{said}\n{view.chosen.top_limit}"
            style = {"marker": "diamond", "size": 16, "fill": palette.CHOSEN, "line": palette.PAPER}
            place = self._label_place(speed, height)
            points.add(speed, height, text=text, colour=palette.CHOSEN, **style, **place)

    def _label_place(self, speed: float, height: float) -> dict[str, Any]:
        """Below the marker, where no line runs, if there is room; inside the plot in any case."""
        offset = 30 if height > _ROOM_BELOW * self._y.end else -36
        align = inward(speed / self._x.end, 0.12)
        return {"align": align, "dy": offset, "ground": palette.VEIL}


def _hover_places(view: PullView) -> HoverPlaces:
    places, both = HoverPlaces(), view.speed_units.both
    for name, setup in (("chosen", view.chosen), ("fitted", view.fitted)):
        speed = setup.top_speed
        if speed is not None:
            title = f"{name} {setup.pair}: top speed"
            gear = f"{both(speed)} in {ordinal(setup.top_gear)} gear"
            limit = f"limited by: {setup.top_limit}"
            places.add(speed, view.resistance_at(speed), title, gear, limit)
    setup = view.chosen
    last = setup.speed.shape[1] - 1
    chosen_places = np.unique(np.linspace(0, last, _PLACES_TO_HOVER).astype(int))
    for gear, (speeds, pulls) in enumerate(zip(setup.speed, setup.pull, strict=True)):
        title = f"chosen {setup.pair}: {ordinal(gear + 1)} gear"
        surplus = pulls - view.resistance_at(speeds)
        for place in chosen_places:
            pull = f"pull {three_digits(pulls[place])} {view.force_unit}"
            left = f"surplus {three_digits(surplus[place])} {view.force_unit}"
            places.add(speeds[place], pulls[place], title, both(speeds[place]), pull, left)
    return places


def describe(view: PullView) -> str:
    """Top speed of both with the limit that binds, and the gears held back by the ground."""
    sentences = [
        f"Chosen {view.chosen.pair} {_top_in_words(view, view.chosen)}; "
        f"fitted {view.fitted.pair} {_top_in_words(view, view.fitted)}."
    ]
    chosen = view.chosen
    refused = np.any(chosen.engine_pull > chosen.pull * (1 + _NOTICEABLE), axis=1)
    gears = [ordinal(gear + 1) for gear in np.flatnonzero(refused)]
    if gears and view.limits:
        name, limit = next(iter(view.limits.items()))
        why = "the rear tyre slips" if name == "grip limit" else "the front wheel lifts"
        sentences.append(
            f"In {listed(gears)} gear the engine could pull harder than the ground allows: "
            f"{why} at {three_digits(limit)} {view.force_unit}."
        )
    return " ".join(sentences)


def _top_in_words(view: PullView, setup: PullSetup) -> str:
    if setup.top_speed is None:
        return "cannot hold any speed here"
    speed = view.speed_units.one(setup.top_speed)
    return f"reaches {speed} in {ordinal(setup.top_gear)} gear, limited by: {setup.top_limit}"
