"""The short form of a bike of one's own: a few fields, each answered beside itself."""

from collections.abc import Callable, Iterable, Mapping

from explorer.panels import card, widgets
from explorer.panels.html import help_line, sentences


class OwnBikeForm:
    """Fields in a page's width, and a button.

    Args:
        fields: Descriptions with the attributes name, label, kind, help, example and choices.
        groups: What the fields from one on are good for, by that field's name.
        on_use: Called when the rider is done.
        guard: Wraps what a rider sets off in what says its failure.
    """

    def __init__(
        self,
        fields: Iterable,
        groups: Mapping[str, str],
        on_use: Callable[[], None],
        guard: Callable[[Callable], Callable],
    ) -> None:
        self._fields: dict[str, widgets.Widget] = {}
        self._answers: dict[str, widgets.HTML] = {}
        rows = []
        for field in fields:
            words = {"description": field.label, "tooltip": field.help}
            if field.kind == "choice":
                typed = widgets.Dropdown(options=field.choices, **words)
            else:
                # Told when the field is left: the button's message must not overtake a letter's.
                typed = widgets.Text(placeholder=field.example, continuous_update=False, **words)
            answer = widgets.HTML().add_class("ge-answer")
            self._fields[field.name], self._answers[field.name] = typed, answer
            if field.name in groups:
                rows.append(card.heading(groups[field.name]))
            rows.append(widgets.VBox([typed, help_line(field.help), answer]).add_class("ge-field"))
        use = widgets.Button(description="Use my bike", button_style="primary")
        use.on_click(guard(lambda _: on_use()))
        self._whole = widgets.HTML().add_class("ge-answer")
        self.widget = (
            widgets.VBox([*rows, use, self._whole])
            .add_class("ge-form")
            .add_class("ge-own")
            .add_class("ge-staged")
        )

    @property
    def texts(self) -> dict[str, str]:
        """What is typed, by the name of the field."""
        return {name: typed.value for name, typed in self._fields.items()}

    def show(self, texts: Mapping[str, str]) -> None:
        """Show other texts in place of what is in the fields."""
        for name, typed in self._fields.items():
            if text := texts.get(name, ""):
                typed.value = text

    def focus(self) -> None:
        """Put the keyboard into the first field."""
        next(iter(self._fields.values())).focus()

    def answer(
        self, said: Mapping[str, str], problems: Mapping[str, Iterable[str]], done: str
    ) -> None:
        """Say beside each field what is wrong or how it was read; the first wrong one is shown.

        Args:
            said: How a text was understood, by field.
            problems: Sentences by field; "" for those between fields.
            done: What is said when all is well.
        """
        for name, answer in self._answers.items():
            if name in problems:
                answer.value = sentences(problems[name])
            else:
                answer.value = sentences([said[name]], "ge-said") if name in said else ""
        between = problems.get("")
        self._whole.value = sentences(between) if between else sentences([done], "ge-said")
        for name, typed in self._fields.items():
            if name in problems:
                typed.focus()  # the browser brings it into view
                break
