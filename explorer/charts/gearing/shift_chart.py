"""Shift chart: engine speed against road speed in every gear, with the path through the gears."""

from collections.abc import Iterator
from dataclasses import dataclass, field

import numpy as np

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    FloatArray,
    add_setup_legend,
    add_shade,
    fix_ends,
    require_finite,
    set_if_changed,
)
from explorer.charts.rows import Curves, HoverPlaces, Points
from explorer.study.wording import SpeedUnits, engine_speed, listed, ordinal

_PLACES_TO_HOVER = 5
"""Along the line of one gear."""

_ROOM_FOR_LABELS = 1.2
"""Top of the engine speed axis over the rev limit."""


@dataclass(frozen=True, eq=False)
class ShiftSetup:
    """One gearing on the shift chart.

    Attributes:
        rpm_per_speed (array (gears,), positive): Clutch locked [rpm per unit of speed].
        exit_speed (array (gears,), non-negative): Road speed at which each gear is left, or at
            which the run ends in it [unit of speed].
        shifts_up (array of bool (gears,)): Whether the next gear is taken there.
    """

    pair: str
    rpm_per_speed: FloatArray
    exit_speed: FloatArray
    shifts_up: FloatArray

    def __post_init__(self) -> None:
        require_finite(rpm_per_speed=self.rpm_per_speed, exit_speed=self.exit_speed)
        if not len(self.rpm_per_speed) == len(self.exit_speed) == len(self.shifts_up) > 0:
            raise ValueError(
                "The shift chart needs one ratio, one exit speed and one yes or no for every gear."
            )
        if np.any(np.asarray(self.rpm_per_speed) <= 0):
            raise ValueError("Engine speed over road speed must be above zero in every gear.")

    @property
    def shifts(self) -> int:
        """Number of upshifts from first gear on [count]."""
        taken = np.asarray(self.shifts_up, bool)[: len(self.rpm_per_speed) - 1]
        return len(taken) if taken.all() else int(np.argmin(taken))


@dataclass(frozen=True, eq=False)
class ShiftView:
    """All that the shift chart shows.

    Attributes:
        idle_rpm, launch_rpm, limiter_rpm (float, positive): Engine speed at idle, held by the
            clutch while pulling away, and at the rev limit [rpm].
        power_band: Engine speeds between which the engine pulls well [rpm].
    """

    chosen: ShiftSetup
    fitted: ShiftSetup
    idle_rpm: float
    launch_rpm: float
    limiter_rpm: float
    power_band: tuple[float, float]
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def __post_init__(self) -> None:
        require_finite(idle_rpm=self.idle_rpm, launch_rpm=self.launch_rpm)
        require_finite(limiter_rpm=self.limiter_rpm, power_band=self.power_band)

    def path(self, setup: ShiftSetup) -> tuple[FloatArray, FloatArray]:
        """Road speed and engine speed [rpm] from rest through the gears, clutch slip included."""
        speeds, rpms = [0.0], [self.launch_rpm]
        for gear in range(setup.shifts + 1):
            per_speed, leave = setup.rpm_per_speed[gear], setup.exit_speed[gear]
            # The clutch slips until the gear would turn the engine at its launch speed.
            corners = [speeds[-1], self.launch_rpm / per_speed, leave]
            for speed in sorted({max(speeds[-1], min(corner, leave)) for corner in corners}):
                speeds.append(speed)
                rpms.append(max(per_speed * speed, self.launch_rpm))
        return np.array(speeds), np.array(rpms)

    def shift_rpms(self, setup: ShiftSetup, gear: int) -> tuple[float, float]:
        """Engine speed before and after the upshift out of a gear, counted from 0 [rpm]."""
        before, after = setup.rpm_per_speed[gear : gear + 2] * setup.exit_speed[gear]
        return max(before, self.launch_rpm), max(after, self.launch_rpm)

    def shift_text(self, setup: ShiftSetup, gear: int) -> str:
        """The upshift out of a gear, counted from 0, in a few words."""
        before, after = self.shift_rpms(setup, gear)
        return f"{gear + 1}→{gear + 2} at {engine_speed(before)}, falls to {engine_speed(after)}"

    def gear_lines(self, setup: ShiftSetup) -> Iterator[tuple[FloatArray, FloatArray]]:
        """Road speed and engine speed [rpm] at both ends of every gear, clutch locked."""
        ends = np.array([self.idle_rpm, self.limiter_rpm])
        return ((ends / per_speed, ends) for per_speed in setup.rpm_per_speed)


class ShiftChart(Chart):
    """The figure and its update."""

    def build(self, view: ShiftView) -> None:
        self._band = add_shade(self.figure, palette.POWER_BAND, 0.3)
        add_setup_legend(self.figure)
        self.draw_with(Curves, Curves, Points, HoverPlaces)

    def paint(self, view: ShiftView) -> None:
        unit = view.speed_units.unit
        tallest = min(view.chosen.rpm_per_speed.min(), view.fitted.rpm_per_speed.min())
        self._x.show(0.0, view.limiter_rpm / tallest, unit)
        fix_ends(self.figure.y_range, 0.0, view.limiter_rpm * _ROOM_FOR_LABELS)
        self.caption("Engine speed, rpm", f"Road speed, {unit}", view.fitted.pair)
        set_if_changed(self._band, bottom=view.power_band[0], top=view.power_band[1])
        lines = self._ground_lines(view), self._chosen_lines(view)
        self.show(*lines, self._marks(view), _hover_places(view))

    def _ground_lines(self, view: ShiftView) -> Curves:
        """All that stays while the chosen gearing changes; unchanged, it is not sent again."""
        curves = Curves()
        limiter = [view.limiter_rpm] * 2
        curves.add([0.0, self._x.end], limiter, palette.LIMIT, palette.SOLID, 1.5)
        for speeds, rpms in view.gear_lines(view.fitted):
            curves.add(speeds, rpms, palette.FITTED_QUIET, palette.FITTED_DASH, 1.0)
        curves.add(*view.path(view.fitted), palette.FITTED, palette.FITTED_DASH, 2.0)
        return curves

    def _chosen_lines(self, view: ShiftView) -> Curves:
        curves = Curves()
        for speeds, rpms in view.gear_lines(view.chosen):
            curves.add(speeds, rpms, palette.CHOSEN_QUIET, palette.SOLID, 1.5)
        curves.add(*view.path(view.chosen), palette.CHOSEN, palette.SOLID, 3.5)
        return curves

    def _marks(self, view: ShiftView) -> Points:
        points = Points()
        limiter = f"rev limit {engine_speed(view.limiter_rpm)}"
        points.add(0, view.limiter_rpm, text=limiter, colour=palette.LIMIT, dx=3, dy=-33)
        # The lower right corners stay free: the lines of the highest gears pass above them.
        band = view.power_band[0], "power band", palette.INK_QUIET
        points.add_ending(self._x.end, *band, ground=palette.VEIL, dy=-12)
        points.add_ending(self._x.end, 0, f"chosen {view.chosen.pair}", palette.CHOSEN, dy=-12)
        for setup in (view.fitted, view.chosen):
            self._mark_shifts(points, view, setup)
        for gear, (speeds, rpms) in enumerate(view.gear_lines(view.chosen)):
            points.add_gear(speeds[-1], rpms[-1], gear + 1, dy=-13)
        return points

    @staticmethod
    def _mark_shifts(points: Points, view: ShiftView, setup: ShiftSetup) -> None:
        if setup is view.chosen:
            style = {"marker": "circle", "size": 9, "line": palette.CHOSEN}
        else:
            style = {"marker": "square", "size": 6, "line": palette.FITTED}
        for gear in range(setup.shifts):
            before, _ = view.shift_rpms(setup, gear)
            points.add(setup.exit_speed[gear], before, **style)


def _hover_places(view: ShiftView) -> HoverPlaces:
    places, both = HoverPlaces(), view.speed_units.both
    for name, setup in (("chosen", view.chosen), ("fitted", view.fitted)):
        for gear in range(setup.shifts):
            before, _ = view.shift_rpms(setup, gear)
            speed = setup.exit_speed[gear]
            title = f"{name} {setup.pair}: best shift"
            places.add(speed, before, title, both(speed), view.shift_text(setup, gear))
    setup = view.chosen
    for gear, per_speed in enumerate(setup.rpm_per_speed):
        title = f"chosen {setup.pair}: {ordinal(gear + 1)} gear"
        shift = view.shift_text(setup, gear) if gear < setup.shifts else ""
        for rpm in np.linspace(view.idle_rpm, view.limiter_rpm, _PLACES_TO_HOVER):
            speed = rpm / per_speed
            places.add(speed, rpm, title, both(speed), engine_speed(rpm), shift)
    return places


def describe(view: ShiftView) -> str:
    """Shift speeds of both gearings, and the speed at the limiter in the highest gear."""
    chosen, fitted = view.chosen, view.fitted
    gears = len(chosen.rpm_per_speed)
    reach = [view.speed_units.one(view.limiter_rpm / s.rpm_per_speed[-1]) for s in (chosen, fitted)]
    return (
        f"Chosen {chosen.pair} {_shifts_in_words(view, chosen)}; "
        f"fitted {fitted.pair} {_shifts_in_words(view, fitted)}. "
        f"At the rev limit {ordinal(gears)} gear runs {reach[0]} with the chosen gearing and "
        f"{reach[1]} with the fitted one."
    )


def _shifts_in_words(view: ShiftView, setup: ShiftSetup) -> str:
    if not setup.shifts:
        return "stays in 1st gear"
    speeds = [f"{speed:.0f}" for speed in setup.exit_speed[: setup.shifts]]
    last = ordinal(setup.shifts + 1)
    return f"shifts up at {listed(speeds)} {view.speed_units.unit}, to end in {last} gear"
