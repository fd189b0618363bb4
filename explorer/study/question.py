"""The question of a study: a bike on a ground with several set-ups, as the physics takes them."""

from collections.abc import Sequence
from dataclasses import dataclass, replace
from functools import cached_property
from operator import attrgetter
from typing import Self

import numpy as np

from explorer.calc import gearing
from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.engine.power_correction import power_factor, within_validity
from explorer.calc.statistics.sampling import drawn
from explorer.calc.statistics.spreads import Spread
from explorer.calc.vehicle import Conditions, FloatArray, Vehicle
from explorer.records.bikes.bike import Bike
from explorer.records.ground.surfaces import Surface, surfaces
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.records.tyre import Rollout, rollout
from explorer.study.driven import Driven


def vehicle_of(bike: Bike, setup: Setup) -> Vehicle:
    """The bike with the rider of a set-up, where he is on it [SI]."""
    return bike.vehicle(setup.rider_mass, setup.rider_position)


def surface_of(setup: Setup) -> Surface:
    """The ground of a set-up under its rear tread."""
    return surfaces(setup.tyre_kind)[setup.surface]


def conditions_of(setup: Setup) -> tuple[Conditions, bool]:
    """Ground and air of a set-up [SI], and whether the power correction is meant for that air."""
    standard = standard_atmosphere(setup.altitude)
    temperature = standard.temperature if setup.temperature is None else setup.temperature
    surface = surface_of(setup)
    conditions = Conditions(
        slope=float(np.arctan(setup.slope)),
        head_wind=setup.head_wind,
        air_density=float(air_density(standard.pressure, temperature)),
        power_factor=float(power_factor(standard.pressure, temperature)),
        rolling_coefficient=surface.rolling_typical,
        grip=surface.grip_typical,
    )
    return conditions, bool(within_validity(standard.pressure, temperature))


def drive_of(bike: Bike, setup: Setup, front: FloatArray, rear: FloatArray) -> Drive:
    """Some pairs of sprockets on ground, air and tyre of a set-up [SI]."""
    vehicle = with_sprockets(vehicle_of(bike, setup), front, rear)
    turn = rollout(setup.tyre, setup.rollout).value
    return Drive(vehicle, conditions_of(setup)[0], gearing.final_ratio(front, rear), turn)


@dataclass(frozen=True, eq=False)
class Question:
    """What is asked; `of` and `of_several` ask it.

    Attributes:
        setup: Ground, air, rider and what is to be measured; its tyre is on every pair of `pairs`.
        fitments: The set-ups, the fitted one first.
    """

    bike: Bike
    setup: Setup
    fitments: tuple[Fitment, ...]

    @classmethod
    def of(cls, bike: Bike, setup: Setup) -> Self:
        """What is fitted, and what a set-up chose."""
        chosen = Fitment.chosen_in(setup)
        return cls(bike, setup, (Fitment.fitted_to(bike, chosen), chosen))

    @classmethod
    def of_several(cls, bike: Bike, setup: Setup, others: tuple[Fitment, ...]) -> Self:
        """What is fitted and up to three others; the pairs are on the fitted tyre."""
        fitted = Fitment.fitted_to(bike, *others)
        return cls(bike, fitted.on(setup), (fitted, *others))

    @property
    def count(self) -> int:
        """Number of set-ups, the fitted one included [count]."""
        return len(self.fitments)

    @cached_property
    def rollouts(self) -> tuple[Rollout, ...]:
        """Roll-out of each set-up [m]."""
        return tuple(rollout(each.tyre, each.rollout) for each in self.fitments)

    @cached_property
    def lengths(self) -> FloatArray:
        """The same as numbers [m]."""
        return np.array([each.value for each in self.rollouts])

    @cached_property
    def teeth(self) -> FloatArray:
        """Front and rear teeth, (2, set_ups) [count]."""
        return np.array([(each.front, each.rear) for each in self.fitments]).T

    @cached_property
    def ratios(self) -> FloatArray:
        """Final drive ratio of each set-up [-]."""
        return gearing.final_ratio(*self.teeth)

    @cached_property
    def _ground_and_air(self) -> tuple[Conditions, bool]:
        return conditions_of(self.setup)

    @property
    def conditions(self) -> Conditions:
        """Ground and air."""
        return self._ground_and_air[0]

    @property
    def air_within_rule(self) -> bool:
        """Whether the correction of power for the air is within its range of validity."""
        return self._ground_and_air[1]

    @property
    def power_factor(self) -> float:
        """Torque here over the torque of the curve [-]."""
        return float(self.conditions.power_factor)

    @cached_property
    def _cases(self) -> tuple:
        vehicle = with_sprockets(vehicle_of(self.bike, self.setup), *self.teeth)
        return vehicle, self.conditions, self.ratios, self.lengths

    def drawn(self, spreads: Sequence[Spread], **ground: float) -> Driven:
        """The set-ups, then the same with all uncertain inputs drawn; `ground` is set anew."""
        vehicle, conditions, *others = self._cases
        return Driven(Drive(*drawn(vehicle, replace(conditions, **ground), *others, spreads)))

    @cached_property
    def as_given(self) -> Driven:
        """The set-ups with every input as given."""
        return Driven(Drive(*self._cases))

    drive = property(attrgetter("as_given.drive"))
    top = property(attrgetter("as_given.top"))
    shifts = property(attrgetter("as_given.shifts"))
    road_speed = property(attrgetter("as_given.road_speed"))
    limiter_speeds = property(attrgetter("as_given.limiter_speeds"))
    engine_pull = property(attrgetter("as_given.engine_pull"))
    pull = property(attrgetter("as_given.pull"))
    clutch_out = property(attrgetter("as_given.clutch_out"))
    steepest_slope = property(attrgetter("as_given.steepest_slope"))
