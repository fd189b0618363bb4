"""The controls of the fit page: the questions; they write the state and show it."""

from explorer.app.faults import Faults
from explorer.app.page import Item
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl, TextControl
from explorer.records.errors import RecordError
from explorer.records.fields import Field
from explorer.records.fitting.fit_fields import FIT_FIELDS
from explorer.tasks.fit.state import FitState
from explorer.tasks.fit.words import as_read

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
        group: Which questions, as `fit_fields` groups them.
        folded: Title of the lid over the questions; empty to show them at once. Questions under a
            lid are built when it is first opened: the page has many.
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
            if isinstance(control, TextControl):
                control.show_example(self._example(field))
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

    def _shown(self, field: Field) -> str:
        if field.kind == "choice":
            return self._state.measured.get(field.name) or ""
        return self._state.measured.text(field.name)

    def _control(self, field: Field) -> TextControl | ChoiceControl:
        def changed(text: str, name: str = field.name) -> None:
            self._take(name, text)

        guarded = self._faults.guard(changed)
        if field.kind == "choice":
            words = _CHAIN_WORDS if field.name == "chain" else {}
            options = [(words.get(choice, choice), choice) for choice in field.choices]
            if not field.default:
                options.insert(0, ("choose", ""))
            return ChoiceControl(field.label, field.help, options, self._shown(field), guarded)
        return TextControl(
            field.label, field.help, self._shown(field), guarded, self._example(field)
        )

    def _example(self, field: Field) -> str:
        """What may be typed, or what counts until then."""
        text = as_read(field, field.default or field.example, self._state.setup.units)
        return f"{text} unless typed" if field.default else text

    def _take(self, name: str, text: str) -> None:
        control = self._controls[name]
        try:
            self._state.answer(**{name: text})
        except RecordError as error:
            self._refused.add(name)
            if not isinstance(control, TextControl):
                raise
            kept = self._state.measured.text(name)
            still = f"the page goes on with {kept}" if kept else "it counts as not known"
            control.answer(*error.sentences, f"Until then {still}.")
            return
        self._refused.discard(name)
        if isinstance(control, TextControl):
            control.answer()
            control.show(self._state.measured.text(name))


def answers(group: str, folded: str = "") -> Item:
    """The questions of one group, as `AnswerControls` has them."""
    return lambda page: AnswerControls(page.state, page.faults, group, folded)
