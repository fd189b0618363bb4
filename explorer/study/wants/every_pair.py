"""Every pair of sprockets sold for a bike, with chain and cost: what wants are judged for."""

from dataclasses import dataclass

from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.setups.setup import Setup
from explorer.study.wants.wants_chain import PairChains, PairCosts


@dataclass(frozen=True, eq=False)
class EveryPair:
    """All pairs; arrays of shape (pairs,).

    Attributes:
        bike, setup (Bike, Setup): The motorcycle, and ground, air, tyre and rider.
        chains, costs (PairChains, PairCosts): Which chain goes on, and what must be bought.
    """

    bike: Bike
    setup: Setup
    front: FloatArray
    rear: FloatArray
    ratio: FloatArray
    chains: PairChains
    costs: PairCosts
