"""Surfaces to ride on: rolling resistance, and grip of each kind of tyre, with their ranges."""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType
from typing import Literal, get_args

from explorer.records.prose import read_table

TyreKind = Literal["knobbly", "trail", "road"]
TYRE_KINDS: tuple[TyreKind, ...] = get_args(TyreKind)
DEFAULT_TYRE_KIND: TyreKind = "knobbly"


@dataclass(frozen=True)
class Surface:
    """One kind of ground under one kind of tyre.

    Attributes:
        rolling_low, rolling_typical, rolling_high: Rolling resistance over normal load [-].
        grip_low, grip_typical, grip_high: Greatest driving force over normal load, the peak and not
            that of a locked wheel; gross, before the tyre's own rolling resistance is taken off
            [-].
        slip_modulus: Shear deformation modulus over length of the contact patch, K/l; from the
            table of soils, 0.6 to 3 cm, over a patch of 15 cm, and our choice on roads [-].
        note: What the figures do not cover, and what is our choice.
    """

    id: str
    label: str
    rolling_low: float
    rolling_typical: float
    rolling_high: float
    grip_low: float
    grip_typical: float
    grip_high: float
    slip_modulus: float
    source_rolling: str
    source_grip: str
    note: str


@cache
def surfaces(tyre_kind: TyreKind = DEFAULT_TYRE_KIND) -> Mapping[str, Surface]:
    """All surfaces of data/surfaces.csv by their id, from hard to soft, under one tread of the rear
    tyre: coefficients [-]; cannot be changed.

    >>> surfaces()["loose-sand"].rolling_typical, surfaces("road")["forest-soil"].grip_typical
    (0.2, 0.55)
    """
    return MappingProxyType({row["id"]: _surface(row, tyre_kind) for row in read_table("surfaces")})


def _surface(row: dict[str, str], tyre_kind: str) -> Surface:
    numbers = {
        name.replace(f"{tyre_kind}_", "grip_"): float(value)
        for name, value in row.items()
        if name.startswith(("rolling_", "slip_", f"{tyre_kind}_"))
    }
    words = {name: row[name] for name in ("id", "label", "source_rolling", "source_grip", "note")}
    return Surface(**words, **numbers)
