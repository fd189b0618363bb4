"""The logbook page: what was changed and what came of it, kept at home or in a file."""

from datetime import date
from urllib.parse import quote

from IPython.display import display

from explorer.app.faults import Faults
from explorer.app.page_links import page_links
from explorer.panels import widgets
from explorer.panels.card import card
from explorer.panels.choice_control import ChoiceControl
from explorer.panels.html import bullet_list, help_line, link, sentences, table
from explorer.panels.log_form import LogForm
from explorer.records.clubs.club import bikes_offered, units_offered
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import decode_fit, encode_fit
from explorer.records.logbook.entry import Kept, LogbookConflict, LogEntry
from explorer.records.logbook.logbook_fields import LOG_FIELDS
from explorer.records.logbook.logbook_file import read_file, write_csv, write_json
from explorer.records.logbook.logbook_link import decode_outing
from explorer.records.logbook.logbook_place import Logbook, open_logbook
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.records.logbook.logbook_visit import VisitLogbook
from explorer.records.setups.link import decode, encode
from explorer.tasks.logbook import words
from explorer.tasks.logbook.restore import BackupControls
from explorer.tasks.logbook.sheet import download_link

NONE = ""
"""Stands for no entry in the lists to pick from."""


class LogbookPage:
    """The page, built from the query string of its address.

    Args:
        query: What a link carried, unchecked: the set-up that a new entry is filled in from.

    Attributes:
        book: The logbook.
        widget: The whole page.
    """

    def __init__(self, query: str = "") -> None:
        library = dict(bikes_offered())
        setup, bike, complaints = decode(query, library, units_offered())
        measured, slips = decode_fit(query, bike)
        address = encode(setup, library[setup.bike_id], bike)
        self._address = address + encode_fit(measured, bike)
        self._filled_in = words.prefilled(
            bike, setup, measured, self._address, date.today().isoformat()
        )
        gave, unread = decode_outing(query)
        self._filled_in = words.with_outing(self._filled_in, gave)
        self._faults = Faults()
        problems = [*complaints, *slips, *unread]
        self.book: Logbook = VisitLogbook()
        try:
            self.book = open_logbook()
        except RecordError as error:
            problems += [*error.sentences, "Until then the logbook lives in this page only."]
        self._backups = (
            BackupControls(self.book, self._faults, self._backed_up)
            if isinstance(self.book, LogbookStore)
            else None
        )
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
        self._done = widgets.HTML()
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
        self._confirm = widgets.VBox()
        self._newer = _button("Newer entries", lambda: self._turn(-1), self._faults)
        self._older = _button("Older entries", lambda: self._turn(1), self._faults)
        self.widget = self._assemble()
        self._form.show(self._filled_in)
        if gave.texts:
            self._say(words.filled_in_sentence(gave))
        self._ask_no_more()
        self._show_editing()
        self._faults.guard(self._refresh)()
        if problems:
            self._faults.say(*problems)

    def show(self) -> None:
        """Display the page, as the last line of its notebook."""
        display(self.widget)

    def _choice(self, name: str, help_text: str, on_change) -> ChoiceControl:
        guarded = self._faults.guard(on_change)
        return ChoiceControl(name, help_text, [("none", NONE)], NONE, guarded)

    def _keep(self) -> None:
        """Keep what is typed; whatever goes wrong is answered below it, and it stays typed."""
        try:
            entry = LogEntry.of(self._form.texts)
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
        self._editing = None
        self._form.answer()
        self._form.show({})
        self._show_editing()
        self._first = 0
        self._refresh_and_say(f"Kept: {words.name_of(kept)}.")

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
        self._confirm.children = [
            widgets.HTML(sentences([f"Delete “{name}” for good?"], "ge-said")),
            widgets.HBox(
                [
                    _button("Yes, delete it", self._delete, self._faults),
                    _button("No, keep it", self._ask_no_more, self._faults),
                ]
            ),
        ]

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

    def _opened(self, change: dict) -> None:
        files = [bytes(file["content"]) for file in change["new"]]
        if not files:
            return
        incoming = [each for data in files for each in read_file(data)]
        if isinstance(self.book, LogbookStore) and self._kept:
            self.book.backup()
            self._backups.show()
        merged = self.book.merge(incoming)
        self._first = 0
        self._refresh_and_say(words.merged_sentence(merged))

    def _backed_up(self, said: str) -> None:
        """After a backup or going back to one: an entry being edited may be another one now."""
        if self._editing is not None and self._editing not in self.book.entries():
            # Its words stay in the form: keeping them makes a new entry.
            self._editing = None
            self._show_editing()
        self._ask_no_more()
        self._refresh_and_say(said)

    def _turn(self, direction: int) -> None:
        self._first = max(self._first + direction * words.ROWS_SHOWN, 0)
        self._refresh()

    def _refresh_and_say(self, said: str) -> None:
        """Show the entries, and say last what was done: who reads it finds it in the downloads."""
        try:
            self._refresh()
        finally:
            self._say(said)

    def _refresh(self) -> None:
        """Read the logbook anew and show it; another tab may have written meanwhile."""
        kept = self.book.entries()
        self._kept = {each.entry_id: each for each in kept}
        self._first = min(self._first, max(len(kept) - 1, 0))
        shown = kept[self._first : self._first + words.ROWS_SHOWN]
        self._count.value = sentences(
            [words.count_sentence(shown, self._first, len(kept))], "ge-said"
        )
        self._table.value = table(words.HEADS, words.table_rows(shown)) if shown else ""
        widgets.show_if(self._first > 0, self._newer)
        more = self._first + words.ROWS_SHOWN < len(kept)
        widgets.show_if(more, self._older)
        recent = kept[: words.MOST_COMPARED]
        for choice, listed in (
            (self._pick, shown),
            (self._before, recent),
            (self._after, recent),
        ):
            still = choice.value if choice.value in {each.entry_id for each in listed} else NONE
            options = [(words.name_of(each), each.entry_id) for each in listed]
            choice.show(NONE, [("none", NONE), *options])
            choice.show(still)
        self._show_sheet()
        # The oldest first: taken in again, the newest stays the newest.
        self._exports.value = (
            link(
                f"data:application/json;charset=utf-8,{quote(write_json(kept[::-1]))}",
                "Download the logbook as JSON (keeps everything)",
                "logbook.json",
            )
            + " · "
            + link(
                # With a byte order mark, by which spreadsheets know UTF-8.
                f"data:text/csv;charset=utf-8,{quote(chr(0xFEFF) + write_csv(kept[::-1]))}",
                "Download the logbook as CSV for a spreadsheet",
                "logbook.csv",
            )
        )

    def _show_sheet(self) -> None:
        before, after = (self._kept.get(each.value) for each in (self._before, self._after))
        if before is None or after is None or before == after:
            self._sheet.value = help_line("Pick two different entries.").value
        else:
            self._sheet.value = sentences(
                [words.change_words(before.entry, after.entry)], "ge-said"
            ) + download_link(before.entry, after.entry, date.today())

    def _show_editing(self) -> None:
        title = "New entry" if self._editing is None else "Edit an entry"
        self._heading.value = f"<h2>{title}</h2>"
        self._form.show_actions((True, self._editing is None, self._editing is not None))

    def _picked(self, choice: ChoiceControl) -> Kept:
        kept = self._kept.get(choice.value)
        if kept is None:
            raise RecordError("No entry is picked; pick one from the list first.")
        return kept

    def _say(self, text: str) -> None:
        self._done.value = sentences([text], "ge-said")

    def _assemble(self) -> widgets.Widget:
        header = widgets.HTML(
            "<h1>Logbook</h1><p>Each change of gearing and what came of it: for the next chain, "
            "for the club, for whoever rides the bike after you.</p>"
        ).add_class("ge-header")
        at_home = isinstance(self.book, LogbookStore)
        where = words.AT_HOME.format(path=self.book.path) if at_home else words.ON_A_SERVER
        upload = widgets.FileUpload(
            accept=".json,.csv",
            multiple=False,
            description="Open a logbook file",
            tooltip="JSON or CSV as exported here; nothing that stands here is overwritten",
        )
        upload.add_class("ge-logbook-upload")  # page.js lets through what `read_file` takes
        upload.observe(self._faults.guard(self._opened), "value")
        keeping = [
            widgets.HTML(sentences([where], "ge-said")),
            self._exports,
            upload,
            help_line("At most 5 MB. Entries are added; none that stands here is overwritten."),
        ]
        if self._backups is not None:
            keeping.append(self._backups.widget)
        main = widgets.VBox(
            [
                self._faults.widget,
                self._done,
                widgets.VBox([self._heading, self._form.widget]).add_class("ge-card"),
                card(
                    "Entries",
                    self._count,
                    self._table,
                    widgets.HBox(
                        [
                            self._newer,
                            self._older,
                            _button("Read again", self._refresh, self._faults),
                        ]
                    ),
                    self._pick.widget,
                    widgets.HBox(
                        [
                            _button("Edit", self._edit, self._faults),
                            _button("Delete", self._ask_to_delete, self._faults),
                        ]
                    ),
                    self._confirm,
                ),
                card(
                    "Before and after",
                    self._before.widget,
                    self._after.widget,
                    self._sheet,
                ),
                card("Keep it", *keeping),
                widgets.HTML(bullet_list(words.CAUTIONS)).add_class("ge-caution"),
                card("Other pages", widgets.HTML(self._links())),
            ]
        ).add_class("ge-main")
        return widgets.VBox([header, main]).add_class("ge-page")

    def _links(self) -> str:
        return page_links(
            ("gearing", self._address, "Gearing: every pair with this set-up"),
            ("fit", self._address, "Does it fit? Chain, axle, slack, parts, fitting sheet"),
            ("check", self._address, "Ride it and check"),
        )


def _button(name: str, action, faults: Faults) -> widgets.Button:
    button = widgets.Button(description=name)
    button.on_click(faults.guard(lambda _: action()))
    return button
