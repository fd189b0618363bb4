"""Units at the door: text to SI on the way in, SI to the reader's units on the way out.

The one pint registry lives here and is made when the first unit is needed. Pint gives every
conversion factor; it never sees what somebody typed. A typed unit is looked up in
:mod:`explorer.unit_kinds`, since some everyday spellings mean something else to pint: "PS" is a
petasiemens there, "1/min" no turn of a crankshaft, and "Hz" differs from "rpm" by 2π.
"""

import math
import re
import unicodedata
from collections.abc import Callable
from functools import cache
from typing import TYPE_CHECKING, TypeVar

import numpy as np
from numpy.typing import NDArray

from explorer.unit_kinds import KINDS, Shown

if TYPE_CHECKING:
    import pint

SYSTEMS = ("metric", "imperial")

RPM = math.pi / 30
"""One revolution a minute [rad/s]: ``3000 * RPM`` on the way in, ``speed / RPM`` on the way out."""

KMH, MPH = 1 / 3.6, 0.44704
"""One kilometre and one mile an hour [m/s], used likewise."""

_LONGEST = 40
_NUMBER = re.compile(r"([+-]?(?:[0-9]++(?:\.[0-9]*+)?|\.[0-9]++)(?:[eE][+-]?[0-9]{1,3}(?![0-9]))?)")
_FRACTION = re.compile(r"(?:([0-9]{1,4}) )?([0-9]{1,4})/([1-9][0-9]{0,3})(?![0-9.,])")
_DECIMAL_COMMA = re.compile(r"^([+-]?[0-9]{0,9}),([0-9]{1,2}|[0-9]{4,12})(?![0-9.,])")
_JOINTS = str.maketrans(
    dict.fromkeys(" .*^-_\N{MIDDLE DOT}\N{DOT OPERATOR}\N{MULTIPLICATION SIGN}")
)
_LOOKALIKES = str.maketrans(
    {
        "\N{MASCULINE ORDINAL INDICATOR}": "°",
        "\N{RIGHT SINGLE QUOTATION MARK}": "'",
        "\N{RIGHT DOUBLE QUOTATION MARK}": '"',
        "\N{PRIME}": "'",
        "\N{DOUBLE PRIME}": '"',
        "\N{MINUS SIGN}": "-",
        "\N{EN DASH}": "-",
    }
)

Number = TypeVar("Number", float, NDArray[np.float64])


class UnitError(ValueError):
    """A typed quantity cannot be used; the message is one plain sentence."""


def to_si(
    text: str, kind: str, within: tuple[str, str] | None = None, example: str | None = None
) -> float:
    """Read a typed quantity, a number with its unit, in the SI unit of the kind.

    Args:
        text: What was typed, at most 40 characters, for example "1380 mm".
        within: Lowest and highest value accepted, with units; without it those of the kind.
        example: What to type, in quotation marks, for the sentence; without it that of the kind.

    Raises:
        UnitError: One sentence: what is wrong, what is accepted, an example.

    >>> to_si("54 in", "length")
    1.3716
    >>> round(to_si("9500 rev/min", "engine speed"), 3)
    994.838
    >>> to_si("1380", "length")
    Traceback (most recent call last):
        ...
    explorer.units.UnitError: "1380" has no unit; write for example "1380 mm" or "54 in".
    """
    table = KINDS[kind]
    write = f"write for example {example or table.example}"
    low, high = within or table.within
    value = _read(text, kind, write)
    slip = 1e-9 * max(abs(known(low, kind)), abs(known(high, kind)))
    if not known(low, kind) - slip <= value <= known(high, kind) + slip:
        raise UnitError(
            f"{_quote(text)} is outside {low} to {high}; check the number and its unit; {write}."
        )
    return value


def display(si_value: Number, kind: str, system: str) -> tuple[Number, str]:
    """Number, not rounded, and label of the unit in which the reader wants a value.

    >>> number, unit = display(25.0, "speed", "metric")
    >>> round(number, 9), unit
    (90.0, 'km/h')
    """
    factor, offset, label = _shown(kind, system)
    if offset:
        return si_value * factor + offset, label
    return si_value * factor, label


def text(si_value: float, kind: str, system: str, digits: int = 3) -> str:
    """Value with its unit for a sentence, rounded to what such inputs can carry.

    Args:
        digits (int, positive): Most significant digits; a length or an altitude has one more
            [count].

    Returns: For example "1390 N"; "no value" if the number is not finite.

    >>> text(1387.4, "force", "metric"), text(2.0816, "length", "metric")
    ('1390 N', '2082 mm')
    >>> text(293.15, "temperature", "imperial"), text(0.12, "slope", "metric")
    ('68 °F', '12 %')
    >>> text(94.51 * KMH, "speed", "metric")
    '95 km/h'
    """
    number, unit = display(float(si_value), kind, system)
    if not math.isfinite(number):
        return "no value"
    digits += kind in ("length", "distance", "altitude")
    decimals = getattr(KINDS[kind], system).decimals
    if number:
        decimals = min(decimals, digits - 1 - math.floor(math.log10(abs(number))))
    # Once, to the coarser of the two: rounding a rounded number could be a whole step out.
    said = f"{round(number, decimals):.{max(decimals, 0)}f}"
    if "." in said:
        said = said.rstrip("0").rstrip(".")
    said = "0" if said == "-0" else said
    return f"{said}{'' if unit in ('', '°') else ' '}{unit}"


def with_unit(typed: str, kind: str, system: str) -> str:
    """What was typed, with the reader's unit behind a bare number.

    >>> with_unit("40", "length", "metric"), with_unit("1/2", "length", "imperial")
    ('40 mm', '1/2 in')
    """
    entry = " ".join(typed.split())
    number, rest = _number(entry)
    return typed if number is None or rest else f"{entry} {display(1.0, kind, system)[1]}"


def rounded(value: float, decimals: int) -> str:
    """A number as every page prints it; what rounds to zero has no sign.

    >>> rounded(-3.21, 1), rounded(-0.04, 1), rounded(137.0, -1)
    ('−3.2', '0.0', '140')
    """
    return f"{round(float(value), decimals) + 0.0:.{max(decimals, 0)}f}".replace("-", "−")


def signed(value: float, decimals: int) -> str:
    """A difference with its sign, unless it is printed as zero.

    >>> signed(3.21, 1), signed(-3.21, 1), signed(-0.04, 1)
    ('+3.2', '−3.2', '0.0')
    """
    return f"{'+' if round(float(value), decimals) > 0 else ''}{rounded(value, decimals)}"


def ends(first: float, last: float, decimals: int, said: Callable = signed) -> str:
    """Two ends of a range; one number where both read the same.

    >>> ends(-0.14, -0.01, 1), ends(0.31, 0.33, 1)
    ('−0.1 to 0.0', '+0.3')
    """
    return " to ".join(dict.fromkeys(said(each, decimals) for each in (first, last)))


def band_decimals(band: float, most: int = 2) -> int:
    """Decimals that a band leaves standing; negative for tens and more.

    One digit of the band, two if it begins with a 1: GUM 7.2.6 asks for at most two.
    """
    digits = -math.floor(math.log10(band))
    return min(digits + (band * 10**digits < 2), most)


def band_sides(below: float, above: float, most: int = 2) -> tuple[float, float, int]:
    """How far a band is printed to reach down and up, and with how many decimals.

    Nearly alike, the longer stands for both; no number is surer than the last digit printed.
    """
    band = max(below, above)
    if min(below, above) > 0.8 * band:
        below = above = band
    digits = band_decimals(band, most)
    return max(below, 10.0**-digits), max(above, 10.0**-digits), digits


def with_band(
    value: float, below: float, above: float, unit: str, most: int = 2, said: Callable = rounded
) -> str:
    r"""A result and its 95 % interval, as `rounded` or `signed`: the one way to print a band.

    Hundredths of a second, of a km/h or of a newton are the finest that any reader can use. A range
    in brackets stays on one line.

    >>> with_band(92.37, 5.2, 1.8, "km/h"), with_band(0.5236, 0.0342, 0.0342, "m²")
    ('92 km/h (87\xa0to\xa094)', '0.52 ± 0.03 m²')
    >>> with_band(3.6, 7.2, 1.8, "km/h", said=signed)
    '+4 km/h (−4\xa0to\xa0+5)'
    """
    band = max(below, above)
    if not math.isfinite(band) or band <= 0:
        sign = "+" if said is signed and value > 0 else ""
        return f"{sign}{value:.3g} {unit}".strip().replace("-", "−")
    low, high, digits = band_sides(below, above, most)
    number = said(value, digits)
    even, middle = round(high, digits), abs(round(value, digits))
    # With one width for both sides it must not reach past zero, nor end before it, where it does
    # not: there the two ends are said, which are rounded to the same side of zero.
    past_zero = value - below < 0 < value + above
    as_wide = middle <= even if past_zero else middle >= even
    if round(low, digits) == even and as_wide:
        return f"{number} ± {rounded(even, digits)} {unit}".strip()
    lowest, highest = said(value - below, digits), said(value + above, digits)
    to = "\N{NO-BREAK SPACE}to\N{NO-BREAK SPACE}"
    return f"{f'{number} {unit}'.strip()} ({lowest}{to}{highest})"


@cache
def registry() -> "pint.UnitRegistry":
    """The one pint registry of the house, made when first asked for: that takes half a second."""
    import pint

    return pint.UnitRegistry()


def _read(text: str, kind: str, write: str) -> float:
    """SI value of a typed quantity, whatever its size."""
    entry = " ".join(str(text).translate(_LOOKALIKES).split())
    if not entry:
        raise UnitError(f"Nothing was given; {write}.")
    if len(entry) > _LONGEST:
        raise UnitError(f"{_quote(text)} is longer than {_LONGEST} characters; {write}.")
    number, rest = _number(entry)
    if number is None:
        raise UnitError(f"{_quote(text)} does not begin with a number; {write}.")
    if re.match(r" ?,", rest):
        raise UnitError(
            f"{_quote(text)} has a comma that may stand for thousands; write thousands without a "
            f"mark, for example {write.removeprefix('write for example ')}."
        )
    factor, offset = _conversion(*_unit(text, rest, kind, write))
    value = number * factor + offset
    if not math.isfinite(value):
        raise UnitError(f"{_quote(text)} is not a number of use here; {write}.")
    return value


def _number(entry: str) -> tuple[float | None, str]:
    """The number at the beginning of an entry, and what stands behind it.

    >>> _number("1,5 mm"), _number("1 1/2 in"), _number("2,500 mm")
    ((1.5, ' mm'), (1.5, ' in'), (2.0, ',500 mm'))
    """
    if fraction := _FRACTION.match(entry):
        whole, above, below = (int(part or 0) for part in fraction.groups())
        return whole + above / below, entry[fraction.end() :]
    # A comma before one, two or more than three digits is a decimal one; before three it may
    # stand for thousands, and is asked back.
    entry = _DECIMAL_COMMA.sub(r"\1.\2", entry)
    match = _NUMBER.match(entry)
    return (None, entry) if match is None else (float(match[0]), entry[match.end() :])


def _unit(text: str, typed: str, kind: str, write: str) -> tuple[str, str]:
    """The typed unit and the SI unit of the kind, both in pint's words."""
    key = unicodedata.normalize("NFKC", typed).translate(_LOOKALIKES).lower().translate(_JOINTS)
    if key in _spelled(kind):
        return _spelled(kind)[key], KINDS[kind].si
    if not key:
        raise UnitError(f"{_quote(text)} has no unit; {write}.")
    for other, table in KINDS.items():
        if key in _spelled(other):
            raise UnitError(f"{_quote(text)} is {table.noun}, not {KINDS[kind].noun}; {write}.")
    raise UnitError(
        f"{_quote(text)} has a unit that is not known here; accepted are "
        f"{KINDS[kind].accepted}: {write}."
    )


@cache
def _spelled(kind: str) -> dict[str, str]:
    """Each spelling of a kind's units, with the unit in pint's words."""
    return {
        spelling: pint_unit
        for pint_unit, spellings in KINDS[kind].spellings.items()
        for spelling in spellings.split() or [""]
    }


@cache
def _conversion(pint_unit: str, to: str) -> tuple[float, float]:
    """Factor and offset from one unit to another, both in pint's words."""
    one, zero = (registry().Quantity(number, pint_unit).to(to).magnitude for number in (1.0, 0.0))
    if not zero:
        return one, 0.0
    # The difference of two temperatures has no offset, and no digits to lose.
    steps = {"degC": "delta_degC", "degF": "delta_degF"}
    step = registry().Quantity(1.0, steps.get(pint_unit, pint_unit)).to(steps.get(to, to))
    return float(step.magnitude), zero


@cache
def _shown(kind: str, system: str) -> tuple[float, float, str]:
    """Factor, offset and label that show a kind in a system of units."""
    if system not in SYSTEMS:
        raise ValueError(f"system must be one of {SYSTEMS}, not {system!r}")
    shown: Shown = getattr(KINDS[kind], system)
    return *_conversion(KINDS[kind].si, shown.pint_unit), shown.label


@cache
def known(text: str, kind: str) -> float:
    """SI value of a text that stands in the code, such as an end of a range; it is kept."""
    return _read(text, kind, "")


def _quote(text: str) -> str:
    """At most 40 characters of an entry in quotation marks, without control characters."""
    start = "".join(character if character.isprintable() else "?" for character in text[:41])
    return f'"{start[:39]}…"' if len(start) > 40 else f'"{start}"'
