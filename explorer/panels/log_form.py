"""The form of one logbook entry: every field as typed, with room for the answer."""

from collections.abc import Callable, Iterable, Mapping

from explorer.panels import widgets
from explorer.panels.html import help_line, sentences

_NOT_SAID = ("not said", "")


class LogForm:
    """One field for everything that an entry holds, and the buttons that the page gives it.

    Args:
        fields: Descriptions with the attributes name, label, kind, help, example and choices.
        actions (sequence of (name, tooltip, callable)): One button each; the first is the main one.
            Called without arguments.
    """

    def __init__(
        self, fields: Iterable, actions: Iterable[tuple[str, str, Callable[[], None]]]
    ) -> None:
        self._fields: dict[str, widgets.Widget] = {}
        rows = []
        for field in fields:
            typed = _control(field)
            self._fields[field.name] = typed
            below = [help_line(field.help)] if field.help else []
            rows.append(widgets.VBox([typed, *below]).add_class("ge-field"))
        self._answer = widgets.HTML().add_class("ge-answer")
        # page scripts keep what is typed until something stands here (drafts.js)
        self._saved = widgets.HTML().add_class("ge-saved")
        self._buttons = []
        for place, (name, tooltip, action) in enumerate(actions):
            button = widgets.Button(
                description=name, tooltip=tooltip, button_style="" if place else "primary"
            )
            button.on_click(lambda _, action=action: action())
            self._buttons.append(button)
        self.widget = widgets.VBox(
            [
                widgets.VBox(rows).add_class("ge-log-fields"),
                self._answer,
                widgets.HBox([*self._buttons, self._saved]).add_class("ge-log-actions"),
            ]
        ).add_class("ge-log-form")

    @property
    def texts(self) -> dict[str, str]:
        """What is typed, by the name of the field."""
        return {name: typed.value for name, typed in self._fields.items()}

    def show(self, texts: Mapping[str, str]) -> None:
        """Show other texts in place of what is in the fields."""
        for name, typed in self._fields.items():
            typed.value = texts.get(name, "")

    def answer(self, *texts: str) -> None:
        """Say something about what is typed, in place of what was said before."""
        self._answer.value = ""  # so that the page hears of the same answer again
        self._answer.value = sentences(texts)
        self._saved.value = ""

    def saved(self, text: str) -> None:
        """Say beside the buttons that what was typed is saved; the fields are free again."""
        self.answer()
        self.show({})
        self._saved.value = sentences([text], "ge-said")

    def show_actions(self, shown: Iterable[bool]) -> None:
        """Show or hide each button, in their order."""
        for button, visible in zip(self._buttons, shown, strict=True):
            widgets.show_if(visible, button)


def _control(field) -> widgets.Widget:
    words = {"description": field.label, "tooltip": field.help or field.label}
    if field.kind == "choice":
        options = [_NOT_SAID, *((choice, choice) for choice in field.choices)]
        return widgets.Dropdown(options=options, value="", **words)
    kind = widgets.Textarea if field.kind == "note" else widgets.Text
    return kind(placeholder=field.example, **words)
