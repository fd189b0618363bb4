"""The form with every field of a bike, as text with its unit."""

from collections.abc import Callable, Iterable, Mapping

from explorer.panels import widgets
from explorer.panels.html import help_line


class BikeForm:
    """One text field for every field of a bike, and a button that hands all of them over.

    Args:
        fields: Descriptions with the attributes name, label and help.
        texts: First texts; a field without one is empty.
        on_apply: Called with the texts of all fields when the rider asks for it.
        guard: Wraps what a rider sets off in what says its failure.
    """

    def __init__(
        self,
        fields: Iterable,
        texts: Mapping[str, str],
        on_apply: Callable[[dict[str, str]], None],
        guard: Callable[[Callable], Callable],
    ) -> None:
        self._fields: dict[str, widgets.Text | widgets.Textarea] = {}
        rows = []
        for field in fields:
            kind = widgets.Textarea if field.name.endswith("curve") else widgets.Text
            typed = kind(
                value=texts.get(field.name, ""), description=field.label, tooltip=field.help
            )
            self._fields[field.name] = typed
            rows.append(widgets.VBox([typed, help_line(field.help)]).add_class("ge-field"))
        apply = widgets.Button(description="Use this bike", button_style="primary")
        apply.on_click(
            guard(lambda _: on_apply({path: typed.value for path, typed in self._fields.items()}))
        )
        self.widget = widgets.VBox([*rows, apply]).add_class("ge-form").add_class("ge-staged")

    def show(self, texts: Mapping[str, str]) -> None:
        """Show other texts in place of what is in the fields."""
        for path, typed in self._fields.items():
            typed.value = texts.get(path, "")
