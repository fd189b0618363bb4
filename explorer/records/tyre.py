"""Tyre size as printed on the sidewall, and the roll-out that goes with it."""

import math
import re
from dataclasses import dataclass
from functools import cache, lru_cache
from typing import Literal

from explorer import units
from explorer.calc.tyre import overall_diameter
from explorer.records.errors import RecordError
from explorer.records.prose import read_table
from explorer.records.typed_text import quote, tidy

ROLLING_FACTOR = 1.0
"""Roll-out over nominal circumference, used when nobody measured [-].

No published factor for motorcycle tyres was found, so the nominal circumference is taken as it
is. For a car tyre under load an engineer's blog gives about 0.96 (a weak source, not used here).
"""

ROLLOUT_RANGE = (0.8, 2.8)
"""Roll-out that a motorcycle wheel can have, from a 10-inch to a large 21-inch wheel [m]."""

LOW_SECTION_WIDTHS = ("3.60", "4.10", "4.60", "5.10")
"""Inch-code widths whose section is 90 % as tall as wide although the size does not say so.

A tyre maker's technical page (name withheld) prints 4.10 as its example; the other three widths
are common practice, no source.
"""

_INCH = 0.0254
_LONGEST = 40
_WIDTHS_MM = (50, 240)
_WIDTHS_INCH = (1.5, 7.0)
_ASPECTS = (40, 110)
_RIMS = (8, 23)

_UNREADABLE = "cannot be read"
_SLIPS = {
    r"[0-9]{2,3} ?/ ?[0-9]{2,3}": "has no rim diameter",
    r"[0-9]\.[0-9]{1,2}": "has a width but no rim diameter",
    r"[0-9]{2,3} ?- ?[0-9]{2,3} ?/ ?[0-9]{2}": "has dash and slash the wrong way round",
    r"[0-9]{2,3} ?[-/ ] ?[0-9]{2,3} ?[-/ ] ?[0-9]{2}": (
        "needs a slash before the aspect ratio and a dash before the rim"
    ),
    r"M[A-Z][0-9]{2} ?- ?[0-9]{2}.*": "is in letter code, which is not read here",
}
"""What is wrong with sizes of these forms; the first that fits is said."""

_EXAMPLES = "give it as on the sidewall, for example 100/90-19 or 4.10-18"
# Between section and rim: dash or x, R (radial), B (belted), perhaps with a speed letter (ZR).
_RIM = r" ?(?:-|X|[A-Z]?[RB]|-[RB]) ?(?P<rim>[0-9]{1,3})"
_METRIC = re.compile(r"(?P<width>[0-9]{1,3}) ?/ ?(?P<aspect>[0-9]{1,3})" + _RIM + r"(?P<rest>.*)")
_INCH_CODE = re.compile(
    r"(?P<width>[0-9]{1,2}[.,][0-9]{1,2})(?: ?/ ?(?P<aspect>[0-9]{1,3}))?" + _RIM + r"(?P<rest>.*)"
)
# What may follow the rim: motorcycle mark, load index and speed code, plies, tube or not, use.
# Atomic and possessive, longest first, so that a long wrong text is refused without going back.
_MARKINGS = re.compile(
    r"(?: ?(?>M/?C|M\+S|MST|REINF\.?|REAR|RF|R|FRONT|F|NHS|TT/TL|TL/TT|TT|TL"
    r"|[0-9]{1,2} ?PR|\(?[0-9]{2,3} ?[A-Z]\)?))*+"
)


@dataclass(frozen=True)
class TyreSize:
    """Nominal size of a tyre.

    Attributes:
        text: The size without its further markings.
        section_width: Nominal width of the section [m].
        aspect_ratio: Height of the section over its width [-].
        rim_diameter: Rim diameter, 25.4 mm times the rim code [m].
        overall_diameter: Nominal diameter of the new tyre, from the size alone [m].
        circumference: Nominal circumference, π times the diameter [m].
        kind: Which of the two codes the size is written in.
    """

    text: str
    section_width: float
    aspect_ratio: float
    rim_diameter: float
    overall_diameter: float
    circumference: float
    kind: Literal["metric", "inch"]

    @property
    def note(self) -> str:
        """What the size does not tell."""
        if self.kind == "metric":
            return (
                "A tyre size is not a roll-out: make, wear, pressure and load change it by a few "
                "per cent, so measure it."
            )
        return (
            "A tyre size is not a roll-out, and tyres in inch code differ from their nominal size "
            "by several per cent, so measure it."
        )


@dataclass(frozen=True)
class Rollout:
    """Roll-out in use, and where it comes from.

    Attributes:
        value: Way of the wheel in one turn [m].
        source: Measured always wins.
        sentence: Says which is in use.
    """

    value: float
    source: Literal["measured", "computed from size"]
    sentence: str


@lru_cache(maxsize=256)
def parse_size(text: str) -> TyreSize:
    """Read a tyre size in metric or inch code, with or without further markings.

    References:
        Section height = width times aspect ratio and D = d + 2 H: a tyre maker's technical page on
        sidewall markings (name withheld). An inch-code size without an aspect ratio is as tall as
        it is wide, low-section widths 90 % of that: same page.

    >>> size = parse_size("100/90-19 M/C 57P")
    >>> size.text, round(size.overall_diameter, 4), round(size.circumference, 4)
    ('100/90-19', 0.6626, 2.0816)
    >>> round(parse_size("4.10-18").overall_diameter, 4)
    0.6447
    """
    typed = tidy(text)
    entry = typed.upper()
    if not entry:
        raise RecordError(f"No tyre size was given; {_EXAMPLES}.")
    if len(entry) > _LONGEST:
        raise RecordError(
            f"A tyre size of {len(entry)} characters is too long (at most {_LONGEST}); {_EXAMPLES}."
        )
    if match := _METRIC.fullmatch(entry):
        return _size(typed, match, "metric")
    if match := _INCH_CODE.fullmatch(entry):
        return _size(typed, match, "inch")
    slip = next((said for form, said in _SLIPS.items() if re.fullmatch(form, entry)), _UNREADABLE)
    raise RecordError(f"The tyre size {quote(typed)} {slip}; {_EXAMPLES}.")


def rollout(size_text: str, measured: float | None = None, system: str = "metric") -> Rollout:
    """Roll-out in use: the measured one, or else nominal circumference times ROLLING_FACTOR.

    Args:
        measured (float, 0.8 to 2.8, optional): Roll-out measured on the ground with the rider
            seated [m].

    >>> rollout("100/90-19").sentence
    'Roll-out 2.08 m, computed from the size 100/90-19 and not measured: nominal circumference \
    times 1.00.'
    >>> rollout("100/90-19", 2.051).sentence
    'Roll-out 2.051 m as measured; the size 100/90-19 alone would give 2.08 m.'
    >>> rollout("100/90-19", 2.051, "imperial").sentence
    'Roll-out 80.7 in as measured; the size 100/90-19 alone would give 82 in.'
    """

    def said(value: float, decimals: int) -> str:
        imperial = system == "imperial"
        return units.text(value, "length", system) if imperial else f"{value:.{decimals}f} m"

    size = parse_size(size_text)
    computed = size.circumference * ROLLING_FACTOR
    if measured is None:
        return Rollout(
            computed,
            "computed from size",
            f"Roll-out {said(computed, 2)}, computed from the size {size.text} and not measured: "
            f"nominal circumference times {ROLLING_FACTOR:.2f}.",
        )
    low, high = ROLLOUT_RANGE
    if not low <= measured <= high:
        raise RecordError(
            f"A roll-out of {measured:g} m is outside {low} m to {high} m; measure one full turn "
            "of the rear wheel on the ground, for example 2.05 m."
        )
    return Rollout(
        measured,
        "measured",
        f"Roll-out {said(measured, 3)} as measured; the size {size.text} alone would give "
        f"{said(computed, 2)}.",
    )


def same_size(one: str, other: str) -> bool:
    """Whether two markings are one size; load, speed and plies do not count.

    >>> same_size("4.10-18", "4.10 - 18 59P"), same_size("4.10-18", "4.60-18")
    (True, False)
    """
    return parse_size(one).text == parse_size(other).text


@cache
def common_sizes(position: Literal["front", "rear"]) -> tuple[str, ...]:
    """Common off-road sizes of data/tyres.csv for one end of the bike.

    >>> common_sizes("front")[0]
    '80/100-21'
    """
    return tuple(row["size"] for row in read_table("tyres") if row["position"] == position)


def _size(typed: str, match: re.Match[str], kind: Literal["metric", "inch"]) -> TyreSize:
    metric = kind == "metric"
    width, rim = float(match["width"].replace(",", ".")), int(match["rim"])
    text = f"{width:.0f}" if metric else f"{width:.2f}"
    aspect = int(match["aspect"] or (90 if text in LOW_SECTION_WIDTHS else 100))
    if match["aspect"]:
        text += f"/{aspect}"
    for what, value, (low, high), unit in (
        ("width", width, _WIDTHS_MM if metric else _WIDTHS_INCH, " mm" if metric else " in"),
        ("aspect ratio", aspect, _ASPECTS, ""),
        ("rim", rim, _RIMS, " inches"),
    ):
        if not low <= value <= high:
            raise RecordError(
                f"The tyre size {quote(typed)} has {what} {value:g}{unit}, outside {low:g} to "
                f"{high:g}{unit}; {_EXAMPLES}."
            )
    if not _MARKINGS.fullmatch(match["rest"].rstrip()):
        raise RecordError(
            f"The size in {quote(typed)} is clear, but not the marking "
            f"{quote(match['rest'].strip())} after it; leave the marking out."
        )
    section, rim_diameter = width / 1000 if metric else width * _INCH, rim * _INCH
    diameter = float(overall_diameter(section, aspect / 100, rim_diameter))
    return TyreSize(
        f"{text}-{rim}", section, aspect / 100, rim_diameter, diameter, math.pi * diameter, kind
    )
