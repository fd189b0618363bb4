"""The bikes to choose from: the demo bikes, or a club's own folder."""

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from explorer.data_folder import DATA
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_file import LARGEST
from explorer.records.errors import Problems, RecordError
from explorer.records.typed_text import quote

_MOST_BIKES = 200
_ID = re.compile("[a-z0-9][a-z0-9-]{0,59}")


@cache
def demo_bikes() -> Mapping[str, Bike]:
    """The invented bikes of data/bikes by their id, in the order of their file names.

    >>> demo_bikes()["bracken-125"].provenance
    'invented'
    """
    return load_folder(DATA / "bikes")


def visible(folder: Path) -> list[Path]:
    """What a person put into a folder, by name; not what file managers leave beside it ("._x")."""
    return sorted(folder.glob("[!.]*"))


def entry_named(folder: Path, name: str) -> Path:
    """The file or folder of this name, in capitals or not; if there is none, where it would be."""
    exact = folder / name
    if exact.exists():
        return exact
    named = (each for each in visible(folder) if each.name.lower() == name.lower())
    return next(named, exact)


def load_folder(path: str | Path, place: str = "") -> Mapping[str, Bike]:
    """Read all bike files of a folder and the CSV files that they name, for a club's own bikes.

    Args:
        place: What stands before the name of a file in a sentence, for example "bikes/".

    Returns: By their id, the name of the file without ".toml", in their order; cannot be changed.
    """
    folder = Path(path)
    files = [each for each in visible(folder) if each.suffix.lower() == ".toml"]
    if not files:
        raise RecordError(
            f"The folder {quote(folder.name)} has no bike file; put files ending in .toml into it."
        )
    if len(files) > _MOST_BIKES:
        raise RecordError(
            f"The folder {quote(folder.name)} has {len(files)} bike files; keep {_MOST_BIKES} at "
            "most."
        )
    bikes, problems = {}, Problems()
    for file in files:
        with problems.of(f"{place}{file.name}: "):
            if not _ID.fullmatch(file.stem):
                raise RecordError("use small letters, digits and dashes in the name of the file.")
            try:
                bikes[file.stem] = Bike.from_toml(
                    start_of(file, LARGEST),
                    lambda name: start_of(entry_named(folder, name), LARGEST),
                )
            except OSError:
                raise RecordError("the file cannot be opened; check its permissions.") from None
    problems.refuse()
    return MappingProxyType(bikes)


def start_of(file: Path, most: int) -> bytes:
    """Contents of a file, at most one byte more than is accepted."""
    with file.open("rb") as opened:
        return opened.read(most + 1)
