"""Every pair of the sprockets sold for a bike: the map that no sprocket slider changes."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

import numpy as np

from explorer.calc import gearing
from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.tradeoff import TradeOff, all_pairs
from explorer.calc.statistics.pair_bands import interpolated_band, ratio_nodes
from explorer.calc.statistics.sampling import Band, Sampled, drawn
from explorer.calc.vehicle import Conditions, FloatArray, Vehicle
from explorer.records.bikes.bike import Bike
from explorer.records.ground.course_ids import DEFAULT_COURSE
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.records.tyre import rollout
from explorer.study.certainty import spreads_of
from explorer.study.driven import Driven
from explorer.study.goals import MEASURES, measure_of
from explorer.study.question import conditions_of, surface_of, vehicle_of

_NOT_IN_THE_PAIRS = {
    "front": 13,
    "rear": 48,
    "cruise_speed": 10.0,
    "shift_at": None,
    "course": DEFAULT_COURSE,
    "units": "metric",
}
"""What the map does not depend on, set to one value so that the next study finds the same map."""


@dataclass(frozen=True, eq=False)
class Pairs:
    """Every pair on the tyre and the ground of a set-up.

    Attributes:
        bike, setup (Bike, Setup): Its own sprockets do not count.
    """

    bike: Bike
    setup: Setup

    @cached_property
    def tradeoff(self) -> TradeOff:
        """Speeds [m/s], measure and the best compromises, in the shape (fronts, rears)."""
        fronts, rears = self.bike.sprockets.front_sold, self.bike.sprockets.rear_sold
        return all_pairs(
            self._vehicle,
            self._conditions,
            np.arange(fronts[0], fronts[1] + 1),
            np.arange(rears[0], rears[1] + 1),
            self._turn,
            measure_of(self.setup),
            MEASURES[self.setup.measure].larger_is_better,
        )

    @cached_property
    def ratios(self) -> FloatArray:
        """Final drive ratios, likewise [-]."""
        return gearing.final_ratio(self.tradeoff.front, self.tradeoff.rear)

    @cached_property
    def bands(self) -> tuple[Band, Band]:
        """95 % intervals of `tradeoff.speed` [m/s] and of the measure, pairs in the order of the
        flattened tables; NaN where not known."""
        nodes, front = ratio_nodes(self.ratios), self.tradeoff.front.mean()
        vehicle = with_sprockets(self._vehicle, front, nodes * front)
        cases = drawn(vehicle, self._conditions, nodes, self._turn, self._spreads)
        driven = Driven(Drive(*cases))
        at_limiter = driven.limiter_speeds[:, -1]
        found = (
            at_limiter if self.tradeoff.ground_sets_top else driven.top.speed,
            measure_of(self.setup)(driven.drive, driven.shifts),
        )
        speed, value = (Sampled.of(each, nodes.size) for each in found)
        return (
            interpolated_band(nodes, speed, self.ratios.ravel()),
            interpolated_band(nodes, value, self.ratios.ravel()),
        )

    @cached_property
    def _vehicle(self) -> Vehicle:
        return vehicle_of(self.bike, self.setup)

    @cached_property
    def _conditions(self) -> Conditions:
        return conditions_of(self.setup)[0]

    @cached_property
    def _turn(self) -> float:
        return rollout(self.setup.tyre, self.setup.rollout).value

    @cached_property
    def _spreads(self):
        return spreads_of((Fitment.chosen_in(self.setup),), surface_of(self.setup))


def pairs_of(bike: Bike, setup: Setup) -> Pairs:
    """The map of a set-up; the same object for set-ups that differ in nothing that counts."""
    return _pairs(bike, setup.model_copy(update=_NOT_IN_THE_PAIRS))


@lru_cache(maxsize=4)
def _pairs(bike: Bike, setup: Setup) -> Pairs:
    return Pairs(bike, setup)
