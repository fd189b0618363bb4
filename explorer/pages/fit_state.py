"""The one state of the fit page: which bike, which set-up, and what the rider measured on it."""

from dataclasses import dataclass, replace

from traitlets import HasTraits, Instance

from explorer.records.bike import Bike
from explorer.records.fit import Measurements, check_pair, decode_fit, encode_fit
from explorer.records.link import decode, encode
from explorer.records.setup import Setup


@dataclass(frozen=True)
class FitChoice:
    """A bike, a set-up and the answers that belong to them.

    Attributes
    ----------
    bike : Bike
        The bike in use; its sprockets are the ones fitted now.
    setup : Setup
        The gearing to be fitted.
    measured : Measurements
        What the rider measured and ticked.
    """

    bike: Bike
    setup: Setup
    measured: Measurements


class FitState(HasTraits):
    """Holds one choice and tells who listens when it is replaced.

    Parameters
    ----------
    library : dict of str to Bike
        The bikes to choose from.
    choice : FitChoice
        What to start with.
    """

    choice = Instance(FitChoice)

    def __init__(self, library: dict[str, Bike], choice: FitChoice) -> None:
        self.library = library
        super().__init__(choice=choice)

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple["FitState", list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        setup, bike, sentences = decode(query, library)
        measured, more = decode_fit(query, bike)
        return cls(library, FitChoice(bike, setup, measured)), sentences + more

    @property
    def bike(self) -> Bike:
        """The bike in use."""
        return self.choice.bike

    @property
    def setup(self) -> Setup:
        """The gearing to be fitted."""
        return self.choice.setup

    @property
    def measured(self) -> Measurements:
        """What the rider measured and ticked."""
        return self.choice.measured

    @property
    def link(self) -> str:
        """Query that reopens this state, on this page or on the gearing page."""
        base = self.library[self.setup.bike_id]
        return encode(self.setup, base, self.bike) + encode_fit(self.measured, self.bike)

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
        setup = Setup.for_bike(bike_id, bike).changed(units=self.setup.units)
        self.choice = FitChoice(bike, setup, Measurements.for_bike(bike))
