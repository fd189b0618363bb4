"""The logbook page without a browser: kept, changed, asked before deleting, exported, printed."""

import re
import sqlite3
from contextlib import closing
from datetime import UTC, date, datetime
from urllib.parse import unquote

import ipywidgets as widgets
import pytest

from explorer.records.logbook.entry import LogEntry
from explorer.records.logbook.logbook_file import read_file
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.tasks.logbook.entries import Entries
from explorer.tasks.logbook.page import LogbookPage
from explorer.tasks.logbook.sheet import render
from explorer.tasks.logbook.words import MOST_COMPARED, ROWS_SHOWN, change_words

ENTRY = {"date": "2026-05-01", "bike": "Trail bike", "front": "13", "rear": "50"}


@pytest.fixture(params=["at home", "on a server"])
def page(request, tmp_path, monkeypatch):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    if request.param == "at home":
        monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    return LogbookPage("bike=bracken-125&rear=52&rollout=2.0%20m")


@pytest.fixture
def home(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    return lambda: LogbookPage("")


def all_of(root, kind):
    found = [root] if isinstance(root, kind) else []
    return found + [each for child in getattr(root, "children", ()) for each in all_of(child, kind)]


def press(page, name):
    next(b for b in all_of(page.widget, widgets.Button) if b.description == name).click()


def said(page):
    return " ".join(str(each.value) for each in all_of(page.widget, widgets.HTML))


def shown_in(placed):
    return " ".join(str(each.value) for one in placed for each in all_of(one, widgets.HTML))


def keep(page, **texts):
    page.part(Entries)._form.show(ENTRY | texts)
    press(page, "Keep this entry")


def pick(page, which, place=0):
    control = getattr(page, which)
    dropdown = all_of(control.widget, widgets.Dropdown)[0]
    dropdown.value = dropdown.options[1 + place][1]


def test_a_new_entry_is_filled_in_from_the_set_up_and_kept(page):
    texts = page.part(Entries)._form.texts
    assert (texts["bike"], texts["rear"], texts["rollout"]) == (
        "Bracken 125, invented",
        "52",
        "2000 mm",
    )
    assert "pull +" in texts["predicted"] and "computed" in texts["predicted"]
    assert texts["date"] == date.today().isoformat()
    press(page, "Keep this entry")
    [kept] = page.state.book.entries()
    assert kept.entry["setup"].startswith("?bike=bracken-125")
    assert "Saved: " in said(page)
    assert f'href="gearing{kept.entry["setup"].replace("&", "&amp;")}"' in said(page)
    assert page.part(Entries)._form.texts["bike"] == ""


@pytest.mark.parametrize(
    ("query", "links", "axle"),
    [
        # The fit page adds two links to the 112 of the bike file.
        ("front=13&rear=53&fit.chain=fewest%20changed", "114", ""),
        ("front=13&rear=53&fit.chain=fewest%20changed&fit.room-back=", "", ""),
        ("front=13&rear=49&fit.chain=new&fit.new-links=114", "114", ""),
        ("front=13&rear=49", "112", "10 mm"),
    ],
)
def test_links_and_axle_are_those_of_the_chain_that_goes_on(query, links, axle):
    texts = LogbookPage(f"?bike=marram-250&{query}").part(Entries)._form.texts
    assert (texts["links"], texts["axle_position"]) == (links, axle)


def test_filling_in_overwrites_nothing_typed(page):
    page.part(Entries)._form.show({"bike": "My own", "note": "mine"})
    press(page, "Fill in from the set-up")
    assert (page.part(Entries)._form.texts["bike"], page.part(Entries)._form.texts["rear"]) == (
        "My own",
        "52",
    )


def test_a_slip_is_answered_and_stays_typed(page):
    keep(page, slack="40 kg", hours="many")
    assert "Slack: " in said(page) and "Hours: " in said(page)
    assert page.part(Entries)._form.texts["slack"] == "40 kg"
    assert page.state.book.entries() == []


@pytest.mark.parametrize(
    ("units", "typed", "kept"),
    [
        ("metric", ("38,5", "18", "2035"), ("38,5 mm", "18 mm", "2035 mm")),
        ("imperial", ("1 1/2", "2", "6 ft"), ("1 1/2 in", "2 in", "6 ft")),
    ],
)
def test_a_bare_length_is_in_the_readers_unit(units, typed, kept):
    page = LogbookPage(f"?units={units}")
    names = ("slack", "axle_position", "rollout")
    keep(page, **dict(zip(names, typed, strict=True)))
    [entry] = page.state.book.entries()
    assert tuple(entry.entry[name] for name in names) == kept


def test_editing_changes_and_deleting_asks_first(page):
    keep(page)
    pick(page.part(Entries), "_pick")
    press(page, "Edit")
    assert page.part(Entries)._form.texts["rear"] == "50"
    keep(page, note="better")
    [kept] = page.state.book.entries()
    assert (kept.revision, kept.entry["note"]) == (2, "better")
    pick(page.part(Entries), "_pick")
    press(page, "Delete")
    assert "for good?" in said(page)
    assert len(page.state.book.entries()) == 1
    press(page, "No, keep it")
    assert "for good?" not in said(page)
    press(page, "Delete")
    press(page, "Yes, delete it")
    assert page.state.book.entries() == []
    press(page, "Edit")
    assert "No entry is picked" in said(page)


def test_two_tabs_do_not_overwrite_each_other(home):
    one = home()
    keep(one)
    other = home()
    for tab in (one, other):
        pick(tab.part(Entries), "_pick")
        press(tab, "Edit")
    keep(one, note="from one tab")
    keep(other, note="from the other")
    assert "nothing was overwritten" in said(other)
    assert other.part(Entries)._form.texts["note"] == "from the other"
    assert [kept.entry["note"] for kept in one.state.book.entries()] == ["from one tab"]
    press(other, "Keep this entry")
    assert {kept.entry["note"] for kept in one.state.book.entries()} == {
        "from one tab",
        "from the other",
    }


def open_file(page, data):
    upload = all_of(page.widget, widgets.FileUpload)[0]
    now = datetime.now(tz=UTC)
    upload.value = (
        {"name": "x", "type": "", "size": len(data), "content": data, "last_modified": now},
    )


def exported(page, name):
    href = re.search(f'download="{name}" href="([^"]+)"', said(page))[1]
    return unquote(href.partition(",")[2]).replace("&amp;", "&").encode()


@pytest.mark.parametrize("name", ["logbook.json", "logbook.csv"])
def test_the_export_opens_again_in_another_visit(page, name, monkeypatch):
    keep(page, note="=1+1")
    keep(page, bike="Other & co")
    data = exported(page, name)
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    other = LogbookPage("")
    open_file(other, data)
    assert "2 entries added" in said(other)
    assert [kept.entry for kept in other.state.book.entries()] == [
        kept.entry for kept in page.state.book.entries()
    ]
    assert {entry["note"] for _, entry in read_file(data)} == {"=1+1", ""}


def test_a_hostile_file_is_answered_and_the_page_lives(page):
    for data in (b"PK\x03\x04\0", b"a,b\n1,2", b"{" * 100_000):
        open_file(page, data)
        assert "ge-fault-line" in said(page)
    keep(page)
    assert len(page.state.book.entries()) == 1


def test_opening_a_file_backs_up_first(home, tmp_path):
    page = home()
    keep(page)
    data = exported(page, "logbook.json")
    open_file(page, data)
    assert "0 entries added, 1 stood here already" in said(page)
    press(page, "Back up now")
    assert len(list((tmp_path / "backups").iterdir())) == 2


def test_nothing_is_stored_on_a_server_and_the_page_says_so(monkeypatch, tmp_path):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    page = LogbookPage("")
    keep(page)
    assert "Nothing is stored on this server" in said(page)
    assert list(tmp_path.iterdir()) == []
    names = {b.description for b in all_of(page.widget, widgets.Button)}
    assert not {"Back up now", "Go back to this backup"} & names


def test_a_damaged_file_is_said_and_the_page_still_opens(tmp_path, monkeypatch):
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    (tmp_path / "logbook.sqlite").write_bytes(b"no database " * 100)
    page = LogbookPage("")
    assert "no logbook" in said(page) and "lives in this page only" in said(page)
    keep(page)
    assert len(page.state.book.entries()) == 1


def test_many_entries_are_shown_by_the_page(home, tmp_path):
    LogbookStore(tmp_path).merge(
        ("", LogEntry.of(ENTRY | {"note": str(number)})) for number in range(300)
    )
    page = home()
    assert f"Entries 1 to {ROWS_SHOWN} of 300" in said(page)
    press(page, "Older entries")
    assert f"Entries {ROWS_SHOWN + 1} to {2 * ROWS_SHOWN} of 300" in said(page)
    options = all_of(page.part(Entries)._before.widget, widgets.Dropdown)[0].options
    assert len(options) == MOST_COMPARED + 1


def test_markup_typed_is_escaped_everywhere(page):
    nasty = "<img src=x onerror=alert(1)>"
    keep(page, bike=nasty, note=nasty)
    keep(page, bike="b", rear="52")
    pick(page.part(Entries), "_before", 1)
    pick(page.part(Entries), "_after", 0)
    pick(page.part(Entries), "_pick", 1)
    press(page, "Delete")
    assert "<img" not in said(page)
    document = render(*(kept.entry for kept in page.state.book.entries()), date(2026, 5, 2))
    assert "<img" not in document and "&lt;img" in document


def test_before_and_after_on_paper():
    """14/48 to 13/50 by hand: 3.846/3.429 - 1 = 12.2 % more pull, 3.429/3.846 - 1 = -10.9 %."""
    before = LogEntry.of(ENTRY | {"front": "14", "rear": "48", "slack": "40 mm"})
    after = LogEntry.of(ENTRY | {"results": "5.4 s there\n5.1 s back", "verdict": "as predicted"})
    document = render(before, after, date(2026, 5, 2))
    for text in ("14/48 → 13/50", "+12.2 %", "−10.9 %", "shorter", "40 mm", "5.1 s back"):
        assert text in document, text
    assert "<script" not in document and "http" not in document.replace("http-equiv", "")
    assert "is the same" in change_words(after, after)


def test_going_back_to_a_backup_asks_first_and_can_itself_be_undone(home):
    page = home()
    keep(page, note="first")
    press(page, "Back up now")
    assert "Copied to" in shown_in(page.part(Entries).files)
    keep(page, note="second")
    press(page, "Go back to this backup")
    assert "No backup is picked" in said(page)
    pick(page.part(Entries)._backups, "_pick")
    press(page, "Go back to this backup")
    assert "What stands here now (2 entries) is backed up first" in said(page)
    press(page, "No, leave it as it is")
    assert len(page.state.book.entries()) == 2 and "backed up first" not in said(page)
    press(page, "Go back to this backup")
    press(page, "Yes, go back")
    assert [kept.entry["note"] for kept in page.state.book.entries()] == ["first"]
    assert "1 entry. The state before is in the backup logbook-" in said(page)
    assert "1 entry, the newest first" in said(page)
    pick(page.part(Entries)._backups, "_pick")
    press(page, "Go back to this backup")
    press(page, "Yes, go back")
    assert {kept.entry["note"] for kept in page.state.book.entries()} == {"first", "second"}


def test_a_tab_with_an_open_entry_is_safe_when_another_goes_back(home):
    one = home()
    keep(one, note="as backed up")
    press(one, "Back up now")
    other = home()
    for tab in (one, other):
        pick(tab.part(Entries), "_pick")
        press(tab, "Edit")
        tab.part(Entries)._form.show(ENTRY | {"note": f"typed in {tab is one}"})
    pick(one.part(Entries)._backups, "_pick")
    press(one, "Go back to this backup")
    press(one, "Yes, go back")
    # In the same tab the words typed stay, as a new entry.
    assert (
        one.part(Entries)._form.texts["note"] == "typed in True"
        and one.part(Entries)._editing is None
    )
    press(other, "Keep this entry")
    assert "nothing was overwritten" in said(other)
    assert [kept.entry["note"] for kept in one.state.book.entries()] == ["as backed up"]
    press(other, "Keep this entry")
    assert {kept.entry["note"] for kept in one.state.book.entries()} == {
        "as backed up",
        "typed in False",
    }


def test_a_damaged_backup_is_refused_in_a_sentence(home, tmp_path):
    page = home()
    keep(page)
    press(page, "Back up now")
    [backup] = (tmp_path / "backups").iterdir()
    backup.write_bytes(backup.read_bytes()[:5000])
    pick(page.part(Entries)._backups, "_pick")
    press(page, "Go back to this backup")
    press(page, "Yes, go back")
    assert "damaged or no logbook, so nothing was changed" in said(page)
    assert len(page.state.book.entries()) == 1


def shown_repair(page):
    return page.part(Entries)._repair.widget.layout.display != "none"


@pytest.mark.parametrize(
    ("hurt", "words"),
    [
        (lambda path: path.write_bytes(b""), "is empty: everything in it is gone"),
        (lambda path: path.unlink(), "is missing, but the backup of"),
        (lambda path: path.write_bytes(b"no database " * 90), "damaged or no logbook"),
    ],
)
def test_a_hurt_logbook_is_said_with_the_button_beside_it_that_mends_it(
    home, tmp_path, hurt, words
):
    before = home()
    assert not shown_repair(before)
    keep(before, note="first")
    press(before, "Back up now")
    hurt(tmp_path / "logbook.sqlite")
    page = home()
    assert words in page.part(Entries)._repair._said.value and shown_repair(page)
    # What is kept meanwhile goes along.
    keep(page, note="meanwhile")
    press(page, "Put this backup in its place")
    assert not shown_repair(page)
    assert {each.entry["note"] for each in page.state.book.entries()} == {"first", "meanwhile"}
    assert {each.entry["note"] for each in LogbookStore(tmp_path).entries()} == {
        "first",
        "meanwhile",
    }
    assert "Kept on this computer in the file" in said(page)


def test_a_hurt_logbook_without_backups_is_begun_anew_and_kept_aside(home, tmp_path):
    (tmp_path / "logbook.sqlite").write_bytes(b"words" * 300)
    page = home()
    assert "There is no backup." in page.part(Entries)._repair._said.value
    press(page, "Begin a new logbook")
    assert isinstance(page.state.book, LogbookStore) and not shown_repair(page)
    [aside] = tmp_path.glob("hurt-logbook-*.sqlite")
    assert aside.read_bytes() == b"words" * 300


def test_a_logbook_that_is_empty_where_a_backup_holds_more_says_so(home):
    page = home()
    keep(page)
    press(page, "Back up now")
    pick(page.part(Entries), "_pick")
    press(page, "Delete")
    press(page, "Yes, delete it")
    again = home()
    assert "has no entries, but its backup of" in again.part(Entries)._repair._said.value
    press(again, "Put this backup in its place")
    assert len(again.state.book.entries()) == 1 and not shown_repair(again)


def test_saved_stands_by_the_button_until_something_else_is_done(page):
    keep(page)
    assert "Saved: 2026-05-01, Trail bike, 13/50." in page.part(Entries)._form._saved.value
    assert page.part(Entries)._form._saved in page.part(Entries)._form.widget.children[-1].children
    assert ("In this page only" in page.part(Entries)._form._saved.value) != isinstance(
        page.state.book, LogbookStore
    )
    keep(page, front="")
    assert (
        page.part(Entries)._form._saved.value == ""
        and "is missing" in page.part(Entries)._form._answer.value
    )


def test_the_table_has_predicted_measured_and_note(page):
    keep(page, predicted="0.3 s sooner", results="5.4 s there\n5.0 s back", note="chain <dry>")
    html = page.part(Entries)._table.value
    assert "0.3 s sooner" in html and "5.4 s there\n5.0 s back" in html
    assert "chain &lt;dry&gt;" in html
    keep(page, note="x" * 900)
    assert (
        "x" * 399 + "…" in page.part(Entries)._table.value
        and "x" * 400 not in page.part(Entries)._table.value
    )


@pytest.mark.parametrize(
    ("texts", "words"),
    [
        ({"date": "2199-01-01"}, "has not come yet"),
        ({"front": "16", "rear": "70", "links": "62"}, "the sprockets would touch"),
        ({"links": "70"}, "apart. Count them again?"),
        ({"links": "180"}, "apart. Count them again?"),
        ({"links": "113"}, "odd number"),
    ],
)
def test_what_is_unlikely_is_asked_back_and_kept_the_second_time(page, texts, words):
    keep(page, **texts)
    assert page.state.book.entries() == []
    assert words in page.part(Entries)._form.widget.children[1].value
    assert "press “Keep this entry” again" in page.part(Entries)._form.widget.children[1].value
    press(page, "Keep this entry")
    assert len(page.state.book.entries()) == 1
    keep(page, links="112")
    assert len(page.state.book.entries()) == 2


def test_a_row_that_cannot_be_read_is_counted_and_hides_no_other(home, tmp_path):
    page = home()
    keep(page, note="good")
    keep(page, note="bad")
    with closing(sqlite3.connect(tmp_path / "logbook.sqlite", isolation_level=None)) as other:
        other.execute("UPDATE entry SET fields = '[]' WHERE place = 2")
    again = home()
    assert "1 entry can&#39;t be read and is not shown" in again.part(Entries)._count.value
    assert "good" in again.part(Entries)._table.value
