"""Shift chart of up to four set-ups: each one's path through the gears."""

from dataclasses import dataclass, field

from bokeh.models import BoxAnnotation

from explorer.charts import palette
from explorer.charts.compare.compare_looks import LOOKS, LooksLegend, named
from explorer.charts.drawing import (
    Curves,
    HoverPlaces,
    Points,
    new_figure,
    replace,
    set_if_changed,
)
from explorer.charts.gearing.shift_chart import ShiftSetup, ShiftView
from explorer.charts.held_range import HeldRange
from explorer.charts.wording import SpeedUnits, engine_speed, listed, ordinal

_ROOM_FOR_LABELS = 1.2


@dataclass(frozen=True, eq=False)
class CompareShiftView:
    """All that the chart shows.

    Attributes:
        setups: One to four, the fitted one first.
        idle_rpm, launch_rpm, limiter_rpm (float, positive): As in
            :class:`explorer.charts.gearing.shift_chart.ShiftView` [rpm].
        power_band: Engine speeds between which the engine pulls well [rpm].
        speed_units: Unit of all speeds, and the second one for hovering.
    """

    setups: tuple[ShiftSetup, ...]
    idle_rpm: float
    launch_rpm: float
    limiter_rpm: float
    power_band: tuple[float, float]
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def of(self, setup: ShiftSetup) -> ShiftView:
        """One set-up beside the fitted one, as the shift chart of two has it."""
        return ShiftView(
            setup,
            self.setups[0],
            self.idle_rpm,
            self.launch_rpm,
            self.limiter_rpm,
            self.power_band,
            self.speed_units,
        )


class CompareShiftChart:
    """The figure, built once, and its update.

    Attributes:
        figure: The figure.
    """

    def __init__(self, view: CompareShiftView) -> None:
        self.figure = new_figure()
        self.figure.title.text = "Engine speed, rpm"
        self._band = BoxAnnotation(
            fill_color=palette.POWER_BAND, fill_alpha=0.3, line_color=None, level="underlay"
        )
        self.figure.add_layout(self._band)
        self._x = HeldRange(self.figure.x_range)
        self._legend = LooksLegend(self.figure)
        self._curves = Curves.draw_on(self.figure)
        self._points = Points.draw_on(self.figure)
        self._hover = HoverPlaces.draw_on(self.figure)
        self.update(view)

    def update(self, view: CompareShiftView) -> None:
        """Show another view in the same figure."""
        unit = view.speed_units.unit
        tallest = min(setup.rpm_per_speed.min() for setup in view.setups)
        self._x.show(0.0, view.limiter_rpm / tallest, unit)
        top = view.limiter_rpm * _ROOM_FOR_LABELS
        set_if_changed(self.figure.y_range, start=0.0, end=top, reset_start=0.0, reset_end=top)
        set_if_changed(self.figure.xaxis[0], axis_label=f"Road speed, {unit}")
        set_if_changed(self._band, bottom=view.power_band[0], top=view.power_band[1])
        self._legend.show([setup.pair for setup in view.setups])
        curves, points, places = Curves(), Points(), HoverPlaces()
        limiter = view.limiter_rpm
        curves.add([0.0, self._x.end], [limiter] * 2, palette.LIMIT, palette.SOLID, 1.5)
        points.add(
            0,
            limiter,
            text=f"rev limit {engine_speed(limiter)}",
            colour=palette.LIMIT,
            ground=palette.VEIL,
            dx=3,
            dy=-13,
        )
        style = {"colour": palette.INK_QUIET, "ground": palette.VEIL, "dx": 3, "dy": -12}
        points.add(0, view.power_band[0], text="power band", **style)
        for look, setup in zip(LOOKS, view.setups, strict=False):
            one = view.of(setup)
            speeds, rpms = one.path(setup)
            curves.add(speeds, rpms, look.colour, look.dash, look.width)
            for gear in range(setup.shifts):
                speed, (before, _) = setup.exit_speed[gear], one.shift_rpms(setup, gear)
                points.add(speed, before, marker=look.marker, size=9, line=look.colour)
                title = f"{named(look, setup.pair)}: best shift"
                both = view.speed_units.both(speed)
                places.add(speed, before, title, both, one.shift_text(setup, gear))
            points.add(
                speeds[-1], rpms[-1], marker=look.marker, size=11, fill=look.colour,
                line=palette.PAPER,
            )  # fmt: skip
        replace(self._curves, curves.columns)
        replace(self._points, points.columns)
        replace(self._hover, places.columns)


def describe(view: CompareShiftView) -> str:
    """Say in plain sentences what the chart shows."""
    said = []
    for look, setup in zip(LOOKS, view.setups, strict=False):
        speeds = [f"{speed:.0f}" for speed in setup.exit_speed[: setup.shifts]]
        shifts = (
            f"shifts up at {listed(speeds)} {view.speed_units.unit}, to end in "
            f"{ordinal(setup.shifts + 1)}"
            if speeds
            else "stays in 1st gear"
        )
        said.append(f"{named(look, setup.pair)} {shifts}")
    return f"Computed: {'; '.join(said)}."
