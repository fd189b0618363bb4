"""What a rider said of a table's columns, for the next file with the same headings.

For the visit everywhere; at home also in the rider's data folder, beside the logbook. Nothing is
stored on a published server.
"""

import json
import os
from pathlib import Path

from explorer.records.errors import RecordError
from explorer.records.logbook.logbook_place import FOLDER_VARIABLE
from explorer.records.rides.csv_columns import UNITS

FILE_NAME = "ride-columns.json"
_MOST_TABLES = 50
_LARGEST = 500_000

Headings = tuple[str, ...]
Chosen = dict[int, tuple[str, str]]


class ColumnMemory:
    """Field and unit of columns by the headings of their table.

    Attributes:
        said: By the headings, then by the column's place; an empty field leaves it aside.
    """

    def __init__(self, path: Path | None = None) -> None:
        self._path = path
        self.said: dict[Headings, Chosen] = {}
        try:
            if path is not None and path.stat().st_size <= _LARGEST:
                self.said = _read(path.read_text(encoding="utf-8"))
        except (OSError, ValueError, TypeError, AttributeError, KeyError, RecursionError):
            # Lost or damaged it costs a rider a few clicks.
            self.said = {}

    def say(self, headings: Headings, place: int, field: str, unit: str) -> None:
        """Keep what a column is; another one said to be the same is no longer. If it can't be kept
        for later, it holds for this visit all the same."""
        if unit not in UNITS.get(field, {"": 1.0}) or not 0 <= place < len(headings):
            raise RecordError("This unit does not belong to this meaning; pick another one.")
        before = self.said.pop(headings, {})
        chosen = {where: each for where, each in before.items() if not field or each[0] != field}
        # The newest last: the oldest goes when there are too many.
        self.said[headings] = {**chosen, place: (field, unit)}
        for old in list(self.said)[:-_MOST_TABLES]:
            del self.said[old]
        if self._path is not None:
            self._write()

    def _write(self) -> None:
        tables = [
            {"headings": headings, "columns": [[place, *each] for place, each in chosen.items()]}
            for headings, chosen in self.said.items()
        ]
        unfinished = self._path.with_suffix(".unfinished")
        try:
            self._path.parent.mkdir(mode=0o700, parents=True, exist_ok=True)
            unfinished.write_text(json.dumps(tables, ensure_ascii=False), encoding="utf-8")
            os.replace(unfinished, self._path)
        except OSError:
            raise RecordError(
                f"The columns are read as you said, but {self._path} could not be written, so the "
                "next visit will ask again; check the disk and who may write there."
            ) from None


def _read(text: str) -> dict[Headings, Chosen]:
    found = {}
    for table in json.loads(text):
        headings = tuple(str(each) for each in table["headings"])
        columns = {int(place): (str(field), str(unit)) for place, field, unit in table["columns"]}
        if all(
            unit in UNITS.get(field, {"": 1.0} if not field else {})
            for field, unit in columns.values()
        ):
            found[headings] = columns
    return found


def open_memory() -> ColumnMemory:
    """The memory of this page: with a file only where the server named the rider's own folder."""
    folder = os.environ.get(FOLDER_VARIABLE, "")
    return ColumnMemory(Path(folder) / FILE_NAME if folder else None)
