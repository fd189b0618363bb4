"""Ready mixes of riding: for each kind of terrain its ground, its course and a set of wants.

All of it is our own invention: starting points to change, not advice for any real place. The
weights of each terrain add up to `TERRAIN_WEIGHT`, so that a share of the mix means what it says.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from explorer.records.errors import RecordError
from explorer.records.prose import read_prose
from explorer.records.typed_text import quote
from explorer.study.wants.kinds import read_want
from explorer.study.wants.want import Want

TERRAIN_WEIGHT = 10.0
"""Sum of the weights of one terrain's wants [-]."""


@dataclass(frozen=True)
class Terrain:
    """One kind of riding; `note` says what is assumed, in one sentence."""

    id: str
    label: str
    note: str
    surface: str
    course: str
    wants: tuple[Want, ...]


_TERRAINS = read_prose("terrains")


def _want(row: dict) -> Want:
    texts = {name: each for name, each in row.items() if name not in ("want", "weight")}
    return read_want(row["want"], texts, row["weight"])


@cache
def terrains() -> Mapping[str, Terrain]:
    """Every ready kind of riding by its id.

    >>> terrains()["woods"].label
    'Tight woods'
    """
    return MappingProxyType(
        {
            name: Terrain(**row | {"id": name, "wants": tuple(map(_want, row["wants"]))})
            for name, row in _TERRAINS.items()
        }
    )


TERRAIN_IDS = tuple(_TERRAINS)


def normalised(shares: Mapping[str, float]) -> dict[str, float]:
    """Shares of the mix, scaled to add up to one; terrains without a share are left out.

    Args:
        shares: Share of each terrain, in any common unit, zero or more.

    Returns: In the order of `TERRAIN_IDS`; empty if nothing is given [-].

    Raises: RecordError.

    >>> normalised({"hills": 1, "woods": 3, "road": 0})
    {'woods': 0.75, 'hills': 0.25}
    """
    for name, share in shares.items():
        if name not in _TERRAINS:
            raise RecordError(
                f"The riding {quote(name)} is not known; choose one of {', '.join(TERRAIN_IDS)}."
            )
        if not 0 <= share <= 1e6:
            raise RecordError(
                f"The share of {quote(name)} cannot be {quote(f'{share:g}')}; give a number of "
                "zero or more."
            )
    total = sum(shares.values())
    if total <= 0:
        return {}
    return {name: shares[name] / total for name in TERRAIN_IDS if shares.get(name, 0) / total > 0}
