"""The one state of a page about a gearing: the bike, what was chosen for it and measured on it."""

from dataclasses import replace
from typing import Self

from traitlets import Any, HasTraits, Instance

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.last_bike import keep_last_bike, last_bike
from explorer.records.clubs.club import units_offered
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements, decode_fit, encode_fit
from explorer.records.setups.link import MINE, decode, encode, without_defaults
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.study.choice import PageChoice


class BikeState(HasTraits):
    """Holds one choice about a bike and tells who listens when it is replaced.

    Bike and set-up change together in a single notification, so nobody ever sees a new bike with
    an old set-up.
    """

    choice = Any()

    def __init__(self, library: dict[str, Bike], choice: object) -> None:
        self.library = library
        super().__init__(choice=choice)

    @property
    def bike(self) -> Bike:
        """The bike in use."""
        return self.choice.bike

    @property
    def setup(self) -> Setup:
        """What the rider chose."""
        return self.choice.setup

    @property
    def base_bike(self) -> Bike:
        """The bike of the library from which the one in use came."""
        return self.library[self.setup.bike_id]


class State(BikeState):
    """The state of a page about a gearing."""

    choice = Instance(PageChoice)

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple[Self, list[str]]:
        """State that a link describes, and one sentence for each thing it got wrong."""
        setup, bike, sentences = decode(query, library, units_offered())
        if MINE not in library and (last := last_bike()):
            library[MINE] = last
        measured, slips = decode_fit(query, bike)
        return cls(library, PageChoice(bike, setup, measured)), sentences + slips

    @property
    def measured(self) -> Measurements:
        """What the rider measured and ticked."""
        return self.choice.measured

    @property
    def link(self) -> str:
        """Query that reopens this state, on this page or on another."""
        return self.link_with(self.setup)

    @property
    def short_link(self) -> str:
        """The same without what a page takes of itself, for a code on paper."""
        return without_defaults(self.link, self.setup, self.base_bike, self.bike)

    def link_with(self, setup: Setup) -> str:
        """Query that opens a page with another set-up of the same bike."""
        return encode(setup, self.base_bike, self.bike) + encode_fit(self.measured, self.bike)

    def change(self, **fields) -> None:
        """Change some fields of the set-up; RecordError says what cannot be."""
        self.choice = replace(self.choice, setup=self.setup.changed(**fields))

    def measure(self, measured: Measurements) -> None:
        """Take other answers about the chain and the parts."""
        self.choice = replace(self.choice, measured=measured)

    def pick_bike(self, bike_id: str) -> None:
        """Take another bike of the library, as it stands; the ground and the units stay."""
        self._take(bike_id, self.library[bike_id])

    def use_bike(self, bike: Bike) -> None:
        """Take an edited bike, as it stands; the ground and the units stay."""
        if self.setup.bike_id == MINE:
            self.use_own(bike)
        else:
            self._take(self.setup.bike_id, bike)

    def use_own(self, bike: Bike) -> None:
        """Take a bike of one's own: nothing of the bike before it stays."""
        before = dict(self.library)
        self.library[MINE] = bike
        try:
            self._take(MINE, bike)
        except RecordError:
            self.library.clear()
            self.library.update(before)
            raise
        keep_last_bike(bike)

    def reset(self) -> None:
        """Back to the bike of the library as it stands, on the default ground.

        A roll-out that the rider measured on the fitted tyre stays.
        """
        fresh = Setup.for_bike(self.setup.bike_id, self.base_bike)
        turn = fitted_rollout(self.base_bike, self.setup)
        self._start(self.base_bike, fresh.changed(units=self.setup.units, rollout=turn))

    def _take(self, bike_id: str, bike: Bike) -> None:
        as_it_stands = Setup.for_bike(bike_id, bike)
        fitted = {name: getattr(as_it_stands, name) for name in _OF_THE_BIKE}
        gear = min(self.setup.roll_gear, len(bike.gearbox.ratios))
        self._start(bike, self.setup.changed(**fitted, roll_gear=gear))

    def _start(self, bike: Bike, setup: Setup) -> None:
        """Take a bike, as it stands."""
        measured = self._measured_on(bike)
        self.choice = replace(self.choice, bike=bike, setup=setup, measured=measured)

    def _measured_on(self, bike: Bike) -> Measurements:
        """What was measured holds for the same bike with other numbers, such as a weight corrected
        in its form, and for no other one, nor for other sprockets on it."""
        now = self.bike
        if (bike.name, *_fitted_pair(bike)) != (now.name, *_fitted_pair(now)):
            return Measurements.for_bike(bike)
        return decode_fit(encode_fit(self.measured, now), bike)[0]


def _fitted_pair(bike: Bike) -> tuple[int, int]:
    return bike.sprockets.front, bike.sprockets.rear


_OF_THE_BIKE = ("bike_id", "front", "rear", "tyre", "rollout", "rider_mass", "shift_at")


class NoState(HasTraits):
    """The state of a page that has no controls and takes nothing from its address."""

    choice = Any()

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple[Self, list[str]]:
        """Nothing that a link says is of use."""
        return cls(), []
