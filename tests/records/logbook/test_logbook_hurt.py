"""A logbook that is damaged, empty, gone, full or partly unreadable: said, and mended."""

import sqlite3
from contextlib import closing
from datetime import UTC, datetime, timedelta

import pytest

from explorer.records.errors import RecordError
from explorer.records.logbook import logbook_backups, logbook_store
from explorer.records.logbook.entry import LogEntry
from explorer.records.logbook.logbook_backups import Backup, outdated, put_in_place
from explorer.records.logbook.logbook_store import LogbookStore
from explorer.records.logbook.logbook_table import LogbookHurt


def entry(**texts):
    return LogEntry.of(
        {"date": "2026-05-01", "bike": "Trail bike", "front": "13", "rear": "50", **texts}
    )


@pytest.fixture
def backed_up(tmp_path):
    """A logbook of three entries with a backup of them, and the name of the backup."""
    store = LogbookStore(tmp_path)
    for note in "abc":
        store.add(entry(note=note))
    return store, store.backup().name


def sql(path, *statements):
    with closing(sqlite3.connect(path, isolation_level=None)) as other:
        for statement in statements:
            other.execute(statement)


HURT = {
    "of zero bytes": (lambda path: path.write_bytes(b""), "is empty: everything in it is gone"),
    "missing": (lambda path: path.unlink(), "is missing, but the backup of .* holds 3 entries"),
    "no database": (lambda path: path.write_bytes(b"words " * 200), "damaged or no logbook"),
    "cut": (lambda path: path.write_bytes(path.read_bytes()[:5000]), "damaged"),
}


@pytest.mark.parametrize("how", HURT)
def test_a_hurt_logbook_is_said_and_a_backup_put_in_its_place(backed_up, how):
    store, name = backed_up
    hurt, said = HURT[how]
    hurt(store.path)
    there = store.path.read_bytes() if store.path.exists() else None
    with pytest.raises(LogbookHurt, match=said):
        LogbookStore(store.path.parent)
    aside = put_in_place(store.path, name)
    assert (aside.read_bytes() if aside else None) == there
    mended = LogbookStore(store.path.parent)
    assert [each.entry["note"] for each in mended.entries()] == ["c", "b", "a"]
    mended.add(entry(note="d"))


def test_a_file_of_zero_bytes_without_backups_is_said_too(tmp_path):
    (tmp_path / "logbook.sqlite").write_bytes(b"")
    with pytest.raises(LogbookHurt, match="is empty"):
        LogbookStore(tmp_path)
    assert put_in_place(tmp_path / "logbook.sqlite", "").read_bytes() == b""
    assert LogbookStore(tmp_path, anew=True).entries() == []


def test_a_new_logbook_may_be_begun_beside_the_backups(backed_up):
    store, _ = backed_up
    store.path.unlink()
    anew = LogbookStore(store.path.parent, anew=True)
    # It is empty where a backup holds more: that is said as long as it is so.
    backup, count = anew.emptied()
    assert (count, backup) == (3, anew.backups()[-1])
    anew.add(entry())
    assert anew.emptied() is None


def test_a_damaged_backup_is_not_put_in_place(backed_up):
    store, name = backed_up
    store.path.write_bytes(b"")
    backup = store.path.parent / "backups" / name
    backup.write_bytes(backup.read_bytes()[:3000])
    with pytest.raises(RecordError, match="damaged or no logbook"):
        put_in_place(store.path, name)
    assert store.path.read_bytes() == b""


def test_one_unreadable_row_hides_one_row(backed_up):
    store, _ = backed_up
    for fields in ('\'{"date": "never"}\'', "'[1]'", "'{'", "x'ff'"):
        sql(store.path, f"UPDATE entry SET fields = {fields} WHERE place = 2")
        assert [each.entry["note"] for each in store.entries()] == ["c", "a"], fields
        assert store.unreadable == 1
    again = LogbookStore(store.path.parent)
    again.add(entry(note="d"))
    assert len(again.entries()) == 3
    assert again.merge([("", entry(note="e"))]).added == 1


def test_a_full_disk_is_said_as_such(tmp_path, monkeypatch):
    """SQLite's limit of pages fails as a full disk does: SQLITE_FULL, already rolled back."""
    store = LogbookStore(tmp_path)
    store.add(entry())
    connect = sqlite3.connect

    def with_little_room(*arguments, **named):
        connection = connect(*arguments, **named)
        connection.execute("PRAGMA max_page_count = 4")
        return connection

    monkeypatch.setattr(logbook_store.sqlite3, "connect", with_little_room)
    with pytest.raises(RecordError, match="The disk is full, so nothing was kept; make room"):
        for _ in range(50):
            store.add(entry(note="x" * 1000))
    with pytest.raises(RecordError, match="The disk is full"):
        store.merge([("", entry(note=f"{n}" + "x" * 900)) for n in range(50)])


def at(moment):
    class Clock(datetime):
        @classmethod
        def now(cls, zone=None):
            return moment

    return Clock


def test_a_backup_a_day_on_opening_and_on_writing(tmp_path, monkeypatch):
    def on(day, hour=9):
        clock = at(datetime(2031, 5, day, hour, tzinfo=UTC))
        for module in (logbook_store, logbook_backups):
            monkeypatch.setattr(module, "datetime", clock)

    on(1)
    store = LogbookStore(tmp_path)
    store.add(entry(note="first"))
    assert store.backups() == []
    on(2)
    store.add(entry(note="second"))  # a page open since yesterday
    assert len(store.backups()) == 1
    on(2, 18)
    LogbookStore(tmp_path).add(entry(note="third"))
    assert len(store.backups()) == 1
    on(3)
    LogbookStore(tmp_path)
    assert [each.made.day for each in store.backups()] == [3, 2]


def test_a_backup_of_the_day_that_fails_keeps_nobody_from_writing(tmp_path):
    store = LogbookStore(tmp_path)
    store.add(entry())
    (tmp_path / "backups").write_text("no folder")
    again = LogbookStore(tmp_path)
    assert "The backup of the day was not made" in again.problem
    again.add(entry(note="kept"))
    assert len(again.entries()) == 2


def test_a_backup_before_each_change_of_form(backed_up, monkeypatch):
    store, name = backed_up
    monkeypatch.setattr(logbook_store, "VERSION", 2)
    monkeypatch.setattr(logbook_store, "MIGRATIONS", ("CREATE TABLE extra (x TEXT)",))
    newer = LogbookStore(store.path.parent)
    assert [each.entry["note"] for each in newer.entries()] == ["c", "b", "a"]
    before, old = newer.backups()
    assert old.name == name
    with (
        closing(sqlite3.connect(newer.path)) as now,
        closing(sqlite3.connect(newer.path.parent / "backups" / before.name)) as then,
    ):
        assert now.execute("PRAGMA user_version").fetchone() == (2,)
        assert then.execute("PRAGMA user_version").fetchone() == (1,)
        assert now.execute("SELECT count(*) FROM extra").fetchone() == (0,)
    assert len(LogbookStore(store.path.parent).backups()) == 2


def test_backups_are_kept_by_number_and_by_age():
    now = datetime(2031, 5, 4, 12, tzinfo=UTC)
    # Three a day for three years, the newest first.
    made = [now - timedelta(hours=8 * n) for n in range(3 * 3 * 365)]
    backups = [Backup(f"{n}", moment) for n, moment in enumerate(made)]
    going = {each.name for each in outdated(backups, 20)}
    kept = [each.made for each in backups if each.name not in going]
    assert kept[:20] == made[:20]
    days = {each.date() for each in kept}
    assert all((now - timedelta(days=n)).date() in days for n in range(30))
    assert len({(each.year, each.month) for each in kept}) in (24, 25, 26)
    assert min(kept) > now - timedelta(days=25 * 31)
    assert len(kept) < 80
