"""The backups of a logbook: which there are, and what is in one. Reading never changes them."""

import os
import re
import shutil
import sqlite3
from collections.abc import Sequence
from contextlib import closing, suppress
from datetime import UTC, datetime
from pathlib import Path
from typing import NamedTuple

from explorer.records.errors import RecordError
from explorer.records.logbook.entry import Kept, is_entry_id
from explorer.records.logbook.logbook_table import (
    APPLICATION_ID,
    VERSION,
    check_whole,
    marks,
    rows,
    said,
)
from explorer.records.typed_text import quote

_STAMP = "%Y%m%d-%H%M%S-%f"
_NAME = re.compile(r"logbook-([0-9]{8}-[0-9]{6}-[0-9]{6})\.sqlite")

_DAYS_KEPT, _MONTHS_KEPT = 30, 24


class Backup(NamedTuple):
    """One backup in the folder, and when it was made, in UTC."""

    name: str
    made: datetime


def name_of_now() -> str:
    """Name for a backup made at this moment."""
    return f"logbook-{datetime.now(UTC).strftime(_STAMP)}.sqlite"


def backups_in(folder: Path) -> list[Backup]:
    """The backups in a folder by their names, the newest first; it need not be there, and other
    files are passed over."""
    try:
        names = sorted((each.name for each in folder.iterdir() if each.is_file()), reverse=True)
    except OSError:
        return []
    made = ((name, _made(name)) for name in names)
    return [Backup(name, moment) for name, moment in made if moment is not None]


def outdated(backups: Sequence[Backup], newest_kept: int) -> list[Backup]:
    """Which of the backups, the newest first, go: all but the newest ones, one for each day of a
    month and one for each month of two years."""
    days: set = set()
    months: set = set()
    going = []
    for place, each in enumerate(backups):
        age, day = (backups[0].made - each.made).days, each.made.date()
        month = day.year, day.month
        of_a_day = age <= _DAYS_KEPT and day not in days
        of_a_month = age <= _MONTHS_KEPT * 31 and month not in months
        if not (place < newest_kept or of_a_day or of_a_month):
            going.append(each)
        days.add(day)
        months.add(month)
    return going


def read_backup(folder: Path, name: str) -> list[Kept]:
    """Every entry of one of `backups_in`, in the order in which they were kept, after the file was
    looked through as a whole; RecordError if it is gone, damaged or no logbook."""
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
            version, application = marks(connection)
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


def newest_with_entries(folder: Path) -> tuple[Backup, int] | None:
    """The newest backup that can be read and has entries, and how many; None if there is none."""
    for backup in backups_in(folder):
        try:
            if count := len(read_backup(folder, backup.name)):
                return backup, count
        except RecordError:
            continue
    return None


def put_in_place(logbook: Path, name: str) -> Path | None:
    """Put a backup in the place of a logbook that is hurt, which is moved aside, not deleted.

    Args:
        logbook: The file, damaged, empty or gone.
        name: One of `backups_in` its folder "backups"; empty to begin a new logbook.

    Returns: Where the hurt file is now; None if there was none.
    """
    folder = logbook.parent / "backups"
    unfinished = logbook.with_name("logbook.unfinished")
    aside = logbook.with_name(f"hurt-{name_of_now()}")
    if name:
        read_backup(folder, name)
    try:
        if name:
            shutil.copyfile(folder / name, unfinished)
            unfinished.chmod(0o600)
            to_disk(unfinished)
        was_there = logbook.exists()
        # The journal of an unfinished change belongs to the hurt file.
        for ending in ("-journal", ""):
            part = logbook.with_name(logbook.name + ending)
            if part.exists():
                os.replace(part, aside.with_name(aside.name + ending))
        if name:
            os.replace(unfinished, logbook)
        to_disk(logbook.parent)
    except OSError:
        raise RecordError(
            f"The backup could not be put in the place of {logbook}; check who may write there and "
            "whether the disk is full."
        ) from None
    return aside if was_there else None


def to_disk(path: Path) -> None:
    """Wait until a file or folder is on the disk."""
    handle = os.open(path, os.O_RDONLY)
    # Not every system lets a folder be waited for.
    with suppress(OSError):
        os.fsync(handle)
    os.close(handle)


def _made(name: str) -> datetime | None:
    if match := _NAME.fullmatch(name):
        with suppress(ValueError):
            return datetime.strptime(match[1], _STAMP).replace(tzinfo=UTC)
    return None
