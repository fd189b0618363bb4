"""Ready mixes of riding: for each kind of terrain its ground, its course and a set of wants.

All of it is our own invention: starting points to change, not advice for any real place. The
weights of each terrain add up to `TERRAIN_WEIGHT`, so that a share of the mix means what it says.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from functools import cache
from types import MappingProxyType

from explorer.records.errors import RecordError
from explorer.records.typed_text import quote
from explorer.study.wants.kinds import read_want
from explorer.study.wants.want import Want

TERRAIN_WEIGHT = 10.0
"""Sum of the weights of one terrain's wants [-]."""


@dataclass(frozen=True)
class Terrain:
    """One kind of riding.

    Attributes:
        id: Short name, as in the link.
        label: For the reader.
        note: What is assumed, in one sentence.
        surface: Id of a surface of data/surfaces.csv.
        course: Id of a course of data/courses.
        wants: With weights that add up to `TERRAIN_WEIGHT`.
    """

    id: str
    label: str
    note: str
    surface: str
    course: str
    wants: tuple[Want, ...]


_Rows = tuple[tuple[str, float, dict[str, str]], ...]

# Id: label, note, surface, course, and of each want its kind, weight and values.
_TERRAINS: dict[str, tuple[str, str, str, str, _Rows]] = {
    "woods": (
        "Tight woods",
        "Walking-pace turns between trees, short straights, seldom above 40 km/h (25 mph).",
        "forest-soil",
        "woods-loop",
        (
            ("clutch-out", 3, {"speed": "7 km/h"}),
            ("shift-out", 3, {"corner_speed": "14 km/h", "exit_speed": "28 km/h", "shifts": "1"}),
            ("few-shifts", 2, {"course": "woods-loop", "shifts": "30"}),
            ("corner", 2, {"speed": "25 km/h"}),
        ),
    ),
    "hills": (
        "Hills",
        "Long steep climbs on dry dirt, some of it loose, taken without a run-up.",
        "forest-soil",
        "hill-climb",
        (
            ("slope", 5, {"slope": "25 %", "gear": "any"}),
            ("slope", 2, {"slope": "15 %", "gear": "2"}),
            ("few-shifts", 2, {"course": "hill-climb", "shifts": "8"}),
            ("clutch-out", 1, {"speed": "8 km/h"}),
        ),
    ),
    "sand-mud": (
        "Sand and mud",
        "Deep ground that drags at the wheels: the speed has to be carried.",
        "loose-sand",
        "sand-track",
        (
            ("shift-out", 4, {"corner_speed": "25 km/h", "exit_speed": "45 km/h", "shifts": "1"}),
            ("corner", 3, {"speed": "30 km/h"}),
            ("few-shifts", 3, {"course": "sand-track", "shifts": "16"}),
        ),
    ),
    "track": (
        "Track",
        "A closed track with jumps: the same corners and take-offs lap after lap.",
        "firm-sand",
        "sand-track",
        (
            ("corner", 3, {"speed": "35 km/h"}),
            ("jump", 3, {"speed": "45 km/h", "gear": "3", "change": "4 %"}),
            ("shift-out", 2, {"corner_speed": "30 km/h", "exit_speed": "55 km/h", "shifts": "1"}),
            ("few-shifts", 2, {"course": "sand-track", "shifts": "14"}),
        ),
    ),
    "gravel": (
        "Gravel road",
        "Open hard-packed road at a steady pace.",
        "hard-packed-gravel",
        "gravel-road",
        (
            ("cruise", 4, {"speed": "65 km/h", "engine_speed": "7000 rpm"}),
            ("top-speed", 3, {"speed": "80 km/h"}),
            ("few-shifts", 3, {"course": "gravel-road", "shifts": "30"}),
        ),
    ),
    "road": (
        "Road link",
        "Asphalt between two trails, at what the law allows there.",
        "dry-asphalt",
        "gravel-road",
        (
            ("legal-road", 6, {"speed": "80 km/h", "engine_speed": "8000 rpm", "reserve": "10 %"}),
            ("top-speed", 4, {"speed": "85 km/h"}),
        ),
    ),
}


@cache
def terrains() -> Mapping[str, Terrain]:
    """Every ready kind of riding by its id.

    Returns:
        Cannot be changed.

    >>> terrains()["woods"].label
    'Tight woods'
    """
    return MappingProxyType(
        {
            name: Terrain(
                name,
                label,
                note,
                surface,
                course,
                tuple(read_want(kind, texts, weight) for kind, weight, texts in rows),
            )
            for name, (label, note, surface, course, rows) in _TERRAINS.items()
        }
    )


TERRAIN_IDS = tuple(_TERRAINS)


def normalised(shares: Mapping[str, float]) -> dict[str, float]:
    """Shares of the mix, scaled to add up to one; terrains without a share are left out.

    Args:
        shares: Share of each terrain, in any common unit, zero or more.

    Returns:
        In the order of `TERRAIN_IDS`; empty if nothing is given [-].

    Raises:
        RecordError: One sentence, if a terrain is not known or a share is negative or not a number.

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
