"""The one state of the fit page: a gearing state whose set-up must fit on sprockets that exist."""

from dataclasses import replace
from typing import Self

from explorer.app.state import State
from explorer.records.bikes.bike import Bike
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import check_pair, completed
from explorer.records.fitting.fit_fields import FIT_FIELD
from explorer.records.setups.setup import Setup


class FitState(State):
    """Holds one choice and tells who listens when it is replaced.

    The bike's sprockets are the ones fitted now, the set-up is the gearing to be fitted.
    """

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple[Self, list[str]]:
        """State that a link describes; where it swaps the sprockets, the fitted pair stands."""
        state, sentences = super().from_link(query, library)
        setup, sprockets = state.setup, state.bike.sprockets
        try:
            check_pair(setup.front, setup.rear)
        except RecordError as error:
            state.change(front=sprockets.front, rear=sprockets.rear)
            sentences += [f"{sentence} The fitted pair stands." for sentence in error.sentences]
        return state, sentences

    def change(self, **fields) -> None:
        """Change some fields of the set-up; RecordError says what cannot be."""
        setup = self.setup.changed(**fields)
        check_pair(setup.front, setup.rear)
        self.choice = replace(self.choice, setup=setup)

    def answer(self, **texts: str) -> None:
        """Take answers as typed, bare numbers in the reader's unit; RecordError says what cannot be
        read."""
        system = self.setup.units
        read_as = {name: completed(FIT_FIELD[name], text, system) for name, text in texts.items()}
        self.measure(self.measured.changed(read_as))

    def pick_bike(self, bike_id: str) -> None:
        """Take another bike of the library, as it stands; the units stay."""
        bike = self.library[bike_id]
        self._start(bike, Setup.for_bike(bike_id, bike).changed(units=self.setup.units))
