"""The one state of the gearing page: which bike, and what the rider chose for it."""

from dataclasses import dataclass, replace

from traitlets import HasTraits, Instance

from explorer.records.bike import Bike
from explorer.records.setup import Setup


@dataclass(frozen=True)
class Choice:
    """A bike and a set-up that belong together.

    Attributes
    ----------
    bike : Bike
        The bike in use: a demo bike, or one that the rider edited or uploaded.
    setup : Setup
        What the rider chose for it.
    """

    bike: Bike
    setup: Setup


class GearingState(HasTraits):
    """Holds one choice and tells who listens when it is replaced.

    Bike and set-up change together in a single notification, so nobody ever sees a new bike with
    an old set-up.

    Parameters
    ----------
    library : dict of str to Bike
        The bikes to choose from.
    choice : Choice
        What to start with.
    """

    choice = Instance(Choice)

    def __init__(self, library: dict[str, Bike], choice: Choice) -> None:
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

    def change(self, **fields) -> None:
        """Change some fields of the set-up; RecordError says what cannot be."""
        self.choice = replace(self.choice, setup=self.setup.changed(**fields))

    def pick_bike(self, bike_id: str) -> None:
        """Take another bike of the library, as it stands; the ground and the units stay."""
        self._take(bike_id, self.library[bike_id])

    def use_bike(self, bike: Bike) -> None:
        """Take an edited or uploaded bike, as it stands; the ground and the units stay."""
        self._take(self.setup.bike_id, bike)

    def reset(self) -> None:
        """Back to the bike of the library as it stands, on the default ground."""
        fresh = Setup.for_bike(self.setup.bike_id, self.base_bike)
        self.choice = Choice(self.base_bike, fresh.changed(units=self.setup.units))

    def _take(self, bike_id: str, bike: Bike) -> None:
        as_it_stands = Setup.for_bike(bike_id, bike)
        fitted = {name: getattr(as_it_stands, name) for name in _OF_THE_BIKE}
        gear = min(self.setup.roll_gear, len(bike.gearbox.ratios))
        self.choice = Choice(bike, self.setup.changed(**fitted, roll_gear=gear))


_OF_THE_BIKE = ("bike_id", "front", "rear", "tyre", "rollout", "rider_mass", "shift_at")
