"""The backups of a logbook: which there are, and what is in one. Reading never changes them."""

import re
import sqlite3
from contextlib import closing
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from explorer.records.errors import RecordError
from explorer.records.logbook.entry import Kept, is_entry_id
from explorer.records.logbook.logbook_table import APPLICATION_ID, VERSION, check_whole, rows, said
from explorer.records.typed_text import quote

_STAMP = "%Y%m%d-%H%M%S-%f"
_NAME = re.compile(r"logbook-([0-9]{8}-[0-9]{6}-[0-9]{6})\.sqlite")


class Backup(NamedTuple):
    """One backup in the folder.

    Attributes:
        name: Of the file.
        made: When, in UTC.
    """

    name: str
    made: datetime


def name_of_now() -> str:
    """Name for a backup made at this moment."""
    return f"logbook-{datetime.now(UTC).strftime(_STAMP)}.sqlite"


def backups_in(folder: Path) -> list[Backup]:
    """The backups in a folder by their names, the newest first.

    Args:
        folder: It need not be there.

    Returns:
        Other files are passed over.
    """
    try:
        names = sorted((each.name for each in folder.iterdir() if each.is_file()), reverse=True)
    except OSError:
        return []
    made = ((name, _made(name)) for name in names)
    return [Backup(name, moment) for name, moment in made if moment is not None]


def read_backup(folder: Path, name: str) -> list[Kept]:
    """Every entry of a backup, after the file was looked through as a whole.

    Args:
        folder: Folder of the backups.
        name: One of `backups_in`.

    Returns:
        In the order in which they were kept.

    Raises:
        RecordError: One sentence, if it is gone, damaged or no logbook.
    """
    path = folder / name
    if name not in {each.name for each in backups_in(folder)}:
        raise RecordError(f"The backup {quote(name)} is no longer there; pick another one.")
    refused = RecordError(
        f"The backup {name} is damaged or no logbook, so nothing was changed; pick another one."
    )
    try:
        # Read only, and without the journal of an unfinished change: there is none in a backup.
        address = f"{path.resolve().as_uri()}?mode=ro&immutable=1"
        with said(path), closing(sqlite3.connect(address, uri=True)) as connection:
            version = connection.execute("PRAGMA user_version").fetchone()[0]
            application = connection.execute("PRAGMA application_id").fetchone()[0]
            check_whole(connection, path)
            if application != APPLICATION_ID or not 0 < version <= VERSION:
                raise refused
            found = list(rows(connection))
            if not all(is_entry_id(each.entry_id) and each.revision > 0 for each in found):
                raise refused
            return found
    except (RecordError, ValueError, TypeError, AttributeError):
        # The table holds what is no entry of ours.
        raise refused from None


def _made(name: str) -> datetime | None:
    match = _NAME.fullmatch(name)
    if match is None:
        return None
    try:
        return datetime.strptime(match[1], _STAMP).replace(tzinfo=UTC)
    except ValueError:
        return None
