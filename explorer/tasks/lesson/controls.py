"""The few controls of the lesson's demonstrations, by the names by which a step asks for them."""

from collections.abc import Callable

from explorer import units
from explorer.app import controls
from explorer.app.controls import Choice
from explorer.app.page import Item, OpenPage
from explorer.panels.controls import NumberControl, Scale
from explorer.study.goals import MEASURES
from explorer.tasks.lesson.lesson import FASTEST, MOST_TURNS, SLOWEST, TEETH, others
from explorer.tasks.lesson.state import LessonState

_MEASURES = tuple(
    (MEASURES[name].label, name)
    for name in ("clutch_out", "walking_revs", "slope_in_gear", "roll_on", "time_to_speed")
)
"""Measures to set against top speed; their gear and speeds are those of the set-up."""


class PlaceSlider:
    """Slider and number box for a number of the lesson that is not the set-up's."""

    def __init__(
        self,
        page: OpenPage,
        words: tuple[str, str],
        scale: Callable[[LessonState], Scale],
        shown: Callable[[LessonState], float],
        take: Callable[[LessonState, float], None],
    ) -> None:
        self._state, self._scale, self._shown = page.state, scale, shown
        first, move = (scale(page.state), shown(page.state)), lambda value: take(self._state, value)
        self._control = NumberControl(*words, *first, move, page.faults.guard)
        self.widget = self._control.widget

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._control.show(self._shown(self._state), self._scale(self._state))


def _in_si(state: LessonState, value: float, kind: str) -> float:
    one, _ = units.display(1.0, kind, state.setup.units)
    return value / one


def _speed_scale(state: LessonState) -> Scale:
    low, unit = units.display(SLOWEST, "speed", state.setup.units)
    high, _ = units.display(FASTEST, "speed", state.setup.units)
    return Scale(round(low), round(high), 1, unit)


def _set_speed(state: LessonState, value: float) -> None:
    # The ends of the slider are round in the reader's units and may lie a little outside.
    state.move(road_speed=min(max(_in_si(state, value, "speed"), SLOWEST), FASTEST))


def _shown_speed(state: LessonState) -> int:
    shown, _ = units.display(state.choice.place.road_speed, "speed", state.setup.units)
    return round(shown)


def _travel_scale(state: LessonState) -> Scale:
    known = state.bike.fit.wheel_travel
    most = 0.3 if known is None else known.si
    shown, unit = units.display(most, "length", state.setup.units)
    if state.setup.units == "metric":
        return Scale(0, int(shown + 1e-6), 1, unit)
    return Scale(0.0, int(shown * 10 + 1e-6) / 10, 0.1, unit)


def _shown_travel(state: LessonState) -> float:
    metric = state.setup.units == "metric"
    shown, _ = units.display(state.choice.place.travel, "length", state.setup.units)
    return min(round(shown) if metric else round(shown, 1), _travel_scale(state).high)


def _teeth(which: int) -> Item:
    """Teeth of a pupil's own bike, front (0) or rear (1)."""

    def take(state: LessonState, value: float) -> None:
        own = list(state.choice.place.own)
        own[which] = int(value)
        state.move(own=tuple(own))

    return lambda page: PlaceSlider(
        page,
        (("Own front sprocket", "Own rear sprocket")[which], "Teeth, counted."),
        lambda _: Scale(*TEETH[which], 1),
        lambda state: state.choice.place.own[which],
        take,
    )


def _others(state: LessonState) -> tuple[tuple[str, str], ...]:
    return tuple(
        (bike.name if bike_id in state.library else f"{bike.name} (invented)", bike_id)
        for bike_id, bike in others(state.library, state.setup.bike_id).items()
    )


def _measures(state: LessonState) -> tuple[tuple[str, str], ...]:
    picked = state.setup.measure
    if picked in [value for _, value in _MEASURES]:
        return _MEASURES
    return (*_MEASURES, (MEASURES[picked].label, picked))


CONTROLS: dict[str, Item] = {
    "front": controls.slider(
        "front", help_text="Teeth at the gearbox: fewer is shorter, and wears the chain faster."
    ),
    "rear": controls.slider("rear", help_text="Teeth at the wheel: more is shorter."),
    "slope": controls.slider("slope"),
    "road_speed": lambda page: PlaceSlider(
        page, ("Road speed", "The same for every gear."), _speed_scale, _shown_speed, _set_speed
    ),
    "travel": lambda page: PlaceSlider(
        page,
        ("Wheel travel used", "0 is the wheel hanging."),
        _travel_scale,
        _shown_travel,
        lambda state, value: state.move(travel=_in_si(state, value, "length")),
    ),
    "turned": lambda page: PlaceSlider(
        page,
        ("Turns of the wheel", "By hand: the marks turn with it."),
        lambda _: Scale(0.0, float(MOST_TURNS), 0.05),
        lambda state: state.choice.place.turned,
        lambda state, value: state.move(turned=round(value, 2)),
    ),
    "own_front": _teeth(0),
    "own_rear": _teeth(1),
    "other_bike": lambda page: Choice(
        page,
        ("The other bike", "Gets the same sprockets."),
        _others,
        lambda state: state.choice.other_bike(state.library),
        lambda state, bike_id: state.move(other_bike=bike_id),
    ),
    "measure": controls.choice("measure", _measures, help_text=""),
}
