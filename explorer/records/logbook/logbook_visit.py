"""A logbook that lives as long as the visit: on a published server nothing is stored."""

from collections.abc import Iterable
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


class VisitLogbook:
    """Does what a `LogbookStore` does, in memory; the visitor downloads it before leaving.

    >>> book = VisitLogbook()
    >>> kept = book.add(
    ...     LogEntry.of({"date": "2026-05-01", "bike": "B", "front": "13", "rear": "50"}))
    >>> book.remove(kept)
    >>> book.entries()
    []
    """

    def __init__(self) -> None:
        self._kept: dict[str, Kept] = {}

    def entries(self) -> list[Kept]:
        """All entries, the newest first."""
        return newest_first(self._kept.values())

    def add(self, entry: LogEntry) -> Kept:
        """Keep a new entry for this visit."""
        if len(self._kept) >= MOST_ENTRIES:
            raise RecordError(
                f"The logbook is full with {MOST_ENTRIES} entries; download it and begin anew."
            )
        return self._put(Kept(uuid4().hex, 1, entry))

    def change(self, kept: Kept, entry: LogEntry) -> Kept:
        """Put other words into an entry."""
        self._require(kept)
        return self._put(Kept(kept.entry_id, kept.revision + 1, entry))

    def remove(self, kept: Kept) -> None:
        """Take an entry out."""
        self._require(kept)
        del self._kept[kept.entry_id]

    def merge(self, incoming: Iterable[tuple[str, LogEntry]]) -> Merged:
        """Take in the entries of a file, all or none; see `logbook.new_entries`."""
        adding, merged = new_entries(self._kept.values(), incoming)
        for entry_id, entry in adding:
            self._put(Kept(entry_id or uuid4().hex, 1, entry))
        return merged

    def _put(self, kept: Kept) -> Kept:
        self._kept[kept.entry_id] = kept
        return kept

    def _require(self, kept: Kept) -> None:
        if self._kept.get(kept.entry_id) != kept:
            raise LogbookConflict(
                "This entry was changed or removed since it was opened; open it again."
            )
