"""Reading the files of a ride, whatever their names say: GPX, FIT or CSV, by their content."""

from collections.abc import Callable, Mapping, Sequence

from explorer.records.errors import RecordError
from explorer.records.rides.csv_ride import Chosen, ColumnsUnclear, read_csv_ride
from explorer.records.rides.fit_file import looks_like_fit, read_fit
from explorer.records.rides.gpx_file import looks_like_gpx, read_gpx
from explorer.records.rides.ride import Ride, joined
from explorer.records.typed_text import quote

MOST_BYTES = 8_000_000
"""Of all files together: what fits into one message from the browser with room to spare."""
MOST_FILES = 20

_PACKED = {
    b"PK\x03\x04": "a zip archive",
    b"\x1f\x8b": "packed with gzip",
    b"7z\xbc\xaf": "a 7z archive",
    b"Rar!": "a rar archive",
}


def read_ride(
    files: Sequence[tuple[str, bytes]],
    progress: Callable[[float, str], None] | None = None,
    said: Mapping[tuple[str, ...], Chosen] | None = None,
) -> Ride:
    """Read one ride from one or more files; each keeps its own segments.

    Args:
        files: Name and content of each, together at most 8 MB.
        progress: Told the share that is done, 0 to 1, and what is being done.

    >>> read_ride([("a.txt", b"time [s],speed [m/s]\\n0,5\\n1,5\\n")]).kind
    'CSV'
    """
    if not files:
        raise RecordError("No file was chosen; choose a GPX, FIT or CSV file of a ride.")
    if len(files) > MOST_FILES:
        raise RecordError(f"{len(files)} files are too many at once; choose at most {MOST_FILES}.")
    size = sum(len(content) for _, content in files)
    if size > MOST_BYTES:
        raise RecordError(
            f"The files have {size / 1e6:.1f} MB together; at most {MOST_BYTES / 1e6:.0f} MB are "
            "accepted, so cut the ride or log fewer points each second."
        )
    rides = []
    for number, (name, content) in enumerate(files):
        if progress is not None:
            progress(number / len(files), f"Reading {quote(name)}")
        try:
            rides.append(_read(name, content, said))
        except ColumnsUnclear:
            raise
        except RecordError as error:
            before = f"{quote(name)}: " if len(files) > 1 else ""
            raise RecordError(*(f"{before}{sentence}" for sentence in error.sentences)) from None
    return joined(rides)


def _read(name: str, content: bytes, said: Mapping[tuple[str, ...], Chosen] | None) -> Ride:
    label = quote(name).strip('"')
    if not content.strip():
        raise RecordError("The file is empty; choose a GPX, FIT or CSV file of a ride.")
    for mark, what in _PACKED.items():
        if content.startswith(mark):
            raise RecordError(f"The file is {what}; unpack it and choose the file inside.")
    if looks_like_fit(content):
        return read_fit(label, content)
    if looks_like_gpx(content):
        return read_gpx(label, content)
    return read_csv_ride(label, content, said)
