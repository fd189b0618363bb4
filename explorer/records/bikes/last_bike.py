"""The last bike of one's own: a file among the rider's data at home, nothing on other servers."""

import os
from contextlib import suppress
from pathlib import Path

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_file import LARGEST
from explorer.records.errors import RecordError
from explorer.records.logbook.logbook_place import logbook_file

FILE_NAME = "last-bike.toml"


def _file() -> Path | None:
    """Beside the logbook; None on a server that stores nothing."""
    book = logbook_file()
    return book.with_name(FILE_NAME) if book else None


def keep_last_bike(bike: Bike) -> None:
    """Write the bike down whole or not at all; RecordError if the file cannot be written."""
    if (file := _file()) is None:
        return
    beside = file.with_name(f"{FILE_NAME}.{os.getpid()}")
    try:
        file.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
        beside.write_text(bike.to_toml(), encoding="utf-8")
        beside.replace(file)
    except OSError:
        with suppress(OSError):
            beside.unlink()
        raise RecordError(
            f"{bike.name} is on the page, but {file} cannot be written, so the bike will not be "
            "offered again; check who may write there, or download the bike as a file."
        ) from None


def last_bike() -> Bike | None:
    """The bike kept last; None where there is none, or the file holds none."""
    file = _file()
    try:
        if file is None or file.stat().st_size > LARGEST:
            return None
        return Bike.from_toml(file.read_bytes())
    except (OSError, RecordError):
        return None
