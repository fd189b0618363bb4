"""Which set-up is under the sliders, adding and removing one."""

from explorer.app.controls import Choice
from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.records.setups.comparison import MOST
from explorer.tasks.bench.state import BenchState


def which(page: OpenPage) -> Choice:
    """Which set-up the sliders change."""
    return Choice(
        page,
        ("Set-up to change", "The fitted gearing stays; the sliders below change this one."),
        lambda state: [
            (f"{name} {each.pair}", at)
            for at, (name, each) in enumerate(zip(state.choice.names, state.others, strict=False))
        ],
        lambda state: state.choice.at,
        BenchState.select,
        widgets.ToggleButtons,
    )


class AddAndRemove:
    """Buttons for one set-up more, and one fewer."""

    def __init__(self, page: OpenPage) -> None:
        self._state: BenchState = page.state
        self._add = page.faults.button(
            "Add a set-up", self._state.add, "Like this one, with another rear sprocket"
        )
        self._remove = page.faults.button(
            "Remove this set-up", self._state.remove, "The one under the sliders"
        )
        self.widget = widgets.HBox([self._add, self._remove])
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._add.disabled = len(self._state.others) >= MOST
        self._remove.disabled = len(self._state.others) == 1
