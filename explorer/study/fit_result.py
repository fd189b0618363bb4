"""Whether the chosen set-up fits, and what it does to chain and stance. All numbers are SI."""

from dataclasses import dataclass
from functools import cached_property
from operator import attrgetter

import numpy as np

from explorer.calc.chain import axle_shift
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_diagnosis import Agreement
from explorer.calc.chain.chain_fit import Fit, LinkCounts, Verdict, link_counts
from explorer.calc.chain.chain_guidance import Guide, guidance
from explorer.calc.chain.clearance import room_to_lift_off
from explorer.calc.chain.length import centre_distance_for
from explorer.calc.chain.swingarm import arm_angle_after_travel, arm_angle_at_height
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.chains import chain_size
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import fitted_rollout
from explorer.records.tyre import same_size
from explorer.study import fit_chain, fit_load, fit_slack
from explorer.study.choice import PageChoice
from explorer.study.fit_chain import UNKNOWN, ChainNow, FitMap, Twin
from explorer.study.fit_gaps import Gap, gaps_of, gaps_that_touch, nearest_without_touching
from explorer.study.fit_load import ChainLoad, SpeedometerReading, Wear
from explorer.study.fit_slack import SlackThroughTravel
from explorer.study.study import CHOSEN as CHOSEN
from explorer.study.study import FITTED as FITTED
from explorer.study.study import Study

RIDDEN_SHARE = 1 / 3
"""Share of the wheel travel used with the rider aboard (common practice, no source)."""


_TAPES_AGREE = 0.015
"""Swingarm and chain may differ by this, four lengths measured with a tape and a slack chain
(our choice) [m]."""

_USUAL_DISTANCE = (0.48, 0.75)
"""Output shaft to axle of off-road machines from 85 to 650 cm³ (common practice, no source) [m]."""

_USUAL_SIZES = ("428", "520")
"""A chain of each pitch that such machines have: half an inch, five eighths."""


@dataclass(frozen=True)
class Stance:
    """What the axle's new place does to the bike.

    Attributes:
        wheelbase, rear_height: Changes, longer and higher positive [m].
        trail: Change of trail; None where rake and fork offset are not known [m].
        front_share: Share of the weight on the front wheel before and after [-].
        arm_level (bool): Whether the swingarm was taken as level, not having been measured.
    """

    wheelbase: float
    rear_height: float
    trail: float | None
    front_share: tuple[float, float]
    arm_level: bool


@dataclass(frozen=True, eq=False)
class FitResult:
    """Whether the chosen set-up fits: each quantity worked out when first asked for, and kept."""

    study: Study
    measured: Measurements

    bike = property(attrgetter("study.bike"))
    setup = property(attrgetter("study.setup"))
    _asked = property(attrgetter("bike", "setup", "measured"))

    @cached_property
    def pitch(self) -> float:
        """Nominal pitch of the chain [m]."""
        return fit_chain.pitch_of(self.bike)

    @cached_property
    def now(self) -> ChainNow:
        """The chain on the bike."""
        return fit_chain.chain_now(self.bike, self.measured)

    @cached_property
    def choice(self) -> Choice:
        """Which chain the rider wants."""
        return fit_chain.rider_choice(self.bike, self.measured)

    @cached_property
    def options(self) -> dict[Choice, Fit]:
        """Each chain that can be counted, on the chosen pair."""
        return fit_chain.options(self.now, self.measured, self.setup.front, self.setup.rear)

    @cached_property
    def fit(self) -> Fit | None:
        """How the rider's chain fits on the chosen pair; None where its links are not known."""
        return self.options.get(self.choice)

    @property
    def verdict(self) -> int:
        """Its verdict code, or `UNKNOWN`."""
        if self.stays_on:
            return Verdict.FITS
        if self.fit is None:
            return UNKNOWN
        return int(fit_chain.known_verdict(self.fit.verdict, self.now))

    @property
    def stays_on(self) -> bool:
        """Whether this is the fitted pair with the chain that is on it."""
        teeth = self.setup.front, self.setup.rear
        return bool(fit_chain.stays_on(self.bike, self.measured, *teeth))

    @property
    def movement(self) -> float:
        """Axle movement that it needs; NaN where not known [m]."""
        return float("nan") if self.fit is None else float(self.fit.movement)

    @cached_property
    def contacts(self) -> dict[Choice, tuple[Gap, ...]]:
        """What would touch with each of the chains."""
        return {
            each: gaps_that_touch(*self._asked, float(option.movement))
            for each, option in self.options.items()
        }

    @cached_property
    def counts(self) -> LinkCounts | None:
        """Link counts of a new chain within the adjuster; None where its room is not known."""
        if self.now.fitted is None or not self.now.rooms_known:
            return None
        return link_counts(self.now.fitted, self.setup.front, self.setup.rear, 0.0)

    @cached_property
    def map(self) -> FitMap | None:
        """Every pair; None where the links of the chain are not known."""
        return fit_chain.fit_map(self.bike, self.measured)

    @cached_property
    def nearest(self) -> tuple[int, int] | None:
        """The pair that fits and comes nearest to the chosen ratio."""
        return self.map and nearest_without_touching(self.map, *self._asked)

    @cached_property
    def twins(self) -> tuple[Twin, ...]:
        """Pairs of nearly the chosen ratio."""
        return fit_chain.twins(self.bike, self.measured, self.setup.front, self.setup.rear)

    @cached_property
    def stance(self) -> Stance | None:
        """Wheelbase, height and trail; None where the axle's place is not known."""
        if not self.axle_known:
            return None
        return _stance(self.bike, self.measured, self.movement)

    @cached_property
    def slack(self) -> SlackThroughTravel | None:
        """Slack through the travel; None where the swingarm is not known."""
        return fit_slack.slack_result(*self._asked, self.movement)

    @cached_property
    def gaps(self) -> tuple[Gap, ...]:
        """Clearances that were measured."""
        return tuple(gaps_of(*self._asked, self.movement, self.slack))

    @cached_property
    def load(self) -> ChainLoad | None:
        """Load of the chain with the fitted and the chosen pair."""
        if not self.axle_known:
            return None
        links = np.array([self.now.fitted.links, int(self.fit.links)])
        return fit_load.chain_load_of(self.study, links)

    @cached_property
    def guides(self) -> dict[str, Guide]:
        """Handbooks' advice on the chosen pair."""
        if not self.axle_known:
            return {}
        distance = float(self.now.fitted.centre_distance) + self.movement
        pair = self.setup.front, self.setup.rear
        return guidance(*pair, int(self.fit.links), self.pitch, distance)

    @cached_property
    def wear(self) -> Wear | None:
        """Wear of the chain on the bike."""
        return fit_load.wear_of(self.bike, self.measured)

    @cached_property
    def speedometer(self) -> SpeedometerReading | None:
        """What it shows after the change."""
        return fit_load.speedometer_of(self.study, self.measured)

    @property
    def mismatches(self) -> tuple[str, ...]:
        """Labels of the checklist that do not match."""
        return self.measured.ticked("does not match")

    @property
    def unchecked(self) -> tuple[str, ...]:
        """Labels of the checklist that nobody has checked."""
        return self.measured.ticked("not checked")

    @property
    def same_pair(self) -> bool:
        """Whether the chosen pair is the fitted one."""
        sprockets = self.bike.sprockets
        return (self.setup.front, self.setup.rear) == (sprockets.front, sprockets.rear)

    @property
    def doubtful(self) -> bool:
        """Whether counted links and measured distance contradict each other."""
        explained = Agreement.AGREES, Agreement.WEAR, Agreement.ONE_MISSING
        return self.now.diagnosis.agreement not in explained

    @property
    def arm_disagrees(self) -> float | None:
        """Distance of the centres by the swingarm's measures less that by the chain, where the two
        can't both be right; None where they agree or one is missing [m]."""
        needed = ("swingarm_length", "shaft_ahead", "shaft_above", "axle_below")
        if self.now.fitted is None or not self.measured.known(*needed):
            return None
        length, ahead, above, below = (self.measured.si(name) for name in needed)
        if not length > abs(below):
            return None
        by_arm = np.hypot(ahead + np.sqrt(length**2 - below**2), above + below)
        difference = float(by_arm - self.now.fitted.centre_distance)
        return difference if abs(difference) > _TAPES_AGREE else None

    @property
    def other_size(self) -> str:
        """A chain size with which the counted links would make more sense; empty where they do."""
        if not self.now.counted:
            return ""
        distance = float(self.now.diagnosis.implied_distance)
        low, high = _USUAL_DISTANCE
        if low <= distance <= high:
            return ""
        sprockets, links = self.bike.sprockets, self.measured.links
        for number in _USUAL_SIZES:
            pitch = chain_size(number).pitch
            other = centre_distance_for(links, pitch, sprockets.front, sprockets.rear)
            if pitch != self.pitch and low <= float(other) <= high:
                return number
        return ""

    @property
    def miscounted(self) -> bool:
        """Whether the chain was measured longer than any that runs."""
        return bool(self.wear and self.wear.miscounted)

    @property
    def renewed(self) -> bool:
        """Whether the rider asked for the present chain and a new one is planned, as it is worn."""
        return self.now.worn_out and fit_chain.CHOICES[self.measured.chain] is not self.choice

    @property
    def slips_off(self) -> bool | None:
        """Whether a closed chain lifts off with the wheel fully forward; None: not known."""
        if not self.measured.known("room_forward"):
            return None
        needed = room_to_lift_off(self.pitch, chain_size(self.bike.chain.size).roller_diameter)
        return self.measured.si("room_forward") >= float(needed)

    @property
    def new_chain(self) -> bool:
        """Whether the rider wants a new chain."""
        return self.choice in (Choice.SHORTEST, Choice.NEW_CHAIN)

    @property
    def nothing_changed(self) -> bool:
        """Whether sprockets, chain and rear tyre all stay as they are."""
        recut = self.fit is not None and self.fit.links != self.now.fitted.links
        rollouts = None, fitted_rollout(self.bike, self.setup)
        same_tyre = same_size(self.setup.tyre, self.bike.tyre.rear)
        same_tyre = same_tyre and self.setup.rollout in rollouts
        return self.same_pair and not self.new_chain and not recut and same_tyre

    @property
    def axle_known(self) -> bool:
        """Whether it is known where the axle goes; else all is computed where it is now."""
        return self.fit is not None and bool(np.isfinite(self.fit.movement))

    @property
    def touching(self) -> tuple[Gap, ...]:
        """The clearances in which the chosen pair touches where nothing may touch."""
        return tuple(gap for gap in self.gaps if gap.blocks)

    @property
    def contradicted(self) -> tuple[Gap, ...]:
        """The clearances that cannot be right: what is fitted would touch already."""
        return tuple(gap for gap in self.gaps if gap.contradicts)

    @property
    def ruled_out(self) -> bool:
        """Whether, by what is known and measured, the set-up does not fit."""
        return self.verdict > Verdict.CLOSE or bool(self.mismatches or self.touching)

    @property
    def fits(self) -> bool:
        """Whether the chain reaches and nothing else stands in the way."""
        doubts = (self.doubtful, self.other_size, self.miscounted, self.contradicted)
        return self.verdict == Verdict.FITS and not any(doubts) and not self.ruled_out


def compute(choice: PageChoice) -> FitResult:
    """All that the fit page shows, worked out at once: a fault comes before anything is painted."""
    result = FitResult(Study.of(choice.bike, choice.setup), choice.measured)
    for name, answer in vars(FitResult).items():
        if isinstance(answer, cached_property):
            getattr(result, name)
    return result


def _stance(bike: Bike, measured: Measurements, movement: float) -> Stance:
    """Wheelbase, height, trail and weight with the rider aboard."""
    angle, level = 0.0, True
    if measured.known("swingarm_length", "axle_below", "wheel_travel"):
        length = measured.si("swingarm_length")
        hanging = arm_angle_at_height(length, -measured.si("axle_below"))
        ridden = arm_angle_after_travel(length, hanging, RIDDEN_SHARE * measured.si("wheel_travel"))
        if np.isfinite(ridden):
            angle, level = float(ridden), False
    wheelbase = bike.chassis.wheelbase.si
    longer = float(axle_shift.wheelbase_change(movement, angle))
    behind_front = wheelbase - bike.chassis.cg_ahead.si
    trail = None
    if measured.known("rake", "fork_offset"):
        fork = measured.si("rake"), measured.si("fork_offset")
        front = bike.vehicle().front_wheel_radius
        trail = float(axle_shift.trail_change(movement, angle, wheelbase, front, *fork))
    shares = tuple(
        float(axle_shift.front_load_share(wheelbase, behind_front, change))
        for change in (0.0, longer)
    )
    higher = float(axle_shift.rear_height_change(movement, angle))
    return Stance(longer, higher, trail, shares, level)
