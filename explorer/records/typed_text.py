"""Text that somebody typed: tidied, repeated safely inside a sentence, and read as a date.

A date is year, month, day, so that nobody mistakes one for the other.
"""

import re
import unicodedata
from datetime import date

from explorer.records.errors import RecordError

DATE_EXAMPLE = "2026-05-01"

_YEARS = (1950, 2199)
_DATE = re.compile("[0-9]{4}-[0-9]{2}-[0-9]{2}")


QUOTE_LENGTH = 40


def tidy(text: str) -> str:
    """Make every dash a plain one and every run of blanks a single one, ends cut.

    >>> tidy(" 100/90   \N{EN DASH} 19 ")
    '100/90 - 19'
    """
    minus = "\N{MINUS SIGN}"
    dashed = (
        "-" if character == minus or unicodedata.category(character) == "Pd" else character
        for character in str(text)
    )
    return " ".join("".join(dashed).split())


def quote(text: str) -> str:
    """Repeat at most 40 characters of an entry in quotation marks, without control characters.

    Markup is not escaped here: the page escapes every sentence when it shows it.

    >>> quote("13-forty-eight")
    '"13-forty-eight"'
    """
    start = str(text)[: QUOTE_LENGTH + 1]
    clean = "".join(character if character.isprintable() else "?" for character in start)
    if len(clean) > QUOTE_LENGTH:
        clean = clean[: QUOTE_LENGTH - 1] + "…"
    return f'"{clean}"'


def read_date(text: str) -> str:
    """Read a date.

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
            f"{quote(text)} is not a date; write year, month and day, for example "
            f"{quote(DATE_EXAMPLE)}."
        )
    return day.isoformat()
