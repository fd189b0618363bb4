"""The few controls of the lesson's demonstrations; they write the state and compute nothing."""

from explorer import units
from explorer.app.faults import Faults
from explorer.app.scales import from_number, number, scale
from explorer.panels import widgets
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.number_control import NumberControl, Scale
from explorer.study.goals import MEASURES
from explorer.tasks.lesson.link import FASTEST, SLOWEST
from explorer.tasks.lesson.state import LessonState, others

_MEASURES = tuple(
    (MEASURES[name].label, name)
    for name in ("clutch_out", "walking_revs", "time_to_speed", "steepest_slope", "walking_pull")
)
"""The measures that need no further number from the class."""


class LessonControls:
    """One control for each name that a step may ask for.

    Args:
        state: What they write and show.
        faults: Where a refusal is said.
    """

    def __init__(self, state: LessonState, faults: Faults) -> None:
        self._state = state
        guard = faults.guard
        lesson = state.lesson
        self._teeth = {
            field: NumberControl(
                f"{field.capitalize()} sprocket",
                help_text,
                self._teeth_scale(field),
                getattr(lesson.setup, field),
                guard(lambda value, field=field: state.set_up(**{field: value})),
            )
            for field, help_text in (
                ("front", "Teeth at the gearbox: fewer is shorter."),
                ("rear", "Teeth at the wheel: more is shorter."),
            )
        }
        self._slope = NumberControl(
            "Slope",
            "Uphill positive: 10 % climbs 1 m in 10 m.",
            scale("slope", self._system),
            number("slope", lesson.setup.slope, self._system),
            guard(lambda value: state.set_up(slope=from_number("slope", value, self._system))),
        )
        self._road_speed = NumberControl(
            "Road speed",
            "The same for every gear.",
            self._speed_scale(),
            self._shown_speed(),
            guard(self._set_speed),
        )
        self._travel = NumberControl(
            "Wheel travel used",
            "0 is the wheel hanging.",
            self._travel_scale(),
            self._shown_travel(),
            guard(lambda value: state.move(travel=self._in_si(value, "length"))),
        )
        self._other = ChoiceControl(
            "The other bike",
            "Gets the same sprockets.",
            self._others(),
            lesson.other_bike(state.library),
            guard(lambda value: state.move(other_bike=value)),
        )
        self._measure = ChoiceControl(
            "Set against top speed",
            "",
            self._measures(),
            lesson.setup.measure,
            guard(lambda value: state.set_up(measure=value)),
        )
        self._widgets = {
            "front": self._teeth["front"].widget,
            "rear": self._teeth["rear"].widget,
            "slope": self._slope.widget,
            "road_speed": self._road_speed.widget,
            "travel": self._travel.widget,
            "other_bike": self._other.widget,
            "measure": self._measure.widget,
        }

    def __getitem__(self, name: str) -> widgets.Widget:
        """The widget of one control."""
        return self._widgets[name]

    def show(self) -> None:
        """Show the state, whoever changed it."""
        lesson, system = self._state.lesson, self._system
        for field, control in self._teeth.items():
            control.show(getattr(lesson.setup, field), self._teeth_scale(field))
        self._slope.show(number("slope", lesson.setup.slope, system), scale("slope", system))
        self._road_speed.show(self._shown_speed(), self._speed_scale())
        self._travel.show(self._shown_travel(), self._travel_scale())
        self._other.show(lesson.other_bike(self._state.library), self._others())
        self._measure.show(lesson.setup.measure, self._measures())

    @property
    def _system(self) -> str:
        return self._state.lesson.setup.units

    def _in_si(self, value: float, kind: str) -> float:
        one, _ = units.display(1.0, kind, self._system)
        return value / one

    def _teeth_scale(self, field: str) -> Scale:
        lesson = self._state.lesson
        sold = getattr(lesson.bike.sprockets, f"{field}_sold")
        chosen = getattr(lesson.setup, field)
        return Scale(min(sold[0], chosen), max(sold[1], chosen), 1)

    def _speed_scale(self) -> Scale:
        low, unit = units.display(SLOWEST, "speed", self._system)
        high, _ = units.display(FASTEST, "speed", self._system)
        return Scale(round(low), round(high), 1, unit)

    def _set_speed(self, value: float) -> None:
        # The ends of the slider are round in the reader's units and may lie a little outside.
        speed = min(max(self._in_si(value, "speed"), SLOWEST), FASTEST)
        self._state.move(road_speed=speed)

    def _shown_speed(self) -> int:
        shown, _ = units.display(self._state.lesson.place.road_speed, "speed", self._system)
        return round(shown)

    def _travel_scale(self) -> Scale:
        bike = self._state.lesson.bike
        most = 0.3 if bike.fit.wheel_travel is None else bike.fit.wheel_travel.si
        shown, unit = units.display(most, "length", self._system)
        if self._system == "metric":
            return Scale(0, int(shown + 1e-6), 1, unit)
        return Scale(0.0, int(shown * 10 + 1e-6) / 10, 0.1, unit)

    def _shown_travel(self) -> float:
        most = self._travel_scale().high
        shown, _ = units.display(self._state.lesson.place.travel, "length", self._system)
        return min(round(shown) if self._system == "metric" else round(shown, 1), most)

    def _others(self) -> tuple[tuple[str, str], ...]:
        library, here = self._state.library, self._state.lesson.setup.bike_id
        return tuple(
            (bike.name if bike_id in library else f"{bike.name} (invented)", bike_id)
            for bike_id, bike in others(library, here).items()
        )

    def _measures(self) -> tuple[tuple[str, str], ...]:
        picked = self._state.lesson.setup.measure
        if picked in [value for _, value in _MEASURES]:
            return _MEASURES
        return (*_MEASURES, (MEASURES[picked].label, picked))
