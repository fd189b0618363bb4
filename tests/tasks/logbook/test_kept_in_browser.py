"""What a browser or a file kept of a logbook comes back into the page, without a browser."""

import json
from datetime import UTC, datetime

import ipywidgets as widgets
import pytest

from explorer.records.logbook.entry import Kept, LogEntry
from explorer.records.logbook.logbook_file import FORMAT, VERSION, write_csv
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.logbook.logbook_visit import VisitLogbook
from explorer.tasks.logbook.entries import Entries
from explorer.tasks.logbook.page import LogbookPage
from explorer.tasks.logbook.words import SAY
from tests.tasks.logbook.test_logbook_page import ENTRY, all_of, keep, pick, press, said, shown_in


@pytest.fixture(params=["at home", "on a server"])
def page(request, tmp_path, monkeypatch):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    if request.param == "at home":
        monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    return LogbookPage("bike=bracken-125&rear=52")


def handed_back(page, *entries):
    """As the browser hands back what it kept (kept_entries.js)."""
    document = {"format": FORMAT, "version": VERSION, "entries": list(entries)}
    page.part(Entries)._browser.value = json.dumps(document)


def test_what_the_browser_kept_is_taken_in_and_the_page_says_where_it_is(page):
    visit = isinstance(page.state.book, VisitLogbook)
    before = said(page)
    handed_back(page)
    assert ("the logbook is kept in this browser" in said(page)) == visit
    assert visit or said(page) == before
    handed_back(page, ENTRY | {"entry": "a" * 32, "note": "<b>of before</b>"})
    [kept] = page.state.book.entries()
    assert (kept.entry_id, kept.entry["note"]) == ("a" * 32, "<b>of before</b>")
    assert "&lt;b&gt;of before" in said(page)
    # At home it is in the rider's file from now on, and the page says so.
    assert ("1 entry added." in said(page)) != visit
    keep(page, note="another")
    assert ("In this browser only" in said(page)) == visit
    page.part(Entries)._browser.value = ""
    assert "has no room for the logbook: download it" in page.faults.widget.value
    # Nothing beside the button says any more that it is saved, and the downloads say it too.
    entries = page.part(Entries)
    assert SAY["no-room"] in entries._form._answer.value and not entries._form._saved.value
    assert SAY["no-room"] in shown_in(entries.files)
    assert len(page.state.book.entries()) == 2


def test_what_no_browser_of_ours_kept_is_answered(page):
    handed_back(page, {"entry": "a" * 32, "date": "never"})
    assert "Entry 1: Date: " in page.faults.widget.value and not page.state.book.entries()
    page.part(Entries)._browser.value = "{" * 5000
    assert "cannot be read as JSON" in page.faults.widget.value


def test_a_file_and_a_list_are_answered_beside_their_buttons(page):
    """The page's own place for faults is three windows of a phone above them."""
    entries = page.part(Entries)
    (upload,) = (each for one in entries.files for each in all_of(one, widgets.FileUpload))
    file = {"name": "log.json", "type": "", "size": 1, "last_modified": datetime.now(UTC)}
    upload.value = ({**file, "content": memoryview(b"{")},)
    assert "cannot be read as JSON" in shown_in(entries.files)
    assert not page.faults.widget.value
    table = write_csv([Kept("a" * 32, 1, LogEntry.of(ENTRY))]).encode()
    upload.value = ({**file, "content": memoryview(table)},)
    assert "1 entry added." in shown_in(entries.files)
    assert "cannot be read" not in shown_in(entries.files)
    press(page, "Edit")
    assert "No entry is picked" in shown_in(entries.kept)
    pick(entries, "_pick")
    press(page, "Edit")
    assert "No entry is picked" not in shown_in(entries.kept)
    assert "ge-editing" in entries._heading.value
