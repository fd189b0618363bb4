"""Which set-up is under the sliders, adding and removing one, and their file."""

from urllib.parse import quote

from explorer.app.controls import Choice, upload
from explorer.app.page import OpenPage
from explorer.panels import widgets
from explorer.panels.html import help_line, link
from explorer.records.setups.comparison import MOST, read_file, write_file
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
        self._add = widgets.Button(
            description="Add a set-up", tooltip="Like this one, with another rear sprocket"
        )
        self._add.on_click(page.faults.guard(lambda _: self._state.add()))
        self._remove = widgets.Button(
            description="Remove this set-up", tooltip="The one under the sliders"
        )
        self._remove.on_click(page.faults.guard(lambda _: self._state.remove()))
        self.widget = widgets.HBox([self._add, self._remove])
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        self._add.disabled = len(self._state.others) >= MOST
        self._remove.disabled = len(self._state.others) == 1


class SetupFile:
    """The set-ups as a file, to take away and to bring back."""

    def __init__(self, page: OpenPage) -> None:
        self._state: BenchState = page.state
        self._download = widgets.HTML()
        opened = upload(
            "Open a file of set-ups",
            "A .toml file, as the download makes it",
            ".toml",
            lambda files: self._state.take(read_file(files[0][1], self._state.bike)),
        )(page)
        stays = "At most 1 MB. The file stays in this visit: nothing is stored here."
        self.widget = widgets.VBox([self._download, opened, help_line(stays)])
        self.show()

    def show(self) -> None:
        """Show the state, whoever changed it."""
        file = write_file(self._state.others, self._state.bike.name)
        self._download.value = link(
            f"data:application/toml;charset=utf-8,{quote(file)}",
            "Download these set-ups as a file",
            "set-ups.toml",
        )
