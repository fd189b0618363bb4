"""How every page prints a number with its 95 % interval, for tests that read it off a page."""

import re
from dataclasses import dataclass

NUMBER = r"[+−]?\d[\d.]*"


def banded(unit: str, number: str = NUMBER) -> str:
    """Pattern of "92 ± 4 km/h" and "92 km/h (87 to 94)", without a group."""
    return rf"{number} (?:± [\d.]+ {unit}|{unit} \({NUMBER}\sto\s{NUMBER}\))"


@dataclass(frozen=True)
class Printed:
    """What is read off: the number and both ends of its interval, as printed."""

    value: str
    low: float
    high: float

    @classmethod
    def read(cls, text: str) -> "Printed":
        """Of a text that `banded` fits.

        >>> Printed.read("−7 km/h (−15 to −1)")
        Printed(value='−7', low=-15.0, high=-1.0)
        """
        numbers = [float(each.replace("−", "-")) for each in re.findall(NUMBER, text)]
        value, *rest = numbers
        low, high = (value - rest[0], value + rest[0]) if len(rest) == 1 else rest
        return cls(text.split()[0], low, high)
