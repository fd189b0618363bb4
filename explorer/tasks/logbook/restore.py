"""Backups of the logbook at home: make one, and go back to one after being asked."""

from collections.abc import Callable
from datetime import datetime

from explorer.app.faults import Faults
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl
from explorer.panels.html import help_line, sentences
from explorer.records.errors import RecordError
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.tasks.logbook import words

NONE = ""


class BackupControls:
    """A button that backs up, and a list of the backups with one that goes back.

    Args:
        on_done: Told in one sentence what was done, after the logbook was put back or backed up.
    """

    def __init__(self, store: LogbookStore, faults: Faults, on_done: Callable[[str], None]) -> None:
        self._store, self._button, self._on_done = store, faults.button, on_done
        self._pick = ChoiceControl(
            "Backup",
            "By the time it was made, the newest first.",
            [("none", NONE)],
            NONE,
            faults.guard(lambda _: self._ask_no_more()),
        )
        self._confirm = widgets.VBox()
        self.widget = widgets.VBox(
            [
                self._button("Back up now", self._backup),
                help_line(words.SAY["backups"]),
                self._pick.widget,
                self._button("Go back to this backup", self._ask),
                self._confirm,
            ]
        )
        self.show()

    def show(self) -> None:
        """List the backups there are now."""
        made = {each.name: each.made for each in self._store.backups()}
        chosen = self._pick.value if self._pick.value in made else NONE
        options = [(words.backup_name(moment), name) for name, moment in made.items()]
        self._pick.show(NONE, [("none", NONE), *options])
        self._pick.show(chosen)

    def _backup(self) -> None:
        said = f"Copied to {self._store.backup()}."
        self.show()
        self._on_done(said)

    def _ask(self) -> None:
        self.show()
        name = self._pick.value
        made = {each.name: each.made for each in self._store.backups()}
        if name not in made:
            raise RecordError(words.SAY["no-backup-picked"])
        yes = self._button("Yes, go back", lambda: self._restore(name, made[name]))
        no = self._button("No, leave it as it is", self._ask_no_more)
        question = words.restore_question(made[name], len(self._store.entries()))
        said = widgets.HTML(sentences([question], "ge-said"))
        self._confirm.children = [said, widgets.HBox([yes, no])]

    def _restore(self, name: str, made: datetime) -> None:
        self._ask_no_more()
        before = self._store.restore(name)
        self._pick.show(NONE)
        self.show()
        self._on_done(words.restored_sentence(made, len(self._store.entries()), before.name))

    def _ask_no_more(self) -> None:
        self._confirm.children = []
