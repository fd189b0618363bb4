"""The kinds of quantity that the house reads and shows, as data/units.toml declares them."""

import tomllib
from dataclasses import dataclass
from typing import Any

from explorer.data_folder import DATA


@dataclass(frozen=True)
class Shown:
    """How a kind is shown in one system of units: its unit as printed after the number and in
    pint's words, and the most decimals that a readout shows."""

    label: str
    pint_unit: str
    decimals: int


@dataclass(frozen=True)
class Kind:
    """One kind of quantity.

    Attributes:
        noun: The kind inside a sentence, with its article.
        si: SI unit in pint's words.
        spellings: Unit in pint's words: the spellings that people type, without spaces, dots and
            signs.
        accepted: The usual spellings, for a sentence.
        example: What to type.
        within: Lowest and highest value that is not absurd.
        metric, imperial: How it is shown.
    """

    noun: str
    si: str
    spellings: dict[str, str]
    accepted: str
    example: str
    within: tuple[str, str]
    metric: Shown
    imperial: Shown


def _kind(declared: dict[str, Any]) -> Kind:
    shown = {system: Shown(**declared[system]) for system in ("metric", "imperial")}
    return Kind(**{**declared, **shown, "within": tuple(declared["within"])})


KINDS: dict[str, Kind] = {
    name: _kind(declared)
    for name, declared in tomllib.loads((DATA / "units.toml").read_text(encoding="utf-8")).items()
}
"""Every kind of quantity that the house reads or shows, by its name."""
