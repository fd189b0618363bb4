"""The logbook of a rider at home: one SQLite file in the rider's own data folder.

Why it is safe. Every change is one transaction with SQLite's rollback journal and
`synchronous=EXTRA`: it is on the disk, its journal's disappearance included, before this module
returns; cut off before that, the next opening rolls it back. The rollback journal is chosen over
the write-ahead log because it needs no shared memory (a home folder may be on a network) and leaves
one file to copy. Each operation opens the file anew, so two tabs never hold it against each other.
An entry carries a revision: a change names the revision it was made from, and is refused if another
tab was faster, so that no change is lost silently.
"""

import os
import sqlite3
import time
from collections.abc import Iterable, Iterator
from contextlib import closing, contextmanager, suppress
from dataclasses import replace
from datetime import UTC, datetime
from pathlib import Path
from uuid import uuid4

from explorer.records.errors import RecordError
from explorer.records.logbook.entry import (
    MOST_ENTRIES,
    Kept,
    LogbookConflict,
    LogEntry,
    Merged,
    new_entries,
    newest_first,
)
from explorer.records.logbook.logbook_backups import (
    Backup,
    backups_in,
    name_of_now,
    newest_with_entries,
    outdated,
    read_backup,
    to_disk,
)
from explorer.records.logbook.logbook_table import (
    APPLICATION_ID,
    MIGRATIONS,
    TABLE,
    VERSION,
    LogbookHurt,
    as_text,
    check_whole,
    insert,
    marks,
    readable_rows,
    rows,
    said,
)

FILE_NAME = "logbook.sqlite"
BACKUPS_KEPT = 20

_BUSY_SECONDS = 10.0


class LogbookStore:
    """A logbook in a file.

    Args:
        folder: The rider's folder for it; made if it is not there, for its owner only.
        anew: Whether to begin a logbook though there are backups of an earlier one.

    Attributes:
        unreadable: Rows that the last reading passed over [count].
        problem: Why the backup of the day could not be made; empty if it was.

    Raises:
        LogbookHurt: If the file is damaged, empty, or gone though there are backups.

    >>> import tempfile
    >>> entry = LogEntry.of({"date": "2026-05-01", "bike": "B", "front": "13", "rear": "50"})
    >>> with tempfile.TemporaryDirectory() as folder:
    ...     book = LogbookStore(Path(folder))
    ...     kept = book.add(entry)
    ...     book.entries() == [kept]
    True
    """

    def __init__(self, folder: Path, anew: bool = False) -> None:
        self.path = Path(folder) / FILE_NAME
        try:
            self.path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        except OSError:
            raise RecordError(
                f"The folder {self.path.parent} for the logbook cannot be made; check who may "
                "write there."
            ) from None
        self.unreadable = 0
        self.problem = ""
        if not self.path.exists():
            self._create(anew)
        with self._connection() as connection, _transaction(connection):
            self._prepare(connection)
        self._keep_daily()

    def entries(self) -> list[Kept]:
        """All entries that can be read, the newest first; the others are counted."""
        with self._connection() as connection:
            found, self.unreadable = readable_rows(connection)
        return newest_first(found)

    def emptied(self) -> tuple[Backup, int] | None:
        """The newest backup with entries and their number, if the logbook has none at all."""
        if self.entries() or self.unreadable:
            return None
        return newest_with_entries(self._backups)

    def add(self, entry: LogEntry) -> Kept:
        """Keep a new entry; it is on the disk when this returns."""
        kept = Kept(uuid4().hex, 1, entry)
        with self._change() as connection:
            count = connection.execute("SELECT count(*) FROM entry").fetchone()[0]
            if count >= MOST_ENTRIES:
                raise RecordError(
                    f"The logbook is full with {MOST_ENTRIES} entries; export it and begin anew."
                )
            insert(connection, kept)
        return kept

    def change(self, kept: Kept, entry: LogEntry) -> Kept:
        """Put other words into an entry; LogbookConflict if it is not as it was when read."""
        changed = Kept(kept.entry_id, kept.revision + 1, entry)
        self._change_one(
            "UPDATE entry SET revision = ?, fields = ?", kept, changed.revision, as_text(entry)
        )
        return changed

    def remove(self, kept: Kept) -> None:
        """Take an entry out; LogbookConflict if it is not as it was when read."""
        self._change_one("DELETE FROM entry", kept)

    def merge(self, incoming: Iterable[tuple[str, LogEntry]]) -> Merged:
        """Take in the entries of a file, all or none; see `logbook.new_entries`."""
        with self._change() as connection:
            adding, merged = new_entries(readable_rows(connection)[0], incoming)
            for entry_id, entry in adding:
                insert(connection, Kept(entry_id or uuid4().hex, 1, entry))
        return merged

    def backup(self) -> Path:
        """Copy the file, which may be in use, into the folder "backups"; the copy is checked before
        it gets its name. See `outdated` for what is kept."""
        folder = self._backups
        target = folder / name_of_now()
        unfinished = target.with_suffix(".unfinished")
        try:
            folder.mkdir(mode=0o700, exist_ok=True)
            with self._connection() as connection, closing(sqlite3.connect(unfinished)) as copy:
                connection.backup(copy)
                check_whole(copy, unfinished)
            to_disk(unfinished)
            os.replace(unfinished, target)
            to_disk(folder)
            for old in outdated(backups_in(folder), BACKUPS_KEPT):
                (folder / old.name).unlink()
        except OSError:
            with suppress(OSError):
                unfinished.unlink()
            raise RecordError(
                f"The backup in {folder} could not be written; check who may write there and "
                "whether the disk is full."
            ) from None
        return target

    def backups(self) -> list[Backup]:
        """The backups there are, the newest first."""
        return backups_in(self._backups)

    def restore(self, name: str) -> Path:
        """Put the logbook back to a backup, after a backup of what stands here now: that one.

        Both happen in one transaction: nothing that another tab keeps falls between the two. Every
        entry gets a new revision, so that a tab which read it before can't overwrite it unseen. If
        the backup is gone, damaged or no logbook, nothing has changed.
        """
        going_back = read_backup(self._backups, name)
        with self._connection() as connection, _transaction(connection):
            there, _ = readable_rows(connection)
            newest = max((each.revision for each in [*there, *going_back]), default=0)
            # Seconds of the clock: higher than any number of changes, of deleted entries too.
            revision = max(newest + 1, int(time.time()))
            before = self.backup()
            connection.execute("DELETE FROM entry")
            for each in going_back:
                insert(connection, replace(each, revision=revision))
        return before

    def check(self) -> None:
        """Read the whole file and say in one sentence if it is damaged."""
        with self._connection() as connection:
            check_whole(connection, self.path)
            for _ in rows(connection):
                pass

    @property
    def _backups(self) -> Path:
        return self.path.parent / "backups"

    @contextmanager
    def _connection(self) -> Iterator[sqlite3.Connection]:
        # No implicit transactions: every one is written out below.
        with (
            said(self.path),
            closing(
                sqlite3.connect(self.path, timeout=_BUSY_SECONDS, isolation_level=None)
            ) as connection,
        ):
            connection.execute("PRAGMA journal_mode = DELETE")
            connection.execute("PRAGMA synchronous = EXTRA")
            yield connection

    def _create(self, anew: bool) -> None:
        """A new logbook, whole before it has its name: an empty file is never one of ours."""
        if not anew and (found := newest_with_entries(self._backups)):
            raise LogbookHurt(
                f"The logbook {self.path} is missing, but the backup of {found[0].made:%Y-%m-%d} "
                f"holds {found[1]} {'entry' if found[1] == 1 else 'entries'}."
            )
        unfinished = self.path.with_name(f"logbook-{uuid4().hex}.unfinished")
        try:
            with said(self.path), closing(sqlite3.connect(unfinished)) as connection:
                connection.execute(TABLE)
                connection.execute(f"PRAGMA application_id = {APPLICATION_ID}")
                connection.execute(f"PRAGMA user_version = {VERSION}")
                connection.commit()
            unfinished.chmod(0o600)
            to_disk(unfinished)
            # Another tab may have been faster; its file stays.
            with suppress(FileExistsError):
                os.link(unfinished, self.path)
            to_disk(self.path.parent)
        except OSError:
            raise RecordError(
                f"The logbook {self.path} cannot be made; check who may write there and whether "
                "the disk is full."
            ) from None
        finally:
            unfinished.unlink(missing_ok=True)

    def _keep_daily(self) -> None:
        """A backup on the first opening or change of a day, if there is anything to keep."""
        newest = next(iter(self.backups()), None)
        self._looked_on = datetime.now(UTC).date()
        if newest is not None and newest.made.date() >= self._looked_on:
            return
        try:
            if self.entries() or self.unreadable:
                self.backup()
        except RecordError as error:
            self.problem = f"The backup of the day was not made: {' '.join(error.sentences)}"

    @contextmanager
    def _change(self) -> Iterator[sqlite3.Connection]:
        """A connection for one change, all or nothing; a page may stay open over midnight."""
        if datetime.now(UTC).date() != self._looked_on:
            self._keep_daily()
        with self._connection() as connection, _transaction(connection):
            yield connection

    def _change_one(self, statement: str, kept: Kept, *values: object) -> None:
        """Change or take out one entry, if it is still as it was when it was read."""
        with self._change() as connection:
            done = connection.execute(
                f"{statement} WHERE entry_id = ? AND revision = ?",
                (*values, kept.entry_id, kept.revision),
            )
            if done.rowcount != 1:
                raise LogbookConflict(
                    "This entry was changed or removed in another page since it was opened here, "
                    "so nothing was overwritten. The table shows the newest state now; open the "
                    "entry again."
                )

    def _prepare(self, connection: sqlite3.Connection) -> None:
        version, application = marks(connection)
        tables = connection.execute("SELECT count(*) FROM sqlite_master").fetchone()[0]
        if not (version or application or tables):
            raise LogbookHurt(f"The logbook {self.path} is empty: everything in it is gone.")
        if application != APPLICATION_ID:
            raise RecordError(
                f"{self.path} is a file of another program; move it elsewhere, and a new logbook "
                "is begun."
            )
        if version > VERSION:
            raise RecordError(
                f"{self.path} was written by a newer version of these pages; update them to open "
                "it."
            )
        check_whole(connection, self.path)
        if version < VERSION:
            self.backup()
            for statement in MIGRATIONS[version - 1 :]:
                connection.execute(statement)
            connection.execute(f"PRAGMA user_version = {VERSION}")


@contextmanager
def _transaction(connection: sqlite3.Connection) -> Iterator[None]:
    """All or nothing; the write lock is taken at once, so that nothing read here is outdated."""
    connection.execute("BEGIN IMMEDIATE")
    try:
        yield
        connection.execute("COMMIT")
    except BaseException:
        # On a full disk SQLite has rolled back by itself, and a second time fails.
        if connection.in_transaction:
            connection.execute("ROLLBACK")
        raise
