"""Surfaces to ride on: rolling resistance and grip with their published ranges."""

import csv
from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from explorer.records.data_folder import DATA

DEFAULT_SURFACE = "forest-soil"


@dataclass(frozen=True)
class Surface:
    """One kind of ground.

    Attributes:
        id: Short name for links and files.
        label: Name for the reader.
        rolling_low, rolling_typical, rolling_high: Rolling resistance over normal load [-].
        grip_low, grip_typical, grip_high: Driving force over normal load at which the tyre spins
            [-].
        source_rolling, source_grip: Who published the ranges.
        note: What the figures do not cover.
    """

    id: str
    label: str
    rolling_low: float
    rolling_typical: float
    rolling_high: float
    grip_low: float
    grip_typical: float
    grip_high: float
    source_rolling: str
    source_grip: str
    note: str


@cache
def surfaces() -> Mapping[str, Surface]:
    """All surfaces of data/surfaces.csv by their id, from hard to soft.

    Returns:
        Coefficients [-]; cannot be changed.

    >>> surfaces()["loose-sand"].rolling_typical
    0.2
    """
    path = DATA / "surfaces.csv"
    with path.open(encoding="utf-8", newline="") as file:
        rows = [_surface(row) for row in csv.DictReader(file)]
    return MappingProxyType({surface.id: surface for surface in rows})


def _surface(row: dict[str, str]) -> Surface:
    coefficients = {name: float(row[name]) for name in row if name.startswith(("rolling", "grip"))}
    return Surface(**(row | coefficients))
