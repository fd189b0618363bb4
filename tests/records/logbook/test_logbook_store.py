"""The logbook's file: nothing confirmed is lost or overwritten, nothing foreign is taken."""

import json
import sqlite3
import subprocess
import sys
import threading
from contextlib import closing

import pytest

from explorer.records.errors import RecordError
from explorer.records.logbook.entry import LogbookConflict, LogEntry
from explorer.records.logbook.logbook_backups import read_backup
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE, home_folder, open_logbook
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.records.logbook.logbook_visit import VisitLogbook

QUICK_KILLS, KILLS = 60, 200


def entry(**texts):
    return LogEntry.of(
        {"date": "2026-05-01", "bike": "Trail bike", "front": "13", "rear": "50", **texts}
    )


def test_200_killed_writers_lose_nothing_confirmed(tmp_path, repository, long_run):
    """60 without ``--long``."""
    kills = KILLS if long_run else QUICK_KILLS
    run = subprocess.run(
        [sys.executable, "-m", "tests.records.logbook.logbook_writers", str(tmp_path), str(kills)],
        cwd=repository,
        capture_output=True,
        text=True,
        check=True,
    )
    counts = json.loads(run.stdout)
    assert counts["kills"] == kills
    assert (counts["lost"], counts["wrong"]) == (0, 0)
    # The test says something only if kills fell into the middle of a write.
    assert counts["confirmed"] > kills
    assert counts["inside"] > kills / 4
    assert counts["journals"] > 10


def test_what_was_kept_is_there_for_the_next_opening(tmp_path):
    kept = LogbookStore(tmp_path / "new" / "folder").add(entry(note="line one\nline two"))
    assert LogbookStore(tmp_path / "new" / "folder").entries() == [kept]


def test_newest_first(tmp_path):
    store = LogbookStore(tmp_path)
    for day, bike in (("01", "a"), ("03", "b"), ("02", "c"), ("03", "d")):
        store.add(entry(date=f"2026-05-{day}", bike=bike))
    assert [kept.entry["bike"] for kept in store.entries()] == ["d", "b", "c", "a"]


@pytest.fixture(params=["file", "visit"])
def book(request, tmp_path):
    return LogbookStore(tmp_path) if request.param == "file" else VisitLogbook()


def test_a_change_from_an_outdated_state_is_refused(book):
    kept = book.add(entry())
    newer = book.change(kept, entry(note="from one tab"))
    with pytest.raises(LogbookConflict, match="changed or removed"):
        book.change(kept, entry(note="from the other"))
    with pytest.raises(LogbookConflict):
        book.remove(kept)
    assert book.entries() == [newer]
    book.remove(newer)
    with pytest.raises(LogbookConflict):
        book.change(newer, entry())
    assert book.entries() == []


def test_merging_adds_what_is_new_and_overwrites_nothing(book):
    kept = book.add(entry(note="mine"))
    incoming = [
        (kept.entry_id, entry(note="mine")),
        (kept.entry_id, entry(note="theirs")),
        ("f" * 32, entry(note="new")),
        ("", entry(note="no id")),
        ("", entry(note="no id")),
    ]
    assert book.merge(incoming) == (2, 2, 1)
    assert sorted(each.entry["note"] for each in book.entries()) == [
        "mine",
        "new",
        "no id",
        "theirs",
    ]
    assert len({each.entry_id for each in book.entries()}) == 4
    assert book.merge(incoming).added == 0


def test_two_tabs_writing_at_once_lose_no_update(tmp_path):
    """Each of two threads counts to 40 in the same entry, trying again where it was too late."""
    store = LogbookStore(tmp_path)
    store.add(entry(note="0"))

    def count():
        own = LogbookStore(tmp_path)
        for _ in range(40):
            while True:
                [kept] = own.entries()
                try:
                    own.change(kept, entry(note=str(int(kept.entry["note"]) + 1)))
                except LogbookConflict:
                    continue
                break

    tabs = [threading.Thread(target=count) for _ in range(2)]
    for tab in tabs:
        tab.start()
    for tab in tabs:
        tab.join()
    assert store.entries()[0].entry["note"] == "80"
    assert store.entries()[0].revision == 81


def test_an_unfinished_change_of_another_page_is_not_seen(tmp_path):
    store = LogbookStore(tmp_path)
    kept = store.add(entry())
    with closing(sqlite3.connect(store.path, isolation_level=None)) as other:
        other.execute("BEGIN IMMEDIATE")
        other.execute("DELETE FROM entry")
        assert store.entries() == [kept]
        other.execute("ROLLBACK")


def test_a_backup_opens_as_a_logbook_and_old_ones_go(tmp_path, monkeypatch):
    monkeypatch.setattr("explorer.records.logbook.logbook_store.BACKUPS_KEPT", 3)
    store = LogbookStore(tmp_path)
    store.add(entry())
    copies = [store.backup() for _ in range(5)]
    left = sorted((tmp_path / "backups").iterdir())
    assert left == copies[2:]
    restored = tmp_path / "restored"
    restored.mkdir()
    left[-1].rename(restored / "logbook.sqlite")
    assert LogbookStore(restored).entries() == store.entries()


def test_a_foreign_file_is_left_alone(tmp_path):
    with closing(sqlite3.connect(tmp_path / "logbook.sqlite")) as other:
        other.execute("CREATE TABLE recipes (name TEXT)")
    with pytest.raises(RecordError, match="file of another program"):
        LogbookStore(tmp_path)


@pytest.mark.parametrize(
    "data", [b"no database, only words " * 50, b"SQLite format 3\0" + b"\xff" * 4000]
)
def test_what_is_no_database_is_said(tmp_path, data):
    (tmp_path / "logbook.sqlite").write_bytes(data)
    with pytest.raises(RecordError, match=r"no logbook|damaged"):
        LogbookStore(tmp_path)
    assert (tmp_path / "logbook.sqlite").read_bytes() == data


def test_a_damaged_file_is_said_and_not_written(tmp_path):
    store = LogbookStore(tmp_path)
    for number in range(40):
        store.add(entry(note=f"{number} " + "x" * 900))
    data = bytearray(store.path.read_bytes())
    data[8192:12288] = b"\xa5" * 4096
    store.path.write_bytes(data)
    with pytest.raises(RecordError, match="damaged"):
        LogbookStore(tmp_path)
    assert store.path.read_bytes() == bytes(data)


def test_a_newer_file_is_not_touched(tmp_path):
    store = LogbookStore(tmp_path)
    with closing(sqlite3.connect(store.path)) as other:
        other.execute("PRAGMA user_version = 99")
    with pytest.raises(RecordError, match="newer version"):
        LogbookStore(tmp_path)


def test_a_folder_that_cannot_be_made_is_said(tmp_path):
    (tmp_path / "taken").write_text("a file")
    with pytest.raises(RecordError, match="cannot be made"):
        LogbookStore(tmp_path / "taken" / "logbook")


def test_only_the_rider_may_read_it(tmp_path):
    store = LogbookStore(tmp_path / "own")
    assert store.path.stat().st_mode & 0o077 == 0


def test_the_server_decides_whether_there_is_a_file(tmp_path, monkeypatch):
    monkeypatch.delenv(FOLDER_VARIABLE, raising=False)
    assert isinstance(open_logbook(), VisitLogbook)
    monkeypatch.setenv(FOLDER_VARIABLE, str(tmp_path))
    assert open_logbook().path == tmp_path / "logbook.sqlite"
    monkeypatch.setenv("XDG_DATA_HOME", str(tmp_path))
    assert home_folder().name == "gearing-explorer"


def test_going_back_gives_what_was_backed_up_and_keeps_the_state_before(tmp_path):
    store = LogbookStore(tmp_path)
    first, gone = store.add(entry(note="first")), store.add(entry(note="deleted later"))
    old = store.backup().name
    newer = store.change(first, entry(note="changed"))
    store.remove(gone)
    store.add(entry(note="new"))
    now = store.entries()
    before = store.restore(old)
    assert [(each.entry_id, each.entry["note"]) for each in store.entries()] == [
        (gone.entry_id, "deleted later"),
        (first.entry_id, "first"),
    ]
    # Whoever read an entry before cannot overwrite or remove what came back.
    for seen in (first, newer, gone):
        with pytest.raises(LogbookConflict):
            store.change(seen, entry(note="unseen"))
        with pytest.raises(LogbookConflict):
            store.remove(seen)
    assert [each.name for each in store.backups()] == [before.name, old]
    store.restore(before.name)
    assert [(each.entry_id, each.entry) for each in store.entries()] == [
        (each.entry_id, each.entry) for each in now
    ]


def test_the_backup_gone_back_to_may_be_the_one_that_is_dropped(tmp_path, monkeypatch):
    monkeypatch.setattr("explorer.records.logbook.logbook_store.BACKUPS_KEPT", 2)
    store = LogbookStore(tmp_path)
    store.add(entry(note="old"))
    old = store.backup().name
    store.add(entry(note="new"))
    store.backup()
    store.restore(old)
    assert [each.entry["note"] for each in store.entries()] == ["old"]
    assert len(store.backups()) == 2


def damage(data):
    data = bytearray(data)
    data[8192:12288] = b"\xa5" * 4096
    return bytes(data)


@pytest.mark.parametrize(
    "spoil", [damage, lambda data: data[:5000], lambda _: b"", lambda _: b"no database " * 100]
)
def test_a_damaged_backup_is_refused_and_nothing_changes(tmp_path, spoil):
    store = LogbookStore(tmp_path)
    for number in range(20):
        store.add(entry(note=f"{number} " + "x" * 900))
    backup = store.backup()
    backup.write_bytes(spoil(backup.read_bytes()))
    store.add(entry(note="after it"))
    now, data = store.entries(), store.path.read_bytes()
    with pytest.raises(RecordError, match="is damaged or no logbook, so nothing was changed"):
        store.restore(backup.name)
    assert (store.entries(), store.path.read_bytes()) == (now, data)
    assert [each.name for each in store.backups()] == [backup.name]


@pytest.mark.parametrize(
    "change",
    [
        'UPDATE entry SET fields = \'{"date": "never"}\'',
        "UPDATE entry SET fields = '[1]'",
        "UPDATE entry SET entry_id = 'x'",
        "PRAGMA application_id = 1",
        "PRAGMA user_version = 99",
        "DROP TABLE entry",
    ],
)
def test_a_backup_that_holds_something_else_is_refused(tmp_path, change):
    store = LogbookStore(tmp_path)
    kept = store.add(entry())
    backup = store.backup()
    with closing(sqlite3.connect(backup, isolation_level=None)) as other:
        other.execute(change)
    with pytest.raises(RecordError, match="nothing was changed"):
        store.restore(backup.name)
    assert store.entries() == [kept]


@pytest.mark.parametrize("name", ["", "../logbook.sqlite", "logbook.sqlite", "logbook-x.sqlite"])
def test_only_a_backup_of_the_folder_is_gone_back_to(tmp_path, name):
    store = LogbookStore(tmp_path)
    assert store.backups() == []
    store.backup()
    (tmp_path / "backups" / "logbook-x.sqlite").write_bytes(store.path.read_bytes())
    with pytest.raises(RecordError, match="no longer there"):
        store.restore(name)
    assert len(store.backups()) == 1


def test_a_tab_that_keeps_while_another_goes_back_loses_nothing(tmp_path, monkeypatch):
    """Every entry that was confirmed stands in the logbook or in the backup of a state before."""
    monkeypatch.setattr("explorer.records.logbook.logbook_store.BACKUPS_KEPT", 10_000)
    store = LogbookStore(tmp_path)
    empty = store.backup().name
    confirmed, gone_back = [], []

    def write():
        own = LogbookStore(tmp_path)
        # However slow one of the two is, they overlap at least twice.
        while len(confirmed) < 12 or len(gone_back) < 2:
            confirmed.append(own.add(entry(note=str(len(confirmed)))).entry_id)

    tab = threading.Thread(target=write, daemon=True)
    tab.start()
    while tab.is_alive():
        store.restore(empty)
        gone_back.append(empty)
    tab.join()
    found = {each.entry_id for each in store.entries()}
    for backup in store.backups():
        found |= {each.entry_id for each in read_backup(tmp_path / "backups", backup.name)}
    assert found == set(confirmed)
