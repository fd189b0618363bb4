"""The one state of the fit page: a gearing state whose set-up must fit on sprockets that exist."""

from dataclasses import replace

from explorer.app.state import State
from explorer.records.fitting.fit import check_pair
from explorer.records.setups.setup import Setup


class FitState(State):
    """Holds one choice and tells who listens when it is replaced.

    The bike's sprockets are the ones fitted now, the set-up is the gearing to be fitted.

    Args:
        library: The bikes to choose from.
        choice: What to start with.
    """

    def change(self, **fields) -> None:
        """Change some fields of the set-up; RecordError says what cannot be."""
        setup = self.setup.changed(**fields)
        check_pair(setup.front, setup.rear)
        self.choice = replace(self.choice, setup=setup)

    def answer(self, **texts: str) -> None:
        """Take answers as typed; RecordError says what cannot be read."""
        self.choice = replace(self.choice, measured=self.measured.changed(texts))

    def pick_bike(self, bike_id: str) -> None:
        """Take another bike of the library, as it stands; the units stay."""
        bike = self.library[bike_id]
        self._start(bike, Setup.for_bike(bike_id, bike).changed(units=self.setup.units))
