"""The one state of the logbook page: the logbook, and what a new entry is filled in from."""

from dataclasses import dataclass
from datetime import date
from typing import Self

from traitlets import HasTraits, Instance

from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import units_offered
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import decode_fit, encode_fit
from explorer.records.logbook.logbook_link import Outing, decode_outing
from explorer.records.logbook.logbook_place import Logbook, open_logbook
from explorer.records.logbook.logbook_table import LogbookHurt
from explorer.records.logbook.logbook_visit import VisitLogbook
from explorer.records.setups.link import decode, encode
from explorer.tasks.logbook import words


@dataclass(frozen=True)
class Given:
    """What a link brought: the query that opens another page with its set-up, the reader's units,
    what riding gave, and texts of a new entry."""

    address: str
    units: str
    outing: Outing
    filled_in: dict[str, str]


class LogbookState(HasTraits):
    """Holds what a link brought, and the logbook.

    Attributes:
        book: The rider's own, or one for this visit.
        hurt: What is wrong with the file that only a backup or a new logbook mends.
    """

    choice = Instance(Given)

    def __init__(self, choice: Given) -> None:
        self.book: Logbook = VisitLogbook()
        self.hurt: list[str] = []
        super().__init__(choice=choice)

    def open_book(self) -> list[str]:
        """Open the logbook, and say what keeps it or its backup of the day from being used."""
        self.hurt = []
        try:
            self.book = open_logbook()
        except LogbookHurt as error:
            self.hurt = [*error.sentences, words.SAY["in-this-page"]]
            return []
        except RecordError as error:
            return [*error.sentences, words.SAY["in-this-page"]]
        return [each for each in (getattr(self.book, "problem", ""),) if each]

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple[Self, list[str]]:
        """State that a link describes, and one sentence for each thing that went wrong."""
        setup, bike, sentences = decode(query, library, units_offered())
        measured, slips = decode_fit(query, bike)
        outing, unread = decode_outing(query)
        address = encode(setup, library[setup.bike_id], bike) + encode_fit(measured, bike)
        today = date.today().isoformat()
        texts = words.prefilled(bike, setup, measured, address, today)
        given = Given(address, setup.units, outing, words.with_outing(texts, outing))
        sentences += slips + unread
        state = cls(given)
        return state, sentences + state.open_book()
