"""Limits chart: what binds at full throttle in each gear, from rest to the rev limit."""

from dataclasses import dataclass, field

from explorer.charts import palette
from explorer.charts.drawing import (
    Chart,
    add_legend,
    bar_key,
    fix_ends,
    hide_rows_axis,
    require_finite,
)
from explorer.charts.rows import Bars, HoverPlaces, Points
from explorer.study.wording import SpeedUnits, listed, ordinal, spans

ENGINE, GRIP, FRONT_WHEEL = "engine", "grip", "front wheel"

_LOOKS = {
    ENGINE: (palette.CHOSEN_QUIET, " "),
    GRIP: (palette.LIMIT_FILL, "right_diagonal_line"),
    FRONT_WHEEL: (palette.POWER_BAND, "cross"),
}


@dataclass(frozen=True)
class Stretch:
    """A range of speed in one gear, counted from 1, in which one limit binds [unit of speed]."""

    gear: int
    start: float
    end: float
    limit: str


@dataclass(frozen=True, eq=False)
class LimitsView:
    """All that the limits chart shows."""

    chosen: tuple[Stretch, ...]
    fitted: tuple[Stretch, ...]
    chosen_pair: str
    fitted_pair: str
    gears: int
    speed_units: SpeedUnits = field(default_factory=SpeedUnits)

    def __post_init__(self) -> None:
        both = (*self.chosen, *self.fitted)
        require_finite(start=[each.start for each in both], end=[each.end for each in both])
        if not both or any(each.limit not in _LOOKS for each in both):
            raise ValueError(
                f"The limits chart needs stretches, each with one of {', '.join(_LOOKS)}."
            )


class LimitsChart(Chart):
    """The figure and its update."""

    def build(self, view: LimitsView) -> None:
        hide_rows_axis(self.figure)
        keys = [bar_key(self.figure, limit, *look) for limit, look in _LOOKS.items()]
        add_legend(self.figure, keys)
        self.draw_with(Bars, Points, HoverPlaces)

    def paint(self, view: LimitsView) -> None:
        unit = view.speed_units.unit
        self._x.show(0.0, max(each.end for each in (*view.chosen, *view.fitted)), unit)
        fix_ends(self.figure.y_range, -view.gears - 0.3, 0.2)
        self.caption("What holds the bike back at full throttle", f"Road speed, {unit}")
        self.show(_bars(view), self._names(view), _hover_places(view))

    def _names(self, view: LimitsView) -> Points:
        points = Points()
        for gear in range(1, view.gears + 1):
            points.add(0, -gear + 0.68, text=ordinal(gear), ground=palette.VEIL, dx=3)
        for height, said, colour in (
            (-0.15, f"upper bar: chosen {view.chosen_pair}", palette.CHOSEN),
            (-0.62, f"lower bar: fitted {view.fitted_pair}", palette.FITTED),
        ):
            points.add_ending(self._x.end, height, said, colour, ground=palette.VEIL)
        return points


def _bars(view: LimitsView) -> Bars:
    bars = Bars()
    for stretches, top, bottom in ((view.chosen, 0.9, 0.46), (view.fitted, 0.4, 0.18)):
        for each in stretches:
            foot = -each.gear
            bars.add(each.start, each.end, foot + bottom, foot + top, *_LOOKS[each.limit])
    return bars


def _hover_places(view: LimitsView) -> HoverPlaces:
    places, units = HoverPlaces(), view.speed_units
    sets = (
        ("chosen", view.chosen_pair, view.chosen, 0.68),
        ("fitted", view.fitted_pair, view.fitted, 0.29),
    )
    for name, pair, stretches, height in sets:
        for each in stretches:
            title = f"{name} {pair}: {ordinal(each.gear)} gear"
            said = f"{each.start:.0f} to {units.one(each.end)}: {each.limit} binds"
            for share in (0.0, 0.25, 0.5, 0.75, 1.0):
                place = each.start + share * (each.end - each.start)
                places.add(place, -each.gear + height, title, said)
    return places


def describe(view: LimitsView) -> str:
    """Between which speeds grip or the front wheel binds in each gear of the chosen gearing."""
    parts = []
    for limit, name in ((GRIP, "grip"), (FRONT_WHEEL, "the lifting front wheel")):
        ends: dict[int, list[tuple[float, float]]] = {}
        for each in view.chosen:
            if each.limit == limit:
                ends.setdefault(each.gear, []).append((each.start, each.end))
        said = [
            f"{ordinal(gear)} {spans(of_gear, view.speed_units.one)}"
            for gear, of_gear in ends.items()
        ]
        if said:
            parts.append(f"{name} binds in {listed(said)}")
    if not parts:
        return f"With {view.chosen_pair} the engine is what binds in every gear."
    return f"With {view.chosen_pair} {listed(parts)}; elsewhere the engine binds."
