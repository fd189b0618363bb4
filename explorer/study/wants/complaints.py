"""What riders say about their gearing: what to measure, what it means, which wants follow.

Common practice of the trade, no source. Each says what gearing can do about it and what it cannot.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from types import MappingProxyType

from explorer.records.prose import read_prose
from explorer.study.wants.kinds import read_want
from explorer.study.wants.want import Want


@dataclass(frozen=True)
class Complaint:
    """One complaint in a rider's words.

    Attributes:
        measure: What to measure or look at first.
        can, cannot: What gearing can and what it cannot do about it.
        proposes: Kinds of wants to start from, with their texts.
    """

    id: str
    says: str
    measure: str
    means: str
    can: str
    cannot: str
    proposes: tuple[tuple[str, Mapping[str, str]], ...]

    def wants(self) -> tuple[Want, ...]:
        """The wants that it proposes, each with the weight 3."""
        return tuple(read_want(kind, texts, 3) for kind, texts in self.proposes)


def _complaint(row: dict) -> Complaint:
    wants = [dict(each) for each in row["proposes"]]
    return Complaint(**row | {"proposes": tuple((each.pop("want"), each) for each in wants)})


COMPLAINTS: Mapping[str, Complaint] = MappingProxyType(
    {row["id"]: _complaint(row) for row in read_prose("complaints")["complaint"]}
)
"""Every complaint by its short name."""
