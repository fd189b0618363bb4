"""Every pair of the sprockets sold for a bike: the map that no sprocket slider changes."""

from dataclasses import dataclass
from functools import cached_property, lru_cache

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
from explorer.study.fit_chain import sold
from explorer.study.goals import MEASURES, measure_of
from explorer.study.question import conditions_of, surface_of, vehicle_of

NOT_IN_THE_PAIRS = {
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
    """Every pair on the tyre and the ground of a set-up, whose own sprockets do not count."""

    bike: Bike
    setup: Setup

    @cached_property
    def tradeoff(self) -> TradeOff:
        """Speeds [m/s], measure and the best compromises, in the shape (fronts, rears)."""
        vehicle, conditions, turn = self._given
        better = MEASURES[self.setup.measure].larger_is_better
        measure = measure_of(self.setup)
        return all_pairs(vehicle, conditions, *sold(self.bike), turn, measure, better)

    @cached_property
    def ratios(self) -> FloatArray:
        """Final drive ratios, likewise [-]."""
        return gearing.final_ratio(self.tradeoff.front, self.tradeoff.rear)

    @cached_property
    def bands(self) -> tuple[Band, Band]:
        """95 % intervals of `tradeoff.speed` [m/s] and of the measure, pairs in the order of the
        flattened tables; NaN where not known."""
        nodes, front = ratio_nodes(self.ratios), self.tradeoff.front.mean()
        vehicle, conditions, turn = self._given
        spreads = spreads_of((Fitment.chosen_in(self.setup),), surface_of(self.setup))
        vehicle = with_sprockets(vehicle, front, nodes * front)
        driven = Driven(Drive(*drawn(vehicle, conditions, nodes, turn, spreads)))
        at_limiter = driven.limiter_speeds[:, -1]
        speed = at_limiter if self.tradeoff.ground_sets_top else driven.top.speed
        value = measure_of(self.setup)(driven.drive, driven.shifts)
        speed_band, value_band = (
            interpolated_band(nodes, Sampled.of(each, nodes.size), self.ratios.ravel())
            for each in (speed, value)
        )
        return speed_band, value_band

    @cached_property
    def _given(self) -> tuple[Vehicle, Conditions, float]:
        turn = rollout(self.setup.tyre, self.setup.rollout).value
        return vehicle_of(self.bike, self.setup), conditions_of(self.setup)[0], turn


def pairs_of(bike: Bike, setup: Setup) -> Pairs:
    """The map of a set-up; the same object for set-ups that differ in nothing that counts."""
    return _pairs(bike, setup.model_copy(update=NOT_IN_THE_PAIRS))


@lru_cache(maxsize=4)
def _pairs(bike: Bike, setup: Setup) -> Pairs:
    return Pairs(bike, setup)
