"""Forms of text fields, each with its line of help, in which everything stands as it was typed.

A field is described by an object with the attributes name, label, kind, help, example and choices.
What a page gives for a button is called without arguments.
"""

from collections.abc import Callable, Iterable, Mapping
from typing import Any

from explorer.panels import card, widgets
from explorer.panels.html import help_line, sentences

Guard = Callable[[Callable], Callable]
"""Wraps what a rider sets off in what says its failure."""


class _Form:
    """What is typed in some fields."""

    def __init__(self) -> None:
        self._fields: dict[str, widgets.Widget] = {}

    def _row(self, field: Any, typed: widgets.Widget, *below: widgets.Widget) -> widgets.Widget:
        self._fields[field.name] = typed
        help_text = [help_line(field.help)] if field.help else []
        return widgets.VBox([typed, *help_text, *below]).add_class("ge-field")

    @property
    def texts(self) -> dict[str, str]:
        """What is typed, by the name of the field."""
        return {name: typed.value for name, typed in self._fields.items()}

    def show(self, texts: Mapping[str, str]) -> None:
        """Show other texts in place of what is in the fields."""
        for name, typed in self._fields.items():
            typed.value = texts.get(name, "")


class BikeForm(_Form):
    """Every field of a bike, and a button that hands all texts over."""

    def __init__(
        self,
        fields: Iterable,
        texts: Mapping[str, str],
        on_apply: Callable[[dict[str, str]], None],
        guard: Guard,
    ) -> None:
        super().__init__()
        rows = []
        for field in fields:
            kind = widgets.Textarea if field.name.endswith("curve") else widgets.Text
            rows.append(self._row(field, kind(description=field.label, tooltip=field.help)))
        self.show(texts)
        apply = guard(lambda: on_apply(self.texts))
        rows.append(widgets.button("Use this bike", None, apply, button_style="primary"))
        self.widget = widgets.dressed(widgets.VBox(rows), "ge-form ge-staged")


class OwnBikeForm(_Form):
    """The short form of a bike of one's own: a few fields, each answered beside itself.

    The groups say what the fields from one on are good for, by that field's name.
    """

    def __init__(
        self,
        fields: Iterable,
        groups: Mapping[str, str],
        on_use: Callable[[], None],
        guard: Guard,
    ) -> None:
        super().__init__()
        self._answers: dict[str, widgets.HTML] = {}
        rows = []
        for field in fields:
            words = {"description": field.label, "tooltip": field.help}
            if field.kind == "choice":
                typed = widgets.Dropdown(options=field.choices, **words)
            else:
                # Told when the field is left: the button's message must not overtake a letter's.
                typed = widgets.Text(placeholder=field.example, continuous_update=False, **words)
            answer = self._answers[field.name] = widgets.HTML().add_class("ge-answer")
            if field.name in groups:
                rows.append(card.heading(groups[field.name]))
            rows.append(self._row(field, typed, answer))
        use = widgets.button("Use my bike", None, guard(on_use), button_style="primary")
        self._whole = widgets.HTML().add_class("ge-answer")
        self.widget = widgets.VBox([*rows, use, self._whole])
        widgets.dressed(self.widget, "ge-form ge-own ge-staged")

    def show(self, texts: Mapping[str, str]) -> None:
        """Show other texts; a field without one stays as it is."""
        super().show(self.texts | {name: text for name, text in texts.items() if text})

    def focus(self) -> None:
        """Put the keyboard into the first field."""
        next(iter(self._fields.values())).focus()

    def answer(
        self, said: Mapping[str, str], problems: Mapping[str, Iterable[str]], done: str
    ) -> None:
        """Say beside each field how it was understood, or its problems; the first wrong one is
        shown. Problems between fields stand under ""; `done` is said when all is well."""
        for name, answer in self._answers.items():
            if name in problems:
                answer.value = sentences(problems[name])
            else:
                answer.value = sentences([said[name]], "ge-said") if name in said else ""
        between = problems.get("")
        self._whole.value = sentences(between) if between else sentences([done], "ge-said")
        if wrong := next((name for name in self._fields if name in problems), None):
            self._fields[wrong].focus()  # the browser brings it into view


class LogForm(_Form):
    """One logbook entry, with room for the answer.

    The page gives its buttons, each as name, tooltip and what it does; the first is the main one.
    """

    def __init__(
        self, fields: Iterable, actions: Iterable[tuple[str, str, Callable[[], None]]]
    ) -> None:
        super().__init__()
        rows = [self._row(field, _control(field)) for field in fields]
        self._answer = widgets.HTML().add_class("ge-answer")
        # page scripts keep what is typed until something stands here (drafts.js)
        self._saved = widgets.HTML().add_class("ge-saved")
        self._buttons = [widgets.button(*action) for action in actions]
        self._buttons[0].button_style = "primary"
        buttons = widgets.HBox([*self._buttons, self._saved]).add_class("ge-log-actions")
        whole = [widgets.VBox(rows).add_class("ge-log-fields"), self._answer, buttons]
        self.widget = widgets.VBox(whole).add_class("ge-log-form")

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


def _control(field: Any) -> widgets.Widget:
    words = {"description": field.label, "tooltip": field.help or field.label}
    if field.kind == "choice":
        options = [("not said", ""), *((choice, choice) for choice in field.choices)]
        return widgets.Dropdown(options=options, value="", **words)
    kind = widgets.Textarea if field.kind == "note" else widgets.Text
    return kind(placeholder=field.example, **words)
