"""One of a few options with nothing picked yet, for a guess or a quiz."""

from collections.abc import Callable, Sequence

from explorer.panels import widgets


class PickControl:
    """Radio buttons that begin with none of them picked.

    Args:
        name: Accessible name and visible label.
        on_change: Called with the option that was picked.

    Attributes:
        widget: What the page places.
    """

    def __init__(self, name: str, on_change: Callable[[str], None]) -> None:
        self.widget = widgets.RadioButtons(options=(), value=None, description=name)
        self._options: tuple[str, ...] = ()
        self._showing = False
        self._on_change = on_change
        self.widget.observe(self._picked, "value")

    def show(self, options: Sequence[str], picked: str | None) -> None:
        """Show options and what is picked, without reporting it as the reader's."""
        self._showing = True
        try:
            if tuple(options) != self._options:
                self._options = tuple(options)
                self.widget.options = self._options
            # An option of another question may have been picked before.
            wanted = picked if picked in self._options else None
            if self.widget.value != wanted:
                self.widget.value = wanted
        finally:
            self._showing = False

    def _picked(self, change: dict) -> None:
        if not self._showing and change["new"] is not None:
            self._on_change(change["new"])
