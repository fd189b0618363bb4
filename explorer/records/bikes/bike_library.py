"""The bikes to choose from: the demo bikes, or a club's own folder."""

import re
from collections.abc import Mapping
from functools import cache
from pathlib import Path
from types import MappingProxyType

from explorer.data_folder import DATA
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_file import LARGEST
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote

_MOST_BIKES = 200
_ID = re.compile("[a-z0-9][a-z0-9-]{0,59}")


@cache
def demo_bikes() -> Mapping[str, Bike]:
    """The invented bikes of data/bikes by their id.

    Returns: In the order of their file names; cannot be changed.

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
    """Read all bike files of a folder, for a club's own bikes.

    The name of a file without ".toml" is the id of the bike.

    Args:
        path: Folder with bike files and the CSV files that they name.
        place: What stands before the name of a file in a sentence, for example "bikes/".

    Returns: In the order of the file names; cannot be changed.

    Raises:
        RecordError: All problems of all files at once, each with the name of its file.
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
    bikes, problems = {}, []
    for file in files:
        try:
            if not _ID.fullmatch(file.stem):
                raise RecordError("use small letters, digits and dashes in the name of the file.")
            bikes[file.stem] = Bike.from_toml(
                _read(file), lambda name: _read(entry_named(folder, name))
            )
        except RecordError as error:
            problems += [f"{place}{file.name}: {sentence}" for sentence in error.sentences]
        except OSError:
            problems.append(
                f"{place}{file.name}: the file cannot be opened; check its permissions."
            )
    if problems:
        raise RecordError(*problems)
    return MappingProxyType(bikes)


def _read(file: Path) -> bytes:
    """Contents of a file, at most one byte more than is accepted."""
    with file.open("rb") as opened:
        return opened.read(LARGEST + 1)
