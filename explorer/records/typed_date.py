"""A date as it is typed: year, month, day, so that nobody mistakes one for the other."""

import re
from datetime import date

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy

EXAMPLE = "2026-05-01"

_YEARS = (1950, 2199)
_DATE = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


def read_date(text: str) -> str:
    """Read a date.

    Returns: The same, tidied.

    Raises:
        RecordError: One sentence: what is wrong, what is accepted, an example.

    >>> read_date(" 2026-05-01 ")
    '2026-05-01'
    """
    entry = tidy(text)
    try:
        day = date.fromisoformat(entry) if _DATE.fullmatch(entry) else None
    except ValueError:
        day = None
    if day is None or not _YEARS[0] <= day.year <= _YEARS[1]:
        raise RecordError(
            f"{quote(text)} is not a date; write year, month and day, for example {quote(EXAMPLE)}."
        )
    return day.isoformat()
