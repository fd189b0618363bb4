"""What people are hurt by when they change sprockets, and the usual caution, with its place."""

from dataclasses import dataclass
from functools import cache

from explorer.records.prose import read_table


@dataclass(frozen=True)
class Hazard:
    """One hazard and its caution.

    Attributes:
        caution: What is usually done against it.
        place: Where it is shown: "page:" and a section of the fit page, "sheet:" and a step of the
            fitting sheet, with blanks between.
    """

    id: str
    hazard: str
    caution: str
    place: str
    source: str

    @property
    def page_sections(self) -> tuple[str, ...]:
        """Sections of the fit page where it is shown."""
        return self._places("page:")

    @property
    def sheet_steps(self) -> tuple[str, ...]:
        """Steps of the fitting sheet where it is shown."""
        return self._places("sheet:")

    def _places(self, where: str) -> tuple[str, ...]:
        places = self.place.split()
        return tuple(each.removeprefix(where) for each in places if each.startswith(where))


@cache
def hazards() -> tuple[Hazard, ...]:
    """All hazards of data/hazards.csv, in the order of the work, each with at least one place.

    >>> hazards()[0].id, hazards()[0].sheet_steps
    ('running-engine', ('before',))
    """
    return tuple(Hazard(**row) for row in read_table("hazards"))


def page_hazards(section: str) -> tuple[Hazard, ...]:
    """The hazards that a section of the fit page shows.

    >>> [hazard.id for hazard in page_hazards("wear")]
    ['new-on-worn']
    """
    return tuple(hazard for hazard in hazards() if section in hazard.page_sections)
