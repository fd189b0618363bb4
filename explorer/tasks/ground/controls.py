"""The controls that only the ground page has: its goal, the shift engine speed, a cruise speed."""

import math

from explorer.app.faults import Faults
from explorer.app.scales import from_number, number, scale
from explorer.app.state import State
from explorer.panels import widgets
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.number_control import NumberControl, Scale
from explorer.study.goals import by_distance, shift_speed

_RPM = 30 / math.pi
_RPM_STEP = 50


class GroundControls:
    """Controls in groups that the page places beside the card that they change.

    Attributes
    ----------
    goal, shift_at, cruise : ipywidgets.Widget
        The speed or distance to reach; the engine speed to change up at; the speed to hold.
    """

    def __init__(self, state: State, faults: Faults) -> None:
        self._state, self._faults = state, faults
        self._goal = ChoiceControl(
            "From rest at full throttle",
            "",
            (("to a speed", "time_to_speed"), ("over a distance", "time_over_distance")),
            self._kind,
            self._faults.guard(lambda value: self._set(measure=value)),
            widgets.ToggleButtons,
        )
        self._numbers = {
            field: self._number_for(field, name, help_text)
            for field, name, help_text in (
                ("target_speed", "Speed to reach", "The goal of shifting and of how sure it is."),
                ("distance", "Distance", "The goal of shifting and of how sure it is."),
                ("cruise_speed", "Speed to hold", "For the gear to use, and the closed throttle."),
            )
        }
        self._shift_at = NumberControl(
            "Change up at",
            "How you ride: beside other ways of changing up. Starts at the engine's peak power.",
            self._shift_scale(),
            self._shift_number(),
            self._faults.guard(lambda value: self._set(shift_at=value / _RPM)),
        )
        self.goal = widgets.VBox(
            [
                self._goal.widget,
                self._numbers["target_speed"].widget,
                self._numbers["distance"].widget,
            ]
        )
        self.shift_at = self._shift_at.widget
        self.cruise = self._numbers["cruise_speed"].widget
        self._show_only_the_goal()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._goal.show(self._kind)
        for field, control in self._numbers.items():
            control.show(self._shown(field), scale(field, self._system))
        self._shift_at.show(self._shift_number(), self._shift_scale())
        self._show_only_the_goal()

    @property
    def _system(self) -> str:
        return self._state.setup.units

    @property
    def _kind(self) -> str:
        return "time_over_distance" if by_distance(self._state.setup) else "time_to_speed"

    def _set(self, **fields) -> None:
        self._state.change(**fields)

    def _number_for(self, field: str, name: str, help_text: str) -> NumberControl:
        return NumberControl(
            name,
            help_text,
            scale(field, self._system),
            self._shown(field),
            self._faults.guard(
                lambda value: self._set(**{field: from_number(field, value, self._system)})
            ),
        )

    def _shown(self, field: str) -> float:
        return number(field, getattr(self._state.setup, field), self._system)

    def _shift_number(self) -> int:
        bounds = self._shift_scale()
        rpm = shift_speed(self._state.bike, self._state.setup) * _RPM
        return int(min(max(round(rpm), bounds.low), bounds.high))

    def _shift_scale(self) -> Scale:
        engine = self._state.bike.engine
        low = math.ceil(engine.launch_speed * _RPM / _RPM_STEP) * _RPM_STEP
        high = math.floor(engine.rev_limit.si * _RPM / _RPM_STEP) * _RPM_STEP
        return Scale(min(low, high - _RPM_STEP), high, _RPM_STEP, "rpm")

    def _show_only_the_goal(self) -> None:
        for field in ("target_speed", "distance"):
            wanted = (field == "distance") == by_distance(self._state.setup)
            widgets.show_if(wanted, self._numbers[field].widget)
