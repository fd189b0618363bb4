"""A logbook as a file: JSON, which keeps everything, and CSV for a spreadsheet.

A spreadsheet takes a cell that begins with =, +, -, @, a tab or a line break for a formula and runs
it. Such cells are written with an apostrophe in front, which reading takes away again.
"""

import csv
import io
import json
import re
from collections.abc import Iterable

from explorer.records.errors import Problems, RecordError
from explorer.records.logbook.entry import MOST_ENTRIES, Kept, LogEntry, is_entry_id
from explorer.records.logbook.logbook_fields import LOG_FIELD, LOG_FIELDS
from explorer.records.typed_text import quote

LARGEST = 5_000_000
"""Bytes of the largest file that is read [count]."""

FORMAT = "gearing-explorer-logbook"
VERSION = 1

_ID = "entry"
_MOST_SENTENCES = 20
# The full-width forms too, which some spreadsheets take for the plain ones.
_FORMULA = "=+\\-@\t\r\n＝＋－＠"
_ESCAPE = re.compile(f"'*[{_FORMULA}]")
_UNESCAPE = re.compile(f"'+[{_FORMULA}]")
_HEADINGS = (_ID, *(field.name for field in LOG_FIELDS))

Entries = list[tuple[str, LogEntry]]


def write_json(kept: Iterable[Kept]) -> str:
    """All entries as JSON; `read_file` reads it back, ids included."""
    entries = [{_ID: each.entry_id, **each.entry.texts} for each in kept]
    document = {"format": FORMAT, "version": VERSION, "entries": entries}
    return json.dumps(document, ensure_ascii=False, indent=1)


def write_csv(kept: Iterable[Kept]) -> str:
    """All entries as CSV for a spreadsheet, one row each, no cell a formula; `read_file` reads it
    back."""
    text = io.StringIO(newline="")
    rows = csv.writer(text)
    rows.writerow(_HEADINGS)
    for each in kept:
        rows.writerow([each.entry_id, *(_safe(each.entry[field.name]) for field in LOG_FIELDS)])
    return text.getvalue()


def read_file(data: bytes) -> Entries:
    """Read a logbook that was downloaded, JSON or CSV: ids, empty where the file has none, and
    entries. It may hold anything."""
    if len(data) > LARGEST:
        raise RecordError("The logbook file is larger than 5 MB; bring one that was exported here.")
    if b"\0" in data:
        raise RecordError("The logbook file is not text; bring the JSON or CSV file exported here.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError:
        raise RecordError(
            "The logbook file is not UTF-8 text; save it again as CSV in UTF-8, or bring the JSON "
            "file."
        ) from None
    if not text.strip():
        raise RecordError("The logbook file is empty; bring the JSON or CSV file exported here.")
    rows = _json_rows(text) if text.lstrip()[:1] in "{[" else _csv_rows(text)
    if len(rows) > MOST_ENTRIES:
        raise RecordError(f"The file has {len(rows)} entries; at most {MOST_ENTRIES} are taken in.")
    found: Entries = []
    problems = Problems()
    for number, row in enumerate(rows, start=1):
        entry_id = str(row.pop(_ID, ""))
        with problems.of(f"Entry {number}: "):
            found.append((entry_id if is_entry_id(entry_id) else "", LogEntry.of(row)))
        if len(problems) > _MOST_SENTENCES:
            problems[_MOST_SENTENCES:] = ["There are more problems of this kind; correct these."]
            break
    problems.refuse()
    return found


def _json_rows(text: str) -> list[dict[str, str]]:
    try:
        document = json.loads(text)
    except (ValueError, RecursionError):
        raise RecordError(
            "The file cannot be read as JSON; bring it as it was exported, unchanged."
        ) from None
    if not isinstance(document, dict) or document.get("format") != FORMAT:
        raise RecordError("This JSON file is no logbook of these pages; bring one exported here.")
    if document.get("version") != VERSION:
        raise RecordError(
            "This logbook file was written by another version of these pages; update them to read "
            "it."
        )
    entries = document.get("entries")
    if not isinstance(entries, list) or not all(
        isinstance(each, dict) and all(isinstance(text, str) for text in each.values())
        for each in entries
    ):
        raise RecordError(
            "The entries of this file are not texts by field; bring it as it was exported."
        )
    return entries


def _csv_rows(text: str) -> list[dict[str, str]]:
    first_line = text.splitlines()[0]
    # Some spreadsheets save with semicolons or tabs.
    delimiter = max(",;\t", key=first_line.count)
    try:
        rows = list(csv.reader(io.StringIO(text, newline=""), delimiter=delimiter, strict=True))
    except csv.Error:
        raise RecordError(
            "The file cannot be read as CSV; a quotation mark may be missing, or a cell is too "
            "long."
        ) from None
    headings = [heading.strip().lower() for heading in rows[0]]
    unknown = [heading for heading in headings if heading not in (_ID, *LOG_FIELD)]
    if unknown or len(set(headings)) < len(headings) or "date" not in headings:
        named = quote(unknown[0]) if unknown else "its first row"
        raise RecordError(
            f"The columns of this CSV file are not those of the logbook ({named}); its first row "
            "must name fields such as date, bike, front and rear, each once."
        )
    found = []
    for number, row in enumerate(rows[1:], start=2):
        if not any(cell.strip() for cell in row):
            continue
        if len(row) > len(headings):
            raise RecordError(
                f"Row {number} of the CSV file has more cells than the first row; correct it."
            )
        found.append({name: _plain(cell) for name, cell in zip(headings, row, strict=False)})
    return found


def _safe(text: str) -> str:
    return f"'{text}" if _ESCAPE.match(text) else text


def _plain(text: str) -> str:
    return text[1:] if _UNESCAPE.match(text) else text
