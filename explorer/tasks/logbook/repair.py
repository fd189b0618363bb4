"""A logbook that is hurt, or empty where a backup holds more: what is wrong, and what mends it."""

from collections.abc import Callable, Sequence

from explorer.app.faults import Faults
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl
from explorer.panels.html import sentences
from explorer.records.errors import RecordError
from explorer.records.logbook.logbook_backups import backups_in, put_in_place
from explorer.records.logbook.logbook_place import logbook_file
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.tasks.logbook import words

NONE = ""


class RepairControls:
    """What is wrong with the logbook, with the buttons that mend it beside it.

    Args:
        on_mended: Told in one sentence what was done.
    """

    def __init__(self, faults: Faults, on_mended: Callable[[str], None]) -> None:
        self._on_mended = on_mended
        self._store: LogbookStore | None = None
        self._said = widgets.HTML()
        self._pick = ChoiceControl(
            "Go back to", "By the time it was made, the newest first.", [("none", NONE)], NONE,
            lambda _: None,
        )  # fmt: skip
        self._back = faults.button("Put this backup in its place", self._restore)
        self._anew = faults.button("Begin a new logbook", self._begin)
        self.widget = widgets.VBox(
            [self._said, self._pick.widget, widgets.HBox([self._back, self._anew])]
        ).add_class("ge-caution")
        self.hide()

    def hide(self) -> None:
        """Nothing is wrong."""
        widgets.show_if(False, self.widget)

    def show(self, said: Sequence[str], store: LogbookStore | None = None) -> None:
        """Say what is wrong; `store` is the logbook if it can be used as it is."""
        self._store = store
        backups = backups_in(logbook_file().parent / "backups")
        options = [(words.backup_name(each.made), each.name) for each in backups]
        self._pick.show(options[0][1] if options else NONE, options or [("none", NONE)])
        aside = store is None and logbook_file().exists()
        hint = "Its file is moved aside, never deleted." if aside else ""
        none = "" if backups else "There is no backup."
        self._said.value = sentences([*said, *filter(None, (none, hint))], "ge-said")
        widgets.show_if(bool(backups), self._pick.widget, self._back)
        widgets.show_if(store is None, self._anew)
        widgets.show_if(True, self.widget)

    def _restore(self) -> None:
        if self._pick.value == NONE:
            raise RecordError(words.SAY["no-backup-picked"])
        if self._store is not None:
            self._store.restore(self._pick.value)
            kept = ""
        else:
            aside = put_in_place(logbook_file(), self._pick.value)
            kept = f" The file that was there is now {aside}." if aside else ""
        self._on_mended(f"The logbook is what its backup holds.{kept}")

    def _begin(self) -> None:
        aside = put_in_place(logbook_file(), NONE)
        LogbookStore(logbook_file().parent, anew=True)
        kept = f" The file that was there is now {aside}." if aside else ""
        self._on_mended(f"A new logbook is begun.{kept}")
