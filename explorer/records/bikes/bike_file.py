"""The outside of a bike file: bytes that may be anything, to the tables and texts in it."""

import re
import tomllib
from collections.abc import Callable
from typing import Any

from explorer.records.bikes.torque_curve import rows_of_csv
from explorer.records.errors import Problems, RecordError
from explorer.records.typed_text import quote

LARGEST = 1_000_000
"""Bytes of the largest bike file that is read [count]."""

_LONGEST_LINE = 5_000
_LONG_NAME = re.compile(r"""(?<![\w.-])(?:(?:[\w-]++|"[^"\n]*+"|'[^'\n]*+')[ \t]*+\.[ \t]*+){20}""")
_FILE_NAME = re.compile(r"[A-Za-z0-9_][A-Za-z0-9_. -]{0,55}\.csv", re.IGNORECASE)
_UTF16 = (b"\xff\xfe", b"\xfe\xff")

CURVES = ("torque_curve", "motoring_curve")
"""Fields of the section [engine] that may stand in a CSV file beside the bike file."""

ReadBeside = Callable[[str], bytes]


def read_tables(data: bytes, read_beside: ReadBeside | None = None) -> dict[str, Any]:
    """Read the TOML of a bike file, with the curves that stand beside it: tables and values, not
    checked; decimal numbers stay the text they were typed as.

    Args:
        read_beside: Gives the contents of a file beside it by its name; without it, there is none.

    >>> read_tables(b'name = "Trail bike"\\n[gearbox]\\nprimary = 3.30')
    {'name': 'Trail bike', 'gearbox': {'primary': '3.30'}}
    """
    text = _text(data)
    try:
        tables = tomllib.loads(text, parse_float=str)
    except RecursionError:
        raise RecordError(
            "The bike file has lists within lists within lists; a bike file has sections, and "
            "lists of two values at most."
        ) from None
    except ValueError as error:
        raise RecordError(_toml_sentence(text, str(error))) from None
    engine = tables.get("engine")
    if isinstance(engine, dict):
        problems = Problems()
        for curve in CURVES:
            with problems.of():
                _fetch_curve(engine, curve, read_beside)
        problems.refuse()
    return tables


def _text(data: bytes) -> str:
    if len(data) > LARGEST:
        raise RecordError(
            "The bike file is larger than 1 MB; a bike file is a few kilobytes of TOML text."
        )
    if data.startswith(_UTF16):
        raise RecordError("The bike file is UTF-16 text; save it again in UTF-8.")
    if b"\0" in data:
        raise RecordError("The bike file is not text; give a TOML file written in a text editor.")
    try:
        text = data.decode("utf-8-sig")
    except UnicodeDecodeError as error:
        line = data.count(b"\n", 0, error.start) + 1
        raise RecordError(
            f"The bike file is not UTF-8 text (line {line}); save it again in UTF-8."
        ) from None
    if not text.strip():
        raise RecordError(
            "The bike file is empty; download one from these pages to see what belongs in it."
        )
    for number, line in enumerate(text.splitlines(), start=1):
        if len(line) > _LONGEST_LINE:
            raise RecordError(
                f"Line {number} of the bike file is longer than {_LONGEST_LINE} characters; break "
                "it up."
            )
    if _LONG_NAME.search(text):
        # Reading a name of thousands of parts takes the square of their number.
        raise RecordError(
            "The bike file has a name of more than 20 parts with dots between them; a field has a "
            "section and a name."
        )
    return text


def _toml_sentence(text: str, message: str) -> str:
    place = re.search(r"at line (\d+)", message)
    number = int(place[1]) if place else len(text.splitlines())
    lines = text.splitlines()
    line = lines[number - 1].strip() if 1 <= number <= len(lines) else ""
    where = f"Line {number} of the bike file"
    if "overwrite" in message or "twice" in message or "Cannot declare" in message:
        return f"{where} gives again what was given before: {quote(line)}; keep one of the two."
    return (
        f"{where} cannot be read as TOML: {quote(line)}; write a name, an equals sign and a text "
        'in quotation marks, for example wheelbase = "1380 mm".'
    )


def _fetch_curve(engine: dict[str, Any], curve: str, read_beside: ReadBeside | None) -> None:
    """Put the points of a CSV file in the place of its name."""
    named = engine.pop(f"{curve}_file", None)
    if named is None:
        return
    if curve in engine:
        raise RecordError(
            f"The section [engine] has both {curve} and {curve}_file; keep one of the two."
        )
    if not isinstance(named, str) or not _FILE_NAME.fullmatch(named):
        raise RecordError(
            f"The field {curve}_file does not hold the plain name of a CSV file beside the bike "
            'file; write for example "trail-torque.csv".'
        )
    missing = RecordError(
        f"The torque curve file {quote(named)} is not there; put it beside the bike file, or write "
        f'its points into the bike file, for example {curve} = [["2000 rpm", "8 N*m"], '
        '["3000 rpm", "9 N*m"]].'
    )
    if read_beside is None:
        raise missing
    try:
        data = read_beside(named)
    except (OSError, KeyError):
        raise missing from None
    engine[curve] = rows_of_csv(data, named)
