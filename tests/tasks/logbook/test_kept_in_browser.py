"""What a browser kept of a logbook comes back into the page, without a browser."""

import json

import pytest

from explorer.records.logbook.logbook_file import FORMAT, VERSION
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.logbook.logbook_visit import VisitLogbook
from explorer.tasks.logbook.entries import Entries
from explorer.tasks.logbook.page import LogbookPage
from tests.tasks.logbook.test_logbook_page import ENTRY, keep, said


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
    assert len(page.state.book.entries()) == 2


def test_what_no_browser_of_ours_kept_is_answered(page):
    handed_back(page, {"entry": "a" * 32, "date": "never"})
    assert "Entry 1: Date: " in page.faults.widget.value and not page.state.book.entries()
    page.part(Entries)._browser.value = "{" * 5000
    assert "cannot be read as JSON" in page.faults.widget.value
