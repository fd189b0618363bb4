"""The controls of the fit page: they write the state and show it, and compute nothing."""

from collections.abc import Callable

from explorer.app.faults import Faults
from explorer.panels import widgets
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.number_control import NumberControl, Scale
from explorer.panels.text_control import TextControl
from explorer.records.clubs.club import bikes_in_words
from explorer.records.errors import RecordError
from explorer.records.fitting.fit_fields import FIT_FIELDS, FitField
from explorer.records.setups.sold_teeth import check_sold
from explorer.records.setups.sprocket_pair import parse_pair
from explorer.tasks.fit.state import FitState

_LEAST_MOVE = 0.04
"""Less than half the finest step of the wheel travel's slider [mm or in]."""

_CHAIN_WORDS = {
    "keep": "Keep my chain",
    "fewest changed": "My chain, fewest links changed",
    "shortest": "New chain, fewest links",
    "new": "New chain of a number",
}


class AnswerControls:
    """The questions of one group, each with the sentence that answers a slip.

    What is typed stays in its field, accepted or not.

    Args:
        state: Takes the answers.
        faults: Says what is our fault.
        group: Which questions, as `fit_fields` groups them.
        folded: Title of the lid over the questions; empty to show them at once. Questions under a
            lid are built when it is first opened: the page has many.

    Attributes:
        widget: What the page places.
    """

    def __init__(self, state: FitState, faults: Faults, group: str, folded: str = "") -> None:
        self._state, self._faults = state, faults
        self._fields = [field for field in FIT_FIELDS if field.group == group]
        self._controls: dict[str, TextControl | ChoiceControl] = {}
        self._refused: set[str] = set()
        self._bike = state.bike
        # The sidebar is too narrow for two columns; elsewhere they spare a long way down.
        narrow = group in ("chain", "axle")
        self._box = widgets.VBox().add_class("ge-form" if narrow else "ge-columns")
        if folded:
            lid = widgets.Accordion([self._box], titles=(folded,))
            lid.observe(faults.guard(self._opened, clears=False), "selected_index")
            self.widget = lid
        else:
            self._build()
            self.widget = self._box

    def show(self) -> None:
        """Show the state, whoever changed it; a text that was refused stays until it is mended."""
        if self._state.bike is not self._bike:
            self._bike = self._state.bike
            self._refused.clear()
            for control in self._controls.values():
                if isinstance(control, TextControl):
                    control.answer()
        for field in self._fields:
            control = self._controls.get(field.name)
            if control is not None and field.name not in self._refused:
                control.show(self._shown(field))

    def _opened(self, change: dict) -> None:
        # The browser reports closed lids too, as it first shows them; that is no act of the rider's
        # and must not take away what is being said.
        if change["new"] is not None and not self._controls:
            self._build()
            self._faults.clear()

    def _build(self) -> None:
        self._controls = {field.name: self._control(field) for field in self._fields}
        self._box.children = [control.widget for control in self._controls.values()]

    def _shown(self, field: FitField) -> str:
        if field.kind == "choice":
            return self._state.measured.get(field.name) or ""
        return self._state.measured.text(field.name)

    def _control(self, field: FitField) -> TextControl | ChoiceControl:
        def changed(text: str, name: str = field.name) -> None:
            self._take(name, text)

        guarded = self._faults.guard(changed)
        if field.kind == "choice":
            words = _CHAIN_WORDS if field.name == "chain" else {}
            options = [(words.get(choice, choice), choice) for choice in field.choices]
            if not field.default:
                options.insert(0, ("choose", ""))
            return ChoiceControl(field.label, field.help, options, self._shown(field), guarded)
        example = field.example if not field.default else f"{field.default} unless typed"
        return TextControl(field.label, field.help, self._shown(field), guarded, example)

    def _take(self, name: str, text: str) -> None:
        control = self._controls[name]
        try:
            self._state.answer(**{name: text})
        except RecordError as error:
            self._refused.add(name)
            if not isinstance(control, TextControl):
                raise
            control.answer(*error.sentences)
            return
        self._refused.discard(name)
        if isinstance(control, TextControl):
            control.answer()


class FitControls:
    """Bike, units, pair and wheel travel.

    Args:
        state: Takes what the rider chooses.
        faults: Says what cannot be.
        on_travel: Called with the wheel travel [m] that the rider moves to.

    Attributes:
        reader, gearing, travel: What the page places.
    """

    def __init__(self, state: FitState, faults: Faults, on_travel: Callable[[float], None]) -> None:
        self._state, self._faults = state, faults
        self._bike = ChoiceControl(
            "Bike",
            f"{bikes_in_words()}.",
            [(bike.name, bike_id) for bike_id, bike in state.library.items()],
            state.setup.bike_id,
            faults.guard(state.pick_bike),
        )
        self._units = ChoiceControl(
            "Units",
            "",
            [("km/h, mm, N", "metric"), ("mph, in, lbf", "imperial")],
            state.setup.units,
            faults.guard(lambda value: state.change(units=value)),
            widgets.ToggleButtons,
        )
        self.reader = widgets.VBox([self._bike.widget, self._units.widget])
        self._teeth = {
            field: NumberControl(
                name,
                help_text,
                self._teeth_scale(field),
                getattr(state.setup, field),
                faults.guard(lambda value, field=field: state.change(**{field: value})),
            )
            for field, name, help_text in (
                ("front", "Front sprocket", "Teeth at the gearbox, to be fitted."),
                ("rear", "Rear sprocket", "Teeth at the wheel, to be fitted."),
            )
        }
        self._pair = TextControl(
            "Both sprockets",
            "Typed as 13/48, 48:13 or 13-48.",
            "",
            faults.guard(self._type_pair),
            "13/48",
        )
        self.gearing = widgets.VBox(
            [*(each.widget for each in self._teeth.values()), self._pair.widget]
        )
        self._travel = NumberControl(
            "Wheel travel",
            "From hanging to fully compressed.",
            Scale(0.0, 300.0, 1.0, "mm"),
            0.0,
            faults.guard(self._move_wheel, clears=False),
        )
        self._on_travel = faults.guard(on_travel)
        self._per_unit, self._travel_shown = 0.001, 0.0
        self.travel = self._travel.widget

    def show(self) -> None:
        """Show the state, whoever changed it."""
        setup = self._state.setup
        self._bike.show(setup.bike_id)
        self._units.show(setup.units)
        for field, control in self._teeth.items():
            control.show(getattr(setup, field), self._teeth_scale(field))

    def show_travel(self, travel: float, whole: float, per_unit: float, unit: str) -> None:
        """Show a wheel travel on its slider.

        Args:
            travel, whole: Travel now and the whole of it [unit].
            per_unit: Metres in one unit [m].
            unit: The reader's unit.
        """
        self._per_unit = per_unit
        step = 1.0 if unit == "mm" else 0.1
        self._travel_shown = round(travel, 1)
        self._travel.show(self._travel_shown, Scale(0.0, round(whole, 1), step, unit))

    def _move_wheel(self, travel: float) -> None:
        # As it is first shown the browser reports the slider's place, put on a whole step: that is
        # no move of the rider's, and must not take away what is being said.
        if abs(travel - self._travel_shown) > _LEAST_MOVE:
            self._on_travel(travel * self._per_unit)

    def _teeth_scale(self, field: str) -> Scale:
        low, high = getattr(self._state.bike.sprockets, f"{field}_sold")
        chosen = getattr(self._state.setup, field)
        return Scale(min(low, chosen), max(high, chosen), 1)

    def _type_pair(self, text: str) -> None:
        if not text.strip():
            self._pair.answer()
            return
        try:
            pair = parse_pair(text)
            check_sold(self._state.bike, pair.front, pair.rear)
            self._state.change(front=pair.front, rear=pair.rear)
        except RecordError as error:
            self._pair.answer(*error.sentences)
            return
        self._pair.answer(pair.sentence)
