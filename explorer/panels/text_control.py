"""A text that a rider types, with room for the sentence that answers it."""

from collections.abc import Callable

from explorer.panels import widgets
from explorer.panels.html import help_line, sentences
from explorer.records.errors import RecordError


class TextControl:
    """A text field whose content is reported when the rider is done with it.

    Args:
        name: Accessible name and visible label.
        help_text: One line under the control.
        value: First text shown.
        on_change: Called with the text.
        placeholder: Example shown while the field is empty.

    Attributes:
        widget: What the page places.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        value: str,
        on_change: Callable[[str], None],
        placeholder: str = "",
    ) -> None:
        self._field = widgets.Text(
            value=value,
            description=name,
            tooltip=help_text,
            placeholder=placeholder,
            continuous_update=False,
        )
        self._answer = widgets.HTML().add_class("ge-answer")
        self._showing = False
        self._on_change = on_change
        self._field.observe(self._typed, "value")
        self.widget = widgets.VBox([self._field, help_line(help_text), self._answer])
        self.widget.add_class("ge-field")

    def show(self, value: str) -> None:
        """Show a text that comes from elsewhere, without reporting it as the rider's."""
        self._showing = True
        try:
            if self._field.value != value:
                self._field.value = value
        finally:
            self._showing = False

    def answer(self, *texts: str, css_class: str = "ge-sentence") -> None:
        """Say what is wrong with what was typed, or nothing, in place of what was said before."""
        said = sentences(texts, css_class)
        if self._answer.value != said:
            self._answer.value = said

    def try_out(self, take: Callable[[], object]) -> None:
        """Take what was typed, or say beside the field what is wrong with it."""
        try:
            take()
        except RecordError as error:
            self.answer(*error.sentences)
        else:
            self.answer()

    def say_back(self, *texts: str) -> None:
        """Say how it was understood."""
        self.answer(*texts, css_class="ge-said")

    def _typed(self, change: dict) -> None:
        if not self._showing:
            self._on_change(change["new"])
