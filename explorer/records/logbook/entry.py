"""One entry of the logbook, and what any logbook does: add, change, remove, take in a file."""

import re
from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import NamedTuple, Self

from explorer.records.bikes.quantity import read_quantity
from explorer.records.errors import Problems, RecordError
from explorer.records.fields import Field
from explorer.records.logbook.logbook_fields import LOG_FIELD, LOG_FIELDS
from explorer.records.typed_text import quote, read_date, tidy

LONGEST_WORDS, LONGEST_NOTE = 120, 1000
"""Most characters of a line and of a text of several lines [count]."""

MOST_ENTRIES = 5000
"""Entries of the largest logbook: one a day for fourteen years [count]."""

_LONGEST_LINK = 4000
_MOST_HOURS = 100_000
_HOURS = re.compile(r"([0-9]{1,6}(?:[.,][0-9]{1,2})?) ?(?:h|hours?)?")
# What a link of ours is written with; nothing that could end an attribute of a page.
_LINK = re.compile(r"\?[A-Za-z0-9\-._~%&=+*/:,()]*")
_ENTRY_ID = re.compile("[0-9a-f]{32}")


class LogEntry:
    """One change of gearing and what came of it, checked and frozen.

    Make one with `of`. Two are equal if the same was typed.

    >>> entry = LogEntry.of({"date": "2026-05-01", "bike": "Trail bike", "front": "13",
    ...                      "rear": "50", "slack": "40 mm"})
    >>> entry["slack"], entry["links"]
    ('40 mm', '')
    """

    def __init__(self, texts: Mapping[str, str]) -> None:
        self._texts = MappingProxyType(dict(texts))

    @classmethod
    def of(cls, texts: Mapping[str, str]) -> Self:
        """Read what was typed, by the name of the field; a blank text counts as left out."""
        kept: dict[str, str] = {}
        problems = Problems(
            f"{quote(name)} is not a field of the logbook; leave it out."
            for name in texts
            if name not in LOG_FIELD
        )
        for field in LOG_FIELDS:
            text = str(texts.get(field.name, ""))
            if text.strip():
                with problems.of(f"{field.label}: "):
                    kept[field.name] = read_field(field, text)
            elif field.required:
                problems.append(
                    f"{field.label} is missing; write for example {quote(field.example)}."
                )
        if "front" in kept and "rear" in kept and int(kept["front"]) >= int(kept["rear"]):
            problems.append(
                f"A front sprocket of {kept['front']} teeth is not smaller than a rear sprocket of "
                f"{kept['rear']}; perhaps the two are swapped."
            )
        problems.refuse()
        return cls(kept)

    @property
    def texts(self) -> Mapping[str, str]:
        """Every field that was given, by its name, in the order of the fields."""
        return self._texts

    def __getitem__(self, name: str) -> str:
        """Text of a field; empty where none was given."""
        return self._texts.get(LOG_FIELD[name].name, "")

    def __eq__(self, other: object) -> bool:
        return isinstance(other, LogEntry) and self._texts == other._texts

    def __hash__(self) -> int:
        return hash(tuple(self._texts.items()))

    def __repr__(self) -> str:
        return f"LogEntry({dict(self._texts)})"


def read_field(field: Field, text: str) -> str:
    """Read what was typed into one field, as it is kept; reading that again gives the same.

    >>> read_field(LOG_FIELD["hours"], " 41,5 hours ")
    '41.5 h'
    """
    match field.kind:
        case "date":
            return read_date(text)
        case "count":
            return _count(field, text)
        case "length":
            example = f'"{field.example}"' if field.example else '"… mm" or "… in"'
            return read_quantity(text, "length", field.within, example).text
        case "choice":
            return field.chosen(text)
        case "hours":
            return _hours(field, text)
        case "link":
            if len(text) > _LONGEST_LINK or not _LINK.fullmatch(text.strip()):
                raise RecordError("this is not a link of these pages; leave it empty.")
            return text.strip()
        case "note":
            return _words(text, LONGEST_NOTE, "\n")
        case _:
            return _words(" ".join(text.split()), LONGEST_WORDS, "")


def _words(text: str, longest: int, allowed: str) -> str:
    words = "\n".join(line.rstrip() for line in text.splitlines()).strip()
    if len(words) > longest or not "".join(c for c in words if c not in allowed).isprintable():
        raise RecordError(
            f"at most {longest} characters without control characters are kept; shorten it."
        )
    return words


def _count(field: Field, text: str) -> str:
    entry = tidy(text)
    low, high = field.within
    if not re.fullmatch("[0-9]{1,3}", entry) or not low <= int(entry) <= high:
        raise RecordError(
            f"{quote(text)} is not a whole number from {low} to {high}; count again, for example "
            f"{quote(field.example)}."
        )
    return str(int(entry))


def _hours(field: Field, text: str) -> str:
    match = _HOURS.fullmatch(tidy(text).lower())
    number = match[1].replace(",", ".") if match else ""
    if not number or float(number) > _MOST_HOURS:
        raise RecordError(
            f"{quote(text)} is not a number of hours; write for example {quote(field.example)}."
        )
    return f"{number} h"


@dataclass(frozen=True)
class Kept:
    """An entry as a logbook keeps it.

    Attributes:
        entry_id: 32 hexadecimal digits, the same for as long as the entry lives.
        revision: 1 when added, one more with each change.
        entry: What it says.
    """

    entry_id: str
    revision: int
    entry: LogEntry


class LogbookConflict(RecordError):
    """Somebody else, perhaps another tab, changed or removed the entry in the meantime."""


class Merged(NamedTuple):
    """How many entries of a file were new, stood in the logbook already, and stood there with other
    words; of these both versions are kept [count]."""

    added: int
    there: int
    differing: int


def new_entries(
    kept: Iterable[Kept], incoming: Iterable[tuple[str, LogEntry]]
) -> tuple[list[tuple[str, LogEntry]], Merged]:
    """What of a file is not in a logbook yet; nothing in the logbook is ever overwritten.

    Args:
        incoming: The file, by ids; an empty one where it has none.

    Returns: Entries to add, with an empty id where they need a new one, and the counts.

    >>> entry = LogEntry.of({"date": "2026-05-01", "bike": "B", "front": "13", "rear": "50"})
    >>> new_entries([Kept("a" * 32, 1, entry)], [("a" * 32, entry)])[1]
    Merged(added=0, there=1, differing=0)
    """
    by_id = {each.entry_id: each.entry for each in kept}
    present = set(by_id.values())
    adding: list[tuple[str, LogEntry]] = []
    there = differing = 0
    for entry_id, entry in incoming:
        if entry in present:
            there += 1
            continue
        differs = entry_id in by_id
        differing += differs
        adding.append(("" if differs or not is_entry_id(entry_id) else entry_id, entry))
        present.add(entry)
        by_id[entry_id] = entry
    if len(by_id) + differing > MOST_ENTRIES:
        raise RecordError(
            f"The logbook would have more than {MOST_ENTRIES} entries; take in fewer, or begin a "
            "new logbook."
        )
    return adding, Merged(len(adding) - differing, there, differing)


def is_entry_id(text: str) -> bool:
    """Whether a text can be the id of an entry: 32 hexadecimal digits."""
    return _ENTRY_ID.fullmatch(text) is not None


def newest_first(kept: Iterable[Kept]) -> list[Kept]:
    """Entries by their date, the newest first; of one day the last one written first."""
    return sorted(reversed(list(kept)), key=lambda each: each.entry["date"], reverse=True)
