"""Every pair of sprockets sold for a bike, with chain and cost: what wants are judged for."""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from functools import cached_property
from operator import attrgetter

import numpy as np

from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.wants.scene import all_pairs_sold
from explorer.study.wants.wants_chain import PairChains, PairCosts, pair_chains, pair_costs


@dataclass(frozen=True, eq=False)
class EveryPair:
    """All pairs; arrays of shape (pairs,).

    Attributes:
        setup: Ground, air, tyre and rider; its sprockets do not count.
        prices: Prices by the id of the part.
    """

    bike: Bike
    setup: Setup
    measured: Measurements
    prices: Mapping[str, Decimal | None]

    @cached_property
    def teeth(self) -> tuple[FloatArray, FloatArray]:
        """Front and rear teeth [count]."""
        return all_pairs_sold(self.bike)

    front = property(lambda self: self.teeth[0])
    rear = property(lambda self: self.teeth[1])

    @cached_property
    def ratio(self) -> FloatArray:
        """Final drive ratios [-]."""
        return self.rear / self.front

    @cached_property
    def now(self) -> int:
        """Index of the fitted pair."""
        return self.index(self.bike.sprockets.front, self.bike.sprockets.rear)

    @cached_property
    def chains(self) -> PairChains:
        """Which chain goes on."""
        return pair_chains(self.bike, self.measured, *self.teeth)

    @cached_property
    def costs(self) -> PairCosts:
        """What must be bought."""
        return pair_costs(self.bike, self.measured, *self.teeth, self.chains, self.prices)

    eligible = property(attrgetter("chains.can_be_built"))
    system = property(attrgetter("setup.units"))

    def index(self, front: int, rear: int) -> int:
        """Index of a pair; -1 if it is not among those looked at."""
        found = np.flatnonzero((self.front == front) & (self.rear == rear))
        return int(found[0]) if found.size else -1

    def pair(self, index: int) -> tuple[int, int]:
        """Front and rear teeth of a pair [count]."""
        return int(self.front[index]), int(self.rear[index])
