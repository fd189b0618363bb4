"""A quantity that a person gives: one declaration, from which slider, form, reader, sentence and
link follow.

The declarations are data/fields/: setup, bike, fit and logbook.
"""

from collections.abc import Iterable, Mapping
from dataclasses import dataclass
from types import MappingProxyType
from typing import Literal

from explorer import units
from explorer.records.errors import RecordError
from explorer.records.prose import read_prose
from explorer.records.typed_text import quote, tidy

Origin = Literal["mine", "assumed", "missing"]
"""Whose a value is: given by the rider, taken for want of one, or not known at all."""


@dataclass(frozen=True)
class Field:
    """One quantity.

    Attributes:
        name: In the record and its file; "chassis.wheelbase" stands in a section of a file.
        label, kind: Name for the reader, and a kind of `explorer.units` or one that the record
            reads itself, such as "choice", "count", "teeth", "words", "note" or "date".
        help: What it is and how to find it, in one line.
        example: What to type.
        within: Lowest and highest value accepted.
        group: Part of the page where it is asked.
        required (bool): Whether the record is of no use without it.
        choices: What may be chosen, for the kind "choice".
        default, why: What is taken where nothing was given, empty for unknown, and why that.
        link: Its name in a link, where that is not its own.
        absent: Word of the link for a number that was not given.
        steps: Steps of its slider in metric and in imperial units; whole ones for whole numbers.
        accepted: The range in words with its units, where a link or a slider has to say it.
    """

    name: str
    label: str
    kind: str
    help: str
    example: str = ""
    within: tuple[str, str] | tuple[int, int] | None = None
    group: str = ""
    required: bool = False
    choices: tuple[str, ...] = ()
    default: str = ""
    why: str = ""
    link: str = ""
    absent: str = ""
    steps: tuple[float, float] = (1, 1)
    accepted: str = ""

    @property
    def section(self) -> str:
        """Part of the file in which it stands; empty at the top."""
        return self.name.rpartition(".")[0]

    @property
    def within_section(self) -> str:
        """Name within its section."""
        return self.name.rpartition(".")[2]

    @property
    def low(self) -> float:
        """Lowest value accepted [SI]."""
        return self.si(self.within[0])

    @property
    def high(self) -> float:
        """Highest value accepted [SI]."""
        return self.si(self.within[1])

    def holds(self, value: float) -> bool:
        """Whether a value lies in the range; the last bit of a unit conversion is forgiven."""
        slip = 1e-9 * max(abs(self.low), abs(self.high))
        return self.low - slip <= value <= self.high + slip

    def si(self, text: str | int) -> float:
        """SI value of a text of this table."""
        return units.known(text, self.kind) if isinstance(text, str) else text

    def chosen(self, text: str) -> str:
        """The one of `choices` that a text names; RecordError says which there are."""
        choice = tidy(text).lower()
        if choice not in self.choices:
            raise RecordError(
                f"{quote(text)} is not one of {', '.join(self.choices)}; choose one of them."
            )
        return choice

    def origin(self, given: str | None) -> Origin:
        """Whose value a record holds that was given this text for the field."""
        if given is not None and given.strip():
            return "mine"
        return "assumed" if self.default else "missing"


def read_fields(
    table: str,
    within: Mapping[str, tuple[int, int]],
    choices: Mapping[str, Iterable[str]] = MappingProxyType({}),
) -> tuple[Field, ...]:
    """The fields that data/fields/<table>.toml declares, in its order; ranges and choices that are
    a table of the code are given."""
    shared = {"within": within, "choices": choices}
    return tuple(
        Field(
            name,
            **{key: tuple(told) if isinstance(told, list) else told for key, told in field.items()},
            **{key: tuple(of[name]) for key, of in shared.items() if name in of},
        )
        for name, field in read_prose(f"fields/{table}").items()
    )
