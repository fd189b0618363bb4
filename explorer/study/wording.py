"""Numbers, gears and limits as every page and chart says them."""

from collections.abc import Callable, Iterable
from dataclasses import dataclass

from explorer.calc.drivetrain.top_speed import Limit

_NARROW_SPACE = "\u202f"

LIMIT_WORDS = {
    Limit.REV_LIMIT: "the rev limit",
    Limit.POWER: "power against drag, slope and surface",
    Limit.GRIP: "the grip of the rear tyre",
    Limit.FRONT_WHEEL_LIFT: "the front wheel lifting",
    Limit.CANNOT_HOLD: "no gear holding any steady speed",
}

SHORT_LIMITS = {
    Limit.REV_LIMIT: "rev limit",
    Limit.POWER: "power",
    Limit.GRIP: "grip",
    Limit.FRONT_WHEEL_LIFT: "front wheel lift",
    Limit.CANNOT_HOLD: "no steady speed",
}


@dataclass(frozen=True)
class SpeedUnits:
    """The unit of speed on the axis, and the second one that hovering shows, `other_factor` of
    which are one unit.

    >>> SpeedUnits("km/h", "mph", 0.621371).both(62.0)
    '62 km/h · 39 mph'
    """

    unit: str = "km/h"
    other_unit: str = "mph"
    other_factor: float = 0.621371

    def one(self, speed: float) -> str:
        """Speed in whole units of the axis."""
        return f"{speed:.0f} {self.unit}"

    def both(self, speed: float) -> str:
        """Speed in whole units of both kinds."""
        return f"{self.one(speed)} · {speed * self.other_factor:.0f} {self.other_unit}"


def more_changes(more: int) -> str:
    """Gear changes more than another gearing needs; empty for as many.

    >>> more_changes(1), more_changes(-2), more_changes(0)
    ('one gear change more', '2 gear changes fewer', '')
    """
    if not more:
        return ""
    number = "one gear change" if abs(more) == 1 else f"{abs(more)} gear changes"
    return f"{number} {'more' if more > 0 else 'fewer'}"


def clock(seconds: float) -> str:
    """How long something took, or when in a ride it was.

    >>> clock(4.2), clock(220.0), clock(4200.0)
    ('4 s', '3:40 min', '1:10:00 h')
    """
    minutes, rest = divmod(round(seconds), 60)
    if minutes < 60:
        return f"{minutes}:{rest:02d} min" if minutes else f"{rest} s"
    return f"{minutes // 60}:{minutes % 60:02d}:{rest:02d} h"


def grouped(value: float) -> str:
    """Whole number with its thousands set apart.

    >>> grouped(9200.0).replace("\\u202f", "_")
    '9_200'
    """
    return f"{value:,.0f}".replace(",", _NARROW_SPACE)


def engine_speed(rpm: float) -> str:
    """Engine speed to the nearest ten, the most that a tachometer or torque curve carries."""
    return f"{grouped(round(rpm, -1))} rpm"


def three_digits(value: float) -> str:
    """Number cut to three significant digits, never in powers of ten.

    >>> three_digits(1234.0).replace("\\u202f", "_"), three_digits(56.78)
    ('1_230', '56.8')
    """
    short = float(f"{value:.3g}")
    return grouped(short) if abs(short) >= 100 else f"{short:g}"


def listed(words: list[str]) -> str:
    """Words joined by commas and a last "and".

    >>> listed(["1st", "2nd", "3rd"])
    '1st, 2nd and 3rd'
    """
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))


def spans(ends: Iterable[tuple[float, float]], said: Callable[[float], str]) -> str:
    """Stretches of speed by their ends; one that begins at rest is said by its end alone.

    Args:
        ends (iterable of (float, float)): Start and end of each, the slowest first [unit of speed].
        said: A speed in words. Gaps that vanish in its rounding are not told.

    >>> spans([(0.0, 15.0), (15.3, 29.0), (89.8, 108.0)], SpeedUnits().one)
    'to 29 km/h and from 90 km/h to 108 km/h'
    >>> spans([(30.9, 31.2)], SpeedUnits().one)
    'near 31 km/h'
    """
    joined: list[tuple[float, float]] = []
    for start, end in ends:
        if joined and said(joined[-1][1]) == said(start):
            start = joined.pop()[0]
        joined.append((start, end))
    return listed([_span(start, end, said) for start, end in joined])


def _span(start: float, end: float, said: Callable[[float], str]) -> str:
    if start == 0:
        return f"to {said(end)}"
    if said(start) == said(end):
        return f"near {said(end)}"
    return f"from {said(start)} to {said(end)}"


def ordinal(gear: int) -> str:
    """A gear as a rider says it.

    >>> [ordinal(gear) for gear in (1, 2, 3, 4)]
    ['1st', '2nd', '3rd', '4th']
    """
    return f"{gear}{({1: 'st', 2: 'nd', 3: 'rd'}).get(gear, 'th')}"
