"""Limits chart: what binds at full throttle in each gear, from rest to the rev limit."""

from dataclasses import dataclass, field

from explorer.charts import palette
from explorer.charts.bars import Bars, hide_rows_axis, legend_item
from explorer.charts.drawing import (
    Chart,
    Columns,
    HoverPlaces,
    Points,
    add_legend,
    fix_ends,
    replace,
    require_finite,
    set_if_changed,
)
from explorer.study.wording import SpeedUnits, listed, ordinal, spans

ENGINE, GRIP, FRONT_WHEEL = "engine", "grip", "front wheel"

_LOOKS = {
    ENGINE: (palette.CHOSEN_QUIET, " "),
    GRIP: (palette.LIMIT_FILL, "right_diagonal_line"),
    FRONT_WHEEL: (palette.POWER_BAND, "cross"),
}


@dataclass(frozen=True)
class Stretch:
    """A range of speed in one gear in which one limit binds.

    Attributes:
        gear: Counted from 1 [-].
        start, end: Its ends [unit of speed].
        limit ({"engine", "grip", "front wheel"}): What binds.
    """

    gear: int
    start: float
    end: float
    limit: str


@dataclass(frozen=True, eq=False)
class LimitsView:
    """All that the limits chart shows.

    Attributes:
        gears: Number of gears [count].
    """

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

    def __init__(self, view: LimitsView) -> None:
        super().__init__()
        hide_rows_axis(self.figure)
        items = [legend_item(self.figure, name, *look) for name, look in _LOOKS.items()]
        add_legend(self.figure, items)
        self._bars, self._points, self._hover = self.layers(Bars, Points, HoverPlaces)
        self.update(view)

    def update(self, view: LimitsView) -> None:
        """Show another view in the same figure."""
        unit = view.speed_units.unit
        self._x.show(0.0, max(each.end for each in (*view.chosen, *view.fitted)), unit)
        fix_ends(self.figure.y_range, -view.gears - 0.3, 0.2)
        set_if_changed(self.figure.title, text="What holds the bike back at full throttle")
        set_if_changed(self.figure.xaxis[0], axis_label=f"Road speed, {unit}")
        replace(self._bars, _bars(view))
        replace(self._points, self._names(view))
        replace(self._hover, _hover_places(view))

    def _names(self, view: LimitsView) -> Columns:
        points = Points()
        for gear in range(1, view.gears + 1):
            text = {"text": ordinal(gear), "ground": palette.VEIL, "dx": 3}
            points.add(0, -gear + 0.68, **text)
        corner = {"align": "right", "dx": -4, "ground": palette.VEIL}
        chosen = f"upper bar: chosen {view.chosen_pair}"
        fitted = f"lower bar: fitted {view.fitted_pair}"
        points.add(self._x.end, -0.15, text=chosen, colour=palette.CHOSEN, **corner)
        points.add(self._x.end, -0.62, text=fitted, colour=palette.FITTED, **corner)
        return points.columns


def _bars(view: LimitsView) -> Columns:
    bars = Bars()
    for stretches, top, bottom in ((view.chosen, 0.9, 0.46), (view.fitted, 0.4, 0.18)):
        for each in stretches:
            foot = -each.gear
            bars.add(each.start, each.end, foot + bottom, foot + top, *_LOOKS[each.limit])
    return bars.columns


def _hover_places(view: LimitsView) -> Columns:
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
    return places.columns


def describe(view: LimitsView) -> str:
    """Say in plain sentences what the chart shows.

    Returns: Between which speeds grip or the front wheel binds in each gear of the chosen gearing.
    """
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
