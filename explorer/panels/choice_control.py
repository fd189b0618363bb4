"""One of several things that a rider picks: from a list, along a slider, or between two buttons."""

from collections.abc import Callable, Hashable, Sequence

from explorer.panels import widgets
from explorer.panels.html import help_line

Options = Sequence[tuple[str, Hashable]]


class ChoiceControl:
    """A choice among named options.

    Args:
        name: Accessible name and visible label.
        help_text: One line under the control; empty for none.
        options (sequence of (label, value)): What can be picked.
        value: First choice shown.
        on_change: Called with the value that the rider picked.
        kind (ipywidgets class): Dropdown, SelectionSlider or ToggleButtons.

    Attributes:
        widget: What the page places.
    """

    def __init__(
        self,
        name: str,
        help_text: str,
        options: Options,
        value: Hashable,
        on_change: Callable[[Hashable], None],
        kind: type = widgets.Dropdown,
    ) -> None:
        self._options = tuple(options)
        self._choice = kind(options=self._options, value=value, description=name, tooltip=help_text)
        self._showing = False
        self._on_change = on_change
        self._choice.observe(self._picked, "value")
        parts = [self._choice, help_line(help_text)] if help_text else [self._choice]
        self.widget = widgets.VBox(parts).add_class("ge-field")

    @property
    def value(self) -> Hashable:
        """What is picked now."""
        return self._choice.value

    def show(self, value: Hashable, options: Options | None = None) -> None:
        """Show a choice that comes from elsewhere, without reporting it as the rider's."""
        self._showing = True
        try:
            # One message: the browser reports where a picked place stands among other options.
            with self._choice.hold_sync():
                if options is not None and tuple(options) != self._options:
                    self._options = tuple(options)
                    self._choice.options = self._options
                if self._choice.value != value:
                    self._choice.value = value
        finally:
            self._showing = False

    def _picked(self, change: dict) -> None:
        if not self._showing:
            self._on_change(change["new"])
