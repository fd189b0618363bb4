"""The one state of the members page: what is picked, of the set-ups that the club keeps."""

from dataclasses import dataclass, replace
from typing import Self

from traitlets import HasTraits, Instance

from explorer.records.bikes.bike import Bike
from explorer.records.clubs.club import club_here, units_offered
from explorer.records.clubs.members import MemberSetup
from explorer.records.setups.link import decode
from explorer.records.setups.setup import Units
from explorer.tasks.members import rows


@dataclass(frozen=True)
class MembersChoice:
    """What the rows on the page must be about; `rows.ALL` for anything."""

    bike_class: str = rows.ALL
    terrain: str = rows.ALL
    units: Units = "metric"


class MembersState(HasTraits):
    """Holds one choice and tells who listens when it is replaced; beside it all set-ups here."""

    choice = Instance(MembersChoice)

    def __init__(self, bikes: dict[str, Bike], choice: MembersChoice) -> None:
        club = club_here()
        self.bikes = bikes
        self.setups = () if club is None or club.members is None else club.members
        super().__init__(choice=choice)

    @classmethod
    def from_link(cls, query: str, library: dict[str, Bike]) -> tuple[Self, list[str]]:
        """Only the units of a link are used here; its set-up goes along to other pages."""
        setup, _, _ = decode(query, library, units_offered())
        return cls(library, MembersChoice(units=setup.units)), []

    @property
    def of_class(self) -> list[MemberSetup]:
        """Set-ups of the bike or class that is picked."""
        return rows.picked(self.setups, self.choice.bike_class)

    @property
    def shown(self) -> list[MemberSetup]:
        """Those of them on the terrain that is picked."""
        return rows.picked(self.of_class, terrain=self.choice.terrain)

    def change(self, **fields: str) -> None:
        """Change some fields of the choice."""
        self.choice = replace(self.choice, **fields)
