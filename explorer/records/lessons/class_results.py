"""What a class measured or guessed, typed in one after the other."""

import re

import numpy as np
from numpy.typing import NDArray

from explorer import units
from explorer.records.errors import Problems, RecordError
from explorer.records.typed_text import quote

MOST = 60
"""Results that are kept, more than a class has."""

LONGEST = 600
"""Characters that are read, and that a link carries: those of `MOST` results with their units."""

_BETWEEN = re.compile(r"[;\n]+|,\s+|\s+(?=[-+.0-9])")
_PLAIN = re.compile(r"[-+]?[0-9]{1,7}(?:\.[0-9]{1,6})?")


def read_results(
    text: str, kind: str, unit: str, within: tuple[str, str] | None, example: str = ""
) -> NDArray[np.float64]:
    """Read results separated by blanks, semicolons or new lines, if any [SI, or plain].

    Args:
        kind: Kind of quantity, a key of `explorer.unit_kinds.KINDS`; empty for plain numbers.
        unit: Unit of a number without one.
        within: Lowest and highest value accepted, with units; None for plain numbers.
        example: Result with its unit to show where one cannot be read; empty for that of its kind.

    >>> read_results("10.4 11; 9.8 s", "time", "s", ("1 s", "600 s"))
    array([10.4, 11. ,  9.8])
    """
    if len(text) > LONGEST:
        raise RecordError(
            f"At most {LONGEST} characters of results are read; type in at most {MOST} results."
        )
    typed = entries(text)
    if len(typed) > MOST:
        raise RecordError(f"{len(typed)} results are too many; type in at most {MOST}.")
    found, problems = [], Problems()
    for entry in typed:
        try:
            found.append(_read(entry, kind, unit, within, example))
        except (RecordError, units.UnitError) as error:
            problems.append(str(error))
    problems.refuse()
    return np.array(found, float)


def entries(text: str) -> list[str]:
    """What was typed, apart, whether it can be read or not.

    >>> entries("10.4 11; 9.8 s")
    ['10.4', '11', '9.8 s']
    """
    return [entry.strip() for entry in _BETWEEN.split(text) if entry and entry.strip()]


def _read(entry: str, kind: str, unit: str, within: tuple[str, str] | None, example: str) -> float:
    if _PLAIN.fullmatch(entry):
        return units.to_si(f"{entry} {unit}", kind, within, example) if kind else float(entry)
    if kind:
        return units.to_si(entry, kind, within, example)
    raise RecordError(
        f'{quote(entry)} is not a plain number; write results like "3.7 3.8 3.7", with a point for '
        "decimals and a blank between two."
    )
