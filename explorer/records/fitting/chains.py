"""Motorcycle chain sizes by their number: pitch, inner width, roller."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from explorer.data_folder import DATA
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy


@dataclass(frozen=True)
class ChainSize:
    """One chain size.

    Attributes:
        number: Trade number, for example "520".
        pitch, inner_width, roller_diameter: Nominal dimensions [m].
        source: Where the row comes from.
    """

    number: str
    pitch: float
    inner_width: float
    roller_diameter: float
    source: str


@cache
def chain_sizes() -> Mapping[str, ChainSize]:
    """All chain sizes of data/chains.csv by their number.

    Returns: Dimensions [m]; cannot be changed.

    >>> chain_sizes()["520"].pitch
    0.015875
    """
    path = DATA / "chains.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [
            ChainSize(
                row["chain"],
                float(row["pitch_mm"]) / 1000,
                float(row["inner_width_mm"]) / 1000,
                float(row["roller_diameter_mm"]) / 1000,
                row["source"],
            )
            for row in csv.DictReader(file)
        ]
    return MappingProxyType({chain.number: chain for chain in rows})


def chain_size(text: str) -> ChainSize:
    """Look a chain size up by the number stamped on its plates.

    Raises:
        RecordError: One sentence with the numbers that are known.

    >>> chain_size("428").roller_diameter
    0.00851
    """
    number = tidy(text)
    if number not in chain_sizes():
        raise RecordError(
            f"The chain size {quote(number)} is not known; give the number stamped on the side "
            f"plates, one of {', '.join(chain_sizes())}."
        )
    return chain_sizes()[number]
