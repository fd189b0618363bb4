"""What people are hurt by when they change sprockets, and the usual caution, with its place."""

import csv
from dataclasses import dataclass
from functools import cache

from explorer.data_folder import DATA


@dataclass(frozen=True)
class Hazard:
    """One hazard and its caution.

    Attributes:
        caution: What is usually done against it.
        page_sections: Sections of the fit page where it is shown.
        sheet_steps: Steps of the fitting sheet where it is shown.
    """

    id: str
    hazard: str
    caution: str
    page_sections: tuple[str, ...]
    sheet_steps: tuple[str, ...]
    source: str


@cache
def hazards() -> tuple[Hazard, ...]:
    """All hazards of data/hazards.csv, in the order of the work.

    Returns: Each with at least one place.

    >>> hazards()[0].id, hazards()[0].sheet_steps
    ('running-engine', ('before',))
    """
    path = DATA / "hazards.csv"
    with path.open(encoding="utf-8", newline="") as file:
        return tuple(_hazard(row) for row in csv.DictReader(file))


def page_hazards(section: str) -> tuple[Hazard, ...]:
    """The hazards that a section of the fit page shows.

    >>> [hazard.id for hazard in page_hazards("wear")]
    ['new-on-worn']
    """
    return tuple(hazard for hazard in hazards() if section in hazard.page_sections)


def _hazard(row: dict[str, str]) -> Hazard:
    places = [place.partition(":") for place in row["place"].split()]
    return Hazard(
        row["id"],
        row["hazard"],
        row["caution"],
        tuple(name for where, _, name in places if where == "page"),
        tuple(name for where, _, name in places if where == "sheet"),
        row["source"],
    )
