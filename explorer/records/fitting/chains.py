"""Motorcycle chain sizes by their number."""

from collections.abc import Mapping
from functools import cache
from types import MappingProxyType
from typing import NamedTuple

from explorer.records.errors import RecordError
from explorer.records.prose import read_table
from explorer.records.typed_text import quote, tidy


class ChainSize(NamedTuple):
    """Trade number, for example "520", nominal pitch and diameter of the rollers [m]."""

    number: str
    pitch: float
    roller_diameter: float


@cache
def chain_sizes() -> Mapping[str, ChainSize]:
    """All chain sizes of data/chains.csv by their number; cannot be changed.

    >>> chain_sizes()["520"].pitch
    0.015875
    """
    sizes = (
        ChainSize(
            row["chain"], float(row["pitch_mm"]) / 1000, float(row["roller_diameter_mm"]) / 1000
        )
        for row in read_table("chains")
    )
    return MappingProxyType({each.number: each for each in sizes})


def chain_size(text: str) -> ChainSize:
    """Look a chain size up by the number stamped on its plates.

    >>> chain_size(" 428 ").pitch
    0.0127
    """
    number = tidy(text)
    if number not in chain_sizes():
        raise RecordError(
            f"The chain size {quote(number)} is not known; give the number stamped on the side "
            f"plates, one of {', '.join(chain_sizes())}."
        )
    return chain_sizes()[number]
