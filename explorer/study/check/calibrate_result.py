"""Calibration on the page: which runs there are, what was believed, what came out. All in SI.

The runs of one fit are of one gearing, on the set surface, in the set weather.
"""

import math
from collections.abc import Sequence
from dataclasses import dataclass
from datetime import date

import numpy as np

from explorer.calc.drivetrain.chain_losses import with_sprockets
from explorer.calc.ride.calibration import Calibration, calibrate, usual_prior
from explorer.calc.ride.calibration_model import (
    BACK,
    BOTH_WAYS,
    COASTING,
    PARAMETERS,
    THERE,
    HeldSpeed,
    Observation,
    TimedRun,
)
from explorer.calc.statistics.spreads import standard_uncertainty
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.calibrated_bike import Fitted, calibrated
from explorer.records.errors import RecordError
from explorer.records.ground.surfaces import surfaces
from explorer.records.rides.typed_runs import TimedRuns
from explorer.records.setups.setup import Setup
from explorer.records.tyre import rollout
from explorer.study.question import conditions_of, surface_of, vehicle_of

DRAG, ROLLING, POWER = (
    PARAMETERS.index(name) for name in ("drag_area", "rolling_coefficient", "power")
)

TOLD = 0.5
"""From this share of the prior variance taken away on, the ride and not the file decides."""

SPEED_UNCERTAINTY = 0.3
"""Of a single speed by satellite, until a ride shows its own scatter (common practice, no source)
[m/s]."""

TIMING_UNCERTAINTY = 0.3
"""Of a hand-timed run with both speeds read off (common practice, no source) [s]."""

_LEAST_ROLLING_SHARE = 0.25

WEIGHED, STATED, GUESSED = "weighed", "stated", "guessed"
MASS_SHARE = {STATED: 0.034, GUESSED: 0.068}
"""Standard uncertainty of the mass over it, for figures within 5 and 10 % [-]: a little more than
those limits over √3, for any error within them alike (GUM 4.3.7), so that the intervals hold at
their rate too where the mass is off by the whole 5 % (tests/bench/bench_calibration.py)."""
_WEIGHED_WITHIN = 1.2
"""Of a bike weighed as ridden, ± 2 kg [kg]."""


@dataclass(frozen=True, eq=False)
class Calibrated:
    """A fit and what it was made from: the bike before, the set-up of the runs, and these."""

    bike: Bike
    setup: Setup
    observations: tuple[Observation, ...]
    fit: Calibration

    def told(self, parameter: int) -> bool:
        """Whether the ride rather than the file decides a value."""
        return bool(self.fit.learned[parameter] >= TOLD)

    def fitted(self, parameter: int) -> Fitted:
        """A value with its standard uncertainty."""
        fit = self.fit
        return Fitted(float(fit.value[parameter]), float(fit.standard_uncertainty[parameter]))

    @property
    def coasts(self) -> tuple[Observation, ...]:
        """The runs with the clutch pulled."""
        return tuple(seen for seen in self.observations if seen.gear == COASTING)

    @property
    def pulls(self) -> tuple[Observation, ...]:
        """The runs at full throttle."""
        return tuple(seen for seen in self.observations if seen.gear != COASTING)

    def bike_file(self, ride: str, day: date) -> Bike:
        """The bike with what the ride told, and from which ride it is.

        Raises:
            RecordError: If the ride told too little.
        """
        names = {"drag_area": DRAG, "power": POWER, "rolling_coefficient": ROLLING}
        told = {name: self.fitted(place) for name, place in names.items() if self.told(place)}
        surface = surfaces()[self.setup.surface].label
        return calibrated(self.bike, told, surface, ride, day.isoformat())


def fit_runs(
    bike: Bike, setup: Setup, observations: Sequence[Observation], weight: str = STATED
) -> Calibrated:
    """Fit drag area, rolling resistance and power to runs.

    Args:
        observations (sequence of Trace, TimedRun or HeldSpeed): The runs [SI].
        weight ({WEIGHED, STATED, GUESSED}): How the mass is known: drag and power are fitted in
            proportion to it.

    Raises:
        RecordError: In one sentence, if there is nothing to fit or the fit fails.
    """
    vehicle = with_sprockets(vehicle_of(bike, setup), setup.front, setup.rear)
    conditions, _ = conditions_of(setup)
    surface = surface_of(setup)
    listed = float(standard_uncertainty(surface.rolling_low, surface.rolling_high))
    rolling = max(listed, _LEAST_ROLLING_SHARE * surface.rolling_typical)
    mass = MASS_SHARE[weight] * vehicle.mass if weight in MASS_SHARE else _WEIGHED_WITHIN
    prior = usual_prior(vehicle, conditions, rolling, mass_uncertainty=mass)
    gearing = setup.rear / setup.front, rollout(setup.tyre, setup.rollout).value
    try:
        fit = calibrate(vehicle, conditions, *gearing, observations, prior)
    except (ValueError, np.linalg.LinAlgError) as error:
        unknown = "These runs cannot be fitted; check their speeds, times and gears."
        # numpy's own errors are no sentences for a reader.
        raise RecordError(str(error) if str(error).endswith(".") else unknown) from None
    return Calibrated(bike, setup, tuple(observations), fit)


def observations_of(rows: Sequence[TimedRuns]) -> list[TimedRun]:
    """Every typed run on its own, with the scatter that the runs show."""
    found = []
    for row in rows:
        left = [np.array(way) - np.mean(way) for way in (row.there, row.back)]
        freedom = len(row.there) + len(row.back) - 2
        # With few runs their scatter is itself a guess, so the usual one counts as four more.
        squares = sum(float(each @ each) for each in left) + 4 * TIMING_UNCERTAINTY**2
        uncertainty = math.hypot(math.sqrt(squares / (freedom + 4)), row.resolution / 3.5)
        gear = COASTING if row.gear is None else row.gear - 1
        for way, times in ((THERE, row.there), (BACK, row.back)):
            ends = row.from_speed, row.to_speed
            found += [TimedRun(*ends, time, gear, way, uncertainty) for time in times]
    return found


def held_speed(speed: float, gear: int) -> HeldSpeed:
    """Top speed held, the mean of both ways, as an observation."""
    return HeldSpeed(speed, gear - 1, BOTH_WAYS, SPEED_UNCERTAINTY)
