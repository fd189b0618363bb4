"""The logbook of a rider at home: one SQLite file in the rider's own data folder.

Why it is safe. Every change is one transaction with SQLite's rollback journal and
`synchronous=EXTRA`: it is on the disk, its journal's disappearance included, before this module
returns; cut off before that, the next opening rolls it back. The rollback journal is chosen over
the write-ahead log because it needs no shared memory (a home folder may be on a network) and leaves
one file to copy. Each operation opens the file anew, so two tabs never hold it against each other.
An entry carries a revision: a change names the revision it was made from, and is refused if another
tab was faster, so that no change is lost silently.
"""

import json
import os
import sqlite3
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from explorer.records.errors import RecordError
from explorer.records.logbook import (
    MOST_ENTRIES,
    Kept,
    LogbookConflict,
    LogEntry,
    Merged,
    new_entries,
    newest_first,
)

FILE_NAME = "logbook.sqlite"
BACKUPS_KEPT = 20

_APPLICATION_ID = 0x47454C42  # "GELB", so that another program's file is not taken for ours
_VERSION = 1
_BUSY_SECONDS = 10.0
_TABLE = """
CREATE TABLE entry (
    place INTEGER PRIMARY KEY AUTOINCREMENT,
    entry_id TEXT NOT NULL UNIQUE,
    revision INTEGER NOT NULL CHECK (revision > 0),
    fields TEXT NOT NULL
)
"""


class LogbookStore:
    """A logbook in a file.

    Parameters
    ----------
    folder : Path
        The rider's folder for it; made if it is not there, for its owner only.

    Attributes
    ----------
    path : Path
        The file.

    Raises
    ------
    RecordError
        If folder or file cannot be used, in one sentence.

    Examples
    --------
    >>> import tempfile
    >>> entry = LogEntry.of({"date": "2026-05-01", "bike": "B", "front": "13", "rear": "50"})
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     book = LogbookStore(Path(folder))
    ...     kept = book.add(entry)
    ...     book.entries() == [kept]
    True
    """

    def __init__(self, folder: Path) -> None:
        self.path = Path(folder) / FILE_NAME
        try:
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError:
            raise RecordError(
                f"The folder {self.path.parent} for the logbook cannot be made; check who may "
                "write there."
            ) from None
        with self._connection() as connection, _transaction(connection):
            self._prepare(connection)

    def entries(self) -> list[Kept]:
        """All entries, the newest first."""
        with self._connection() as connection:
            return newest_first(_rows(connection))

    def add(self, entry: LogEntry) -> Kept:
        """Keep a new entry; it is on the disk when this returns."""
        kept = Kept(uuid4().hex, 1, entry)
        with self._connection() as connection, _transaction(connection):
            count = connection.execute("SELECT count(*) FROM entry").fetchone()[0]
            if count >= MOST_ENTRIES:
                raise RecordError(
                    f"The logbook is full with {MOST_ENTRIES} entries; export it and begin anew."
                )
            _insert(connection, kept)
        return kept

    def change(self, kept: Kept, entry: LogEntry) -> Kept:
        """Put other words into an entry, as it was when `kept` was read.

        Raises
        ------
        LogbookConflict
            If it was changed or removed since.
        """
        changed = Kept(kept.entry_id, kept.revision + 1, entry)
        with self._connection() as connection, _transaction(connection):
            done = connection.execute(
                "UPDATE entry SET revision = ?, fields = ? WHERE entry_id = ? AND revision = ?",
                (changed.revision, _as_text(entry), kept.entry_id, kept.revision),
            )
            _refuse_stale(done.rowcount)
        return changed

    def remove(self, kept: Kept) -> None:
        """Take an entry out, as it was when `kept` was read.

        Raises
        ------
        LogbookConflict
            If it was changed or removed since.
        """
        with self._connection() as connection, _transaction(connection):
            done = connection.execute(
                "DELETE FROM entry WHERE entry_id = ? AND revision = ?",
                (kept.entry_id, kept.revision),
            )
            _refuse_stale(done.rowcount)

    def merge(self, incoming: Iterable[tuple[str, LogEntry]]) -> Merged:
        """Take in the entries of a file, all or none; see `logbook.new_entries`."""
        with self._connection() as connection, _transaction(connection):
            adding, merged = new_entries(_rows(connection), incoming)
            for entry_id, entry in adding:
                _insert(connection, Kept(entry_id or uuid4().hex, 1, entry))
        return merged

    def backup(self) -> Path:
        """Copy the file while it may be in use; the copy is checked before it gets its name.

        Returns
        -------
        Path
            The copy, in the folder "backups" beside the logbook; the newest 20 are kept.
        """
        folder = self.path.parent / "backups"
        stamp = datetime.now(UTC).strftime("%Y%m%d-%H%M%S-%f")
        target = folder / f"logbook-{stamp}.sqlite"
        unfinished = target.with_suffix(".unfinished")
        try:
            folder.mkdir(mode=0o700, exist_ok=True)
            with (
                self._connection() as connection,
                closing(sqlite3.connect(unfinished)) as copy,
            ):
                connection.backup(copy)
                _check_whole(copy, unfinished)
            _to_disk(unfinished)
            os.replace(unfinished, target)
            _to_disk(folder)
            for old in sorted(folder.glob("logbook-*.sqlite"))[:-BACKUPS_KEPT]:
                old.unlink()
        except OSError:
            raise RecordError(
                f"The backup in {folder} could not be written; check who may write there and "
                "whether the disk is full."
            ) from None
        return target

    def check(self) -> None:
        """Read the whole file and say in one sentence if it is damaged."""
        with self._connection() as connection:
            _check_whole(connection, self.path)
            for _ in _rows(connection):
                pass

    @contextmanager
    def _connection(self) -> Iterator[sqlite3.Connection]:
        # No implicit transactions: every one is written out below.
        with (
            _said(self.path),
            closing(
                sqlite3.connect(self.path, timeout=_BUSY_SECONDS, isolation_level=None)
            ) as connection,
        ):
            connection.execute("PRAGMA journal_mode = DELETE")
            connection.execute("PRAGMA synchronous = EXTRA")
            yield connection

    def _prepare(self, connection: sqlite3.Connection) -> None:
        version = connection.execute("PRAGMA user_version").fetchone()[0]
        application = connection.execute("PRAGMA application_id").fetchone()[0]
        tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if not (version or application or tables):
            connection.execute(_TABLE)
            connection.execute(f"PRAGMA application_id = {_APPLICATION_ID}")
            connection.execute(f"PRAGMA user_version = {_VERSION}")
            self.path.chmod(0o600)
        elif application != _APPLICATION_ID:
            raise RecordError(
                f"{self.path} is a file of another program; move it elsewhere, and a new logbook "
                "is begun."
            )
        elif version > _VERSION:
            raise RecordError(
                f"{self.path} was written by a newer version of these pages; update them to open "
                "it."
            )
        _check_whole(connection, self.path)


@contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All or nothing; the write lock is taken at once, so that nothing read here is outdated."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
    except BaseException:
        connection.execute("ROLLBACK")
        raise
    connection.execute("COMMIT")


@contextmanager
def _said(path: Path) -> Iterator[None]:
    """What SQLite complains about, as one plain sentence."""
    try:
        yield
    except sqlite3.Error as error:
        name = getattr(error, "sqlite_errorname", "") or ""
        raise RecordError(_sentence(name, path)) from None


def _sentence(name: str, path: Path) -> str:
    for start, sentence in _SENTENCES.items():
        if name.startswith(start):
            return sentence.format(path=path, backups=path.parent / "backups")
    return f"The logbook {path} could not be read or written ({name or 'unknown'}); try again."


_SENTENCES = {
    "SQLITE_BUSY": "The logbook is being written by another page; try again in a moment.",
    "SQLITE_LOCKED": "The logbook is being written by another page; try again in a moment.",
    "SQLITE_FULL": "The disk is full, so nothing was kept; make room and try again.",
    "SQLITE_READONLY": "The logbook {path} may not be written; check who may write there.",
    "SQLITE_CANTOPEN": "The logbook {path} cannot be opened; check who may read and write there.",
    "SQLITE_PERM": "The logbook {path} cannot be opened; check who may read and write there.",
    "SQLITE_NOTADB": "{path} is no logbook; move it elsewhere, and a new logbook is begun.",
    "SQLITE_CORRUPT": "The logbook {path} is damaged; move it elsewhere, and put the newest file "
    "of {backups} in its place.",
}


def _check_whole(connection: sqlite3.Connection, path: Path) -> None:
    if connection.execute("PRAGMA integrity_check(1)").fetchone()[0] != "ok":
        raise RecordError(_sentence("SQLITE_CORRUPT", path))


def _rows(connection: sqlite3.Connection) -> Iterator[Kept]:
    rows = connection.execute("SELECT entry_id, revision, fields FROM entry ORDER BY place")
    for entry_id, revision, fields in rows:
        yield Kept(entry_id, revision, LogEntry.of(json.loads(fields)))


def _insert(connection: sqlite3.Connection, kept: Kept) -> None:
    connection.execute(
        "INSERT INTO entry (entry_id, revision, fields) VALUES (?, ?, ?)",
        (kept.entry_id, kept.revision, _as_text(kept.entry)),
    )


def _as_text(entry: LogEntry) -> str:
    return json.dumps(dict(entry.texts), ensure_ascii=False)


def _refuse_stale(changed_rows: int) -> None:
    if changed_rows != 1:
        raise LogbookConflict(
            "This entry was changed or removed in another page since it was opened here, so "
            "nothing was overwritten. The table shows the newest state now; open the entry again."
        )


def _to_disk(path: Path) -> None:
    """Wait until a file or folder is on the disk."""
    handle = os.open(path, os.O_RDONLY)
    try:
        os.fsync(handle)
    except OSError:
        # Not every system lets a folder be waited for.
        pass
    finally:
        os.close(handle)
