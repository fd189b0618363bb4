"""The entries of the logbook: one to write, those that are kept, two to compare, their files."""

from datetime import date

from explorer import units
from explorer.app.controls import upload
from explorer.app.faults import Faults
from explorer.app.page import OpenPage
from explorer.app.printed import save_link
from explorer.panels import widgets
from explorer.panels.controls import ChoiceControl
from explorer.panels.forms import LogForm
from explorer.panels.html import help_line, sentences, table
from explorer.records.errors import RecordError
from explorer.records.logbook.entry import Kept, LogbookConflict, LogEntry
from explorer.records.logbook.entry_doubts import doubts
from explorer.records.logbook.logbook_fields import LOG_FIELDS
from explorer.records.logbook.logbook_file import read_file, write_csv, write_json
from explorer.records.logbook.logbook_place import Logbook
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.records.logbook.logbook_visit import VisitLogbook
from explorer.tasks.logbook import words
from explorer.tasks.logbook.repair import RepairControls
from explorer.tasks.logbook.restore import BackupControls
from explorer.tasks.logbook.sheet import download_link
from explorer.tasks.logbook.state import LogbookState

NONE = ""
"""Stands for no entry in the lists to pick from."""


class Entries:
    """The form of one entry, the entries that are kept, and their files.

    Attributes:
        done: Says what was done last.
        entry, kept, compared, files: What the page places.
    """

    def __init__(self, page: OpenPage) -> None:
        self._page = page
        self._state: LogbookState = page.state
        self._faults = page.faults
        # Beside their buttons, far below the page's own.
        self._list_faults, self._file_faults = Faults(), Faults()
        self._backups: BackupControls | None = None
        self._repair = RepairControls(self._faults, self._mended)
        self._where = widgets.VBox()
        self._doubted: LogEntry | None = None
        self._editing: Kept | None = None
        self._deleting: Kept | None = None
        self._first = 0
        self._kept: dict[str, Kept] = {}
        self._form = LogForm(
            LOG_FIELDS,
            (
                ("Keep this entry", "Checked, then kept", self._faults.guard(self._keep)),
                (
                    "Fill in from the set-up",
                    "Takes what the link and the fit page know",
                    self._faults.guard(self._fill_in),
                ),
                ("Cancel editing", "The entry stays as it was", self._faults.guard(self._cancel)),
            ),
        )
        self.done, self._by_files = widgets.HTML(), widgets.HTML()
        self._heading = widgets.HTML()
        self._count = widgets.HTML().add_class("ge-help")
        self._table = widgets.HTML().add_class("ge-table")
        self._pick = self._choice(
            "Entry", "One of those shown, to edit or to delete.", lambda _: self._ask_no_more()
        )
        self._before = self._choice("Before", "The older entry.", lambda _: self._show_sheet())
        self._after = self._choice("After", "The newer entry.", lambda _: self._show_sheet())
        self._sheet = widgets.HTML()
        self._exports = widgets.HTML()
        # What this browser kept of earlier visits comes in here (kept_entries.js).
        self._browser = widgets.dressed(widgets.Text(), "ge-browser-book")
        self._browser.observe(self._faults.guard(self._brought_back), "value")
        self._in_browser = False
        self._confirm = widgets.VBox()
        self._newer = self._faults.button("Newer entries", lambda: self._turn(-1))
        self._older = self._faults.button("Older entries", lambda: self._turn(1))
        self.entry = widgets.VBox([self._heading, self._form.widget]).add_class("ge-card")
        edit, delete = ("Edit", self._edit), ("Delete", self._ask_to_delete)
        buttons = widgets.HBox([self._list_faults.button(*each) for each in (edit, delete)])
        self._to_edit = widgets.VBox([self._pick.widget, self._list_faults.widget, buttons])
        again = self._faults.button("Read again", self._refresh)
        turn = widgets.HBox([self._newer, self._older, again])
        self.kept = [self._count, self._table, turn, self._to_edit, self._confirm]
        self.compared = [self._before.widget, self._after.widget, self._sheet]
        self.files = self._file_widgets()
        self.widgets = [self._repair.widget, self.done, self.entry]
        self._show_where()
        self._form.show(self._filled_in)
        if self._state.choice.outing.texts:
            self._say(words.filled_in_sentence(self._state.choice.outing))
        self._ask_no_more()
        self._show_editing()
        self._faults.guard(self._refresh)()

    @property
    def book(self) -> Logbook:
        """The logbook of the page."""
        return self._state.book

    @property
    def _filled_in(self) -> dict[str, str]:
        return self._state.choice.filled_in

    @property
    def _typed(self) -> dict[str, str]:
        """What the form holds, bare lengths in the reader's unit."""
        system = self._state.choice.units
        bare = {field.name for field in LOG_FIELDS if field.kind == "length"}
        return {
            name: units.with_unit(text, "length", system) if name in bare else text
            for name, text in self._form.texts.items()
        }

    def _file_widgets(self) -> list[widgets.Widget]:
        tooltip = "JSON or CSV as exported here; nothing that stands here is overwritten"
        opened = upload(
            "Open a logbook file", tooltip, ".json,.csv", self._opened, self._file_faults
        )
        opened.add_class("ge-logbook-upload")  # page.js lets through what `read_file` takes
        return [
            self._exports,
            self._browser,
            opened,
            self._by_files,
            help_line(words.SAY["files"]),
            self._where,
        ]

    def _show_where(self) -> None:
        """Where the logbook is, with its backups, and what is wrong with it."""
        book, self._backups = self.book, None
        where = words.SAY["in-this-browser" if self._in_browser else "on-a-server"]
        if self._state.hurt:
            self._repair.show(self._state.hurt)
        if isinstance(book, LogbookStore):
            where = words.SAY["at-home"].format(path=book.path)
            self._backups = BackupControls(book, self._file_faults, self._backed_up)
            if found := book.emptied():
                self._repair.show([words.emptied_sentence(*found)], book)
        at_home = isinstance(book, LogbookStore)
        (self._exports.remove_class if at_home else self._exports.add_class)("ge-in-page")
        shown = [widgets.HTML(sentences([where], "ge-said"))]
        self._where.children = shown + ([self._backups.widget] if self._backups else [])

    def _mended(self, said: str) -> None:
        """The logbook can be used again: what was kept in the page meanwhile goes into it."""
        meanwhile = self.book
        self._repair.hide()
        problems = self._state.open_book()
        if isinstance(meanwhile, VisitLogbook) and isinstance(self.book, LogbookStore):
            self.book.merge((each.entry_id, each.entry) for each in meanwhile.entries()[::-1])
            self._editing = None
            self._show_editing()
        self._show_where()
        self._refresh_and_say(said)
        if problems:
            self._faults.say(*problems)

    def _choice(self, name: str, help_text: str, on_change) -> ChoiceControl:
        guarded = self._faults.guard(on_change)
        return ChoiceControl(name, help_text, [("none", NONE)], NONE, guarded)

    def _keep(self) -> None:
        """Keep what is typed; whatever goes wrong is answered below it, and it stays typed."""
        try:
            entry = LogEntry.of(self._typed)
            asked = doubts(entry, date.today())
            if asked and entry != self._doubted:
                self._doubted = entry
                self._form.answer(*asked, words.SAY["keep-all-the-same"])
                return
            if self._editing is None:
                kept = self.book.add(entry)
            else:
                kept = self.book.change(self._editing, entry)
        except LogbookConflict as error:
            self._form.answer(*error.sentences, "What you typed is still here.")
            # Typed words that nobody else has: kept as a new entry if the rider wants it so.
            self._editing = None
            self._show_editing()
            self._refresh()
            return
        except RecordError as error:
            self._form.answer(*error.sentences)
            return
        self._editing = self._doubted = None
        at_home = isinstance(self.book, LogbookStore)
        self._form.saved(words.saved_sentence(kept, at_home, self._in_browser))
        self._show_editing()
        self._first = 0
        self._refresh_and_say()

    def _fill_in(self) -> None:
        """Fill in what the set-up knows; nothing typed is overwritten."""
        typed = {name: text for name, text in self._form.texts.items() if text.strip()}
        self._form.show(self._filled_in | typed)

    def _cancel(self) -> None:
        self._editing = None
        self._form.show({})
        self._form.answer()
        self._show_editing()

    def _edit(self) -> None:
        kept = self._picked(self._pick)
        self._editing = kept
        self._form.show(kept.entry.texts)
        self._form.answer()
        self._show_editing()

    def _ask_to_delete(self) -> None:
        self._deleting = self._picked(self._pick)
        name = words.name_of(self._deleting)
        yes = self._faults.button("Yes, delete it", self._delete)
        no = self._faults.button("No, keep it", self._ask_no_more)
        question = sentences([f"Delete “{name}” for good?"], "ge-said")
        self._confirm.children = [widgets.HTML(question), widgets.HBox([yes, no])]

    def _delete(self) -> None:
        deleting = self._deleting
        self._ask_no_more()
        if deleting is None:
            return
        try:
            self.book.remove(deleting)
        finally:
            self._refresh()
        if self._editing is not None and self._editing.entry_id == deleting.entry_id:
            # Its words stay in the form: keeping them makes a new entry.
            self._editing = None
            self._show_editing()
        self._say(f"Deleted: {words.name_of(deleting)}.")

    def _ask_no_more(self) -> None:
        self._deleting = None
        self._confirm.children = []

    def _opened(self, files: dict[str, bytes]) -> None:
        incoming = [each for data in files.values() for each in read_file(data)]
        if isinstance(self.book, LogbookStore) and self._kept:
            self.book.backup()
            self._backups.show()
        merged = self.book.merge(incoming)
        self._first = 0
        self._refresh_and_say(words.merged_sentence(merged), by_files=True)

    def _brought_back(self, change: dict) -> None:
        """Take in what this browser kept; an empty text says that it has no room for more."""
        self._in_browser, at_home = bool(change["new"]), isinstance(self.book, LogbookStore)
        if not at_home:
            self._show_where()
        if not change["new"]:
            # Beside "Saved", which it takes away, and beside the downloads.
            self._form.answer(words.SAY["no-room"])
            self._file_faults.say(words.SAY["no-room"])
            raise RecordError(words.SAY["no-room"])
        if incoming := read_file(change["new"].encode()):
            merged = self.book.merge(incoming)
            self._refresh()
            if at_home:
                self._say(words.merged_sentence(merged))

    def _backed_up(self, said: str) -> None:
        """After a backup or going back to one: an entry being edited may be another one now."""
        if self._editing is not None and self._editing not in self.book.entries():
            # Its words stay in the form: keeping them makes a new entry.
            self._editing = None
            self._show_editing()
        self._ask_no_more()
        self._refresh_and_say(said, by_files=True)

    def _turn(self, direction: int) -> None:
        self._first = max(self._first + direction * words.ROWS_SHOWN, 0)
        self._refresh()

    def _refresh_and_say(self, said: str = "", by_files: bool = False) -> None:
        """Show the entries, and say last what was done: who reads it finds it in the downloads."""
        try:
            self._refresh()
        finally:
            self._say(said, by_files)

    def _refresh(self) -> None:
        """Read the logbook anew and show it; another tab may have written meanwhile."""
        kept = self.book.entries()
        self._kept = {each.entry_id: each for each in kept}
        # First of all, for a browser keeps them by these links before it shows them.
        # The oldest first: taken in again, the newest stays the newest.
        everything = "Download the logbook as JSON (keeps everything)"
        as_json = save_link(write_json(kept[::-1]), everything, "logbook.json", "application/json")
        # With a byte order mark, by which spreadsheets know UTF-8.
        rows = chr(0xFEFF) + write_csv(kept[::-1])
        for_sheets = "Download the logbook as CSV for a spreadsheet"
        as_csv = save_link(rows, for_sheets, "logbook.csv", "text/csv")
        self._exports.value = as_json + " · " + as_csv
        self._first = min(self._first, max(len(kept) - 1, 0))
        shown = kept[self._first : self._first + words.ROWS_SHOWN]
        unreadable = words.unreadable_sentences(getattr(self.book, "unreadable", 0))
        count = words.count_sentence(shown, self._first, len(kept))
        self._count.value = sentences([count, *unreadable], "ge-said")
        rows = words.table_rows(shown)
        self._table.value = table(words.HEADS, rows, "ge-log-table") if shown else ""
        widgets.show_if(bool(shown), self._to_edit)
        widgets.show_if(self._first > 0, self._newer)
        widgets.show_if(self._first + words.ROWS_SHOWN < len(kept), self._older)
        recent = kept[: words.MOST_COMPARED]
        for choice, listed in ((self._pick, shown), (self._before, recent), (self._after, recent)):
            still = choice.value if choice.value in {each.entry_id for each in listed} else NONE
            options = [(words.name_of(each), each.entry_id) for each in listed]
            choice.show(NONE, [("none", NONE), *options])
            choice.show(still)
        self._show_sheet()

    def _show_sheet(self) -> None:
        before, after = (self._kept.get(each.value) for each in (self._before, self._after))
        if before is None or after is None or before == after:
            self._sheet.value = help_line("Pick two different entries.").value
        else:
            changed = sentences([words.change_words(before.entry, after.entry)], "ge-said")
            sheet = download_link(before.entry, after.entry, date.today())
            self._sheet.value = changed + sheet

    def _show_editing(self) -> None:
        # drafts.js goes to the form as an entry of the list is put into it
        new = self._editing is None
        edit = '<h2 class="ge-editing">Edit an entry</h2>'
        self._heading.value = ""
        self._heading.value = "<h2>New entry</h2>" if new else edit
        self._form.show_actions((True, new, not new))

    def _picked(self, choice: ChoiceControl) -> Kept:
        kept = self._kept.get(choice.value)
        if kept is None:
            raise RecordError(words.SAY["nothing-picked"])
        return kept

    def _say(self, text: str, by_files: bool = False) -> None:
        said = sentences([text], "ge-said") if text else ""
        self.done.value, self._by_files.value = ("", said) if by_files else (said, "")
