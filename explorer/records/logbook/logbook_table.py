"""What is inside a logbook's SQLite file: its marks, its one table, and what can be wrong."""

import json
import sqlite3
from collections.abc import Iterator
from contextlib import contextmanager
from pathlib import Path

from explorer.records.errors import RecordError
from explorer.records.logbook.entry import Kept, LogEntry

APPLICATION_ID = 0x47454C42  # "GELB", so that another program's file is not taken for ours
MIGRATIONS: tuple[str, ...] = ()
"""Statements that lead from each version of the form to the next; a backup is made before them."""
VERSION = 1 + len(MIGRATIONS)
TABLE = """
CREATE TABLE entry (
    place INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_id TEXT NOT NULL UNIQUE,
    revision INTEGER NOT NULL CHECK (revision > 0),
    fields TEXT NOT NULL
)
"""


class LogbookHurt(RecordError):
    """The file is damaged, empty or gone: only a backup or a new logbook helps."""


@contextmanager
def said(path: Path) -> Iterator[None]:
    """What SQLite complains about, as one plain sentence."""
    try:
        yield
    except sqlite3.Error as error:
        name = getattr(error, "sqlite_errorname", "") or ""
        kind = LogbookHurt if name.startswith(_HURT) else RecordError
        raise kind(sentence_of(name, path)) from None


def sentence_of(name: str, path: Path) -> str:
    """The sentence for an error code of SQLite."""
    for start, sentence in _SENTENCES.items():
        if name.startswith(start):
            return sentence.format(path=path)
    return f"The logbook {path} could not be read or written ({name or 'unknown'}); try again."


_SENTENCES = {
    "SQLITE_BUSY": "The logbook is being written by another page; try again in a moment.",
    "SQLITE_LOCKED": "The logbook is being written by another page; try again in a moment.",
    "SQLITE_FULL": "The disk is full, so nothing was kept; make room and try again.",
    "SQLITE_READONLY": "The logbook {path} may not be written; check who may write there.",
    "SQLITE_CANTOPEN": "The logbook {path} cannot be opened; check who may read and write there.",
    "SQLITE_PERM": "The logbook {path} cannot be opened; check who may read and write there.",
    "SQLITE_NOTADB": "{path} is damaged or no logbook, so it can't be read.",
    "SQLITE_CORRUPT": "The logbook {path} is damaged, so it can't be read.",
}
_HURT = ("SQLITE_NOTADB", "SQLITE_CORRUPT")


def marks(connection: sqlite3.Connection) -> tuple[int, int]:
    """Version of the form, and the program whose file it is."""
    return tuple(
        connection.execute(f"PRAGMA {mark}").fetchone()[0]
        for mark in ("user_version", "application_id")
    )


def check_whole(connection: sqlite3.Connection, path: Path) -> None:
    """Read the whole file and say in one sentence if it is damaged."""
    if connection.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
        raise LogbookHurt(sentence_of("SQLITE_CORRUPT", path))


def rows(connection: sqlite3.Connection) -> Iterator[Kept]:
    """Every entry, in the order in which they were kept; RecordError or others at one of no use."""
    found = connection.execute("SELECT entry_id, revision, fields FROM entry ORDER BY place")
    for entry_id, revision, fields in found:
        yield Kept(entry_id, revision, LogEntry.of(json.loads(fields)))


def readable_rows(connection: sqlite3.Connection) -> tuple[list[Kept], int]:
    """The entries that can be read, and how many can't: one bad row hides no other."""
    found, unreadable = [], 0
    for row in connection.execute("SELECT entry_id, revision, fields FROM entry ORDER BY place"):
        try:
            found.append(Kept(*row[:2], LogEntry.of(json.loads(row[2]))))
        except (RecordError, ValueError, TypeError, AttributeError, RecursionError):
            unreadable += 1
    return found, unreadable


def insert(connection: sqlite3.Connection, kept: Kept) -> None:
    """Put an entry behind the others."""
    connection.execute(
        "INSERT INTO entry (entry_id, revision, fields) VALUES (?, ?, ?)",
        (kept.entry_id, kept.revision, as_text(kept.entry)),
    )


def as_text(entry: LogEntry) -> str:
    """An entry as it stands in the table."""
    return json.dumps(dict(entry.texts), ensure_ascii=False)
