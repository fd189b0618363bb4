"""What the chain bears with the fitted and with the chosen pair, and what the handbooks say."""

from dataclasses import dataclass

import numpy as np

from explorer.calc.chain import chain_load, chain_wear
from explorer.calc.chain.chain_wear import WearLimit
from explorer.calc.drivetrain import speedometer
from explorer.calc.drivetrain.speedometer import Pickup
from explorer.calc.sprockets import chordal_speed_variation
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.study.fit_chain import MOST_WORN, at_limit, measured_elongation, pitch_of
from explorer.study.study import Study

_CURVE_POINTS = 41

_RULE = 0.0003
"""A rule reads to a third of a millimetre (common practice, no source) [m]."""

JOINT_TORQUE = (0.01, 0.05)
"""What it takes to bend one joint of a sealed chain (our estimate by hand, no source) [N·m]."""


@dataclass(frozen=True, eq=False)
class ChainLoad:
    """Load and motion of the chain; arrays (2,) hold the fitted and the chosen pair.

    Attributes:
        pull: Largest pull at the tyre in any gear that engine, grip and balance allow [N].
        tension: Tension of the chain at that pull [N].
        speed: Chain speed at the rev limit in top gear [m/s].
        articulation: Angle by which a link swings on the front sprocket [rad].
        unevenness: Variation of the chain's speed over one tooth of the front sprocket [-].
        per_kilometre: Angle through which each joint swings over one kilometre [rad].
        repeat: Turns of the chain before the same front tooth meets the same link [count].
        alternates: Whether each front tooth meets inner and outer links in turn.
        ring_drag: Least and most that a sealed chain's rings drag at the tyre, chosen pair [N].
        rolling: Rolling resistance of the bike on this ground, to hold it against [N].
    """

    pull: FloatArray
    tension: FloatArray
    speed: FloatArray
    articulation: FloatArray
    unevenness: FloatArray
    per_kilometre: FloatArray
    repeat: FloatArray
    alternates: FloatArray
    links: FloatArray
    ring_drag: FloatArray
    rolling: float


@dataclass(frozen=True, eq=False)
class Wear:
    """Wear of the chain on the bike.

    Attributes:
        elongation, uncertainty: From the measured length [-].
        used: Share of the manual's limit; None where that was not entered [-].
        worn_out: Whether the chain is at or past the manual's limit, as it is printed.
        limits: What is published, for the spread.
    """

    elongation: float
    uncertainty: float
    used: float | None
    worn_out: bool
    limits: tuple[WearLimit, ...]

    @property
    def miscounted(self) -> bool:
        """Whether the length is that of more pitches than were counted."""
        return self.elongation > MOST_WORN

    @property
    def may_be_worn_out(self) -> bool:
        """Whether it may be past the limit within the error of the rule."""
        if self.used is None or self.elongation <= 0:
            return False
        return self.elongation + self.uncertainty >= self.elongation / self.used


@dataclass(frozen=True, eq=False)
class SpeedometerReading:
    """What the speedometer shows after the change.

    Attributes:
        factor: Indicated over true speed [-].
        correction: Factor by which to multiply what it shows [-].
        true_speed, indicated: The reader's cruise speed and what it shows there [m/s].
        within_approval: Whether the type-approval inequality is met there.
    """

    pickup: Pickup
    factor: float
    correction: float
    true_speed: float
    indicated: float
    under_reads: bool
    within_approval: bool


def chain_load_of(study: Study, links: FloatArray) -> ChainLoad:
    """Compute the load for chains of two link counts [SI]."""
    pitch = pitch_of(study.bike)
    front, rear = study.teeth
    drive, rollouts = study.drive, study.lengths
    vehicle = drive.vehicle
    engine_speed = drive.idle_speed + np.linspace(0, 1, _CURVE_POINTS) * (
        drive.limiter_speed - drive.idle_speed
    )
    engine_pull = drive.pull(drive.torque(engine_speed), drive.overall)
    pull = np.minimum(engine_pull, np.minimum(drive.grip_thrust, drive.wheelie_thrust))
    largest = pull.max(axis=(1, 2))
    shaft_speed = vehicle.limiter_speed / (vehicle.primary * vehicle.gears[-1])
    return ChainLoad(
        pull=largest,
        tension=chain_load.tension(largest, rollouts, pitch, rear),
        speed=chain_load.chain_speed(shaft_speed, pitch, front),
        articulation=chain_load.articulation_angle(front),
        unevenness=chordal_speed_variation(front),
        per_kilometre=chain_load.articulation_per_kilometre(front, rear, links, rollouts),
        repeat=chain_load.chain_turns_before_repeat(front, links),
        alternates=chain_load.every_tooth_meets_both_plates(front, links),
        links=links,
        ring_drag=chain_load.ring_drag(
            np.array(JOINT_TORQUE), front[-1], rear[-1], links[-1], rollouts[-1]
        ),
        rolling=float(np.ravel(drive.rolling)[-1]),
    )


def wear_of(bike: Bike, measured: Measurements) -> Wear | None:
    """Wear of the chain on the bike; None where it was not measured."""
    elongation = measured_elongation(bike, measured)
    if elongation is None:
        return None
    counted, limit = measured.get("wear_pitches"), measured.si("wear_limit")
    unsure = chain_wear.elongation_uncertainty(_RULE, counted, pitch_of(bike))
    return Wear(
        elongation=elongation,
        uncertainty=float(unsure),
        used=None if np.isnan(limit) else float(chain_wear.wear_used(elongation, limit)),
        worn_out=at_limit(elongation, limit),
        limits=chain_wear.published_limits(bike.sprockets.rear),
    )


def speedometer_of(study: Study, measured: Measurements) -> SpeedometerReading | None:
    """What the speedometer shows after the change; None where its pickup is not known."""
    if not measured.known("pickup"):
        return None
    pickup = Pickup(measured.get("pickup"))
    before, after = study.lengths
    if pickup is Pickup.FRONT_WHEEL:
        after = before
    ratios, read_before = map(float, study.ratios), measured.si("speedometer_before")
    factor = speedometer.indicated_over_true(pickup, *ratios, before, after, read_before)
    speed = study.setup.cruise_speed
    indicated = speedometer.indicated_speed(speed, float(factor))
    return SpeedometerReading(
        pickup=pickup,
        factor=float(factor),
        correction=speedometer.correction_factor(float(factor)),
        true_speed=speed,
        indicated=indicated,
        under_reads=bool(speedometer.may_under_read(float(factor))),
        within_approval=bool(speedometer.within_r39(indicated, speed)),
    )
