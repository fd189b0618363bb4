"""Everything the fit page shows, computed once per change. All numbers are SI."""

from dataclasses import dataclass

import numpy as np

from explorer.calc.chain import axle_shift
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_diagnosis import Agreement
from explorer.calc.chain.chain_fit import Fit, LinkCounts, Verdict
from explorer.calc.chain.chain_guidance import Guide
from explorer.calc.chain.swingarm import arm_angle_after_travel, arm_angle_at_height
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.fitting.fit_fields import FIT_FIELDS
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.records.tyre import same_size
from explorer.study import fit_chain, fit_load, fit_slack
from explorer.study.choice import PageChoice
from explorer.study.fit_chain import UNKNOWN, ChainNow, FitMap, Twin
from explorer.study.fit_gaps import Gap, gaps_of, gaps_that_touch, nearest_without_touching
from explorer.study.fit_load import ChainLoad, SpeedometerReading, Wear
from explorer.study.fit_slack import SlackThroughTravel

FITTED, CHOSEN = 0, 1

RIDDEN_SHARE = 1 / 3
"""Share of the wheel travel used with the rider aboard (common practice, no source)."""


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
    """One computation of the page.

    Attributes:
        bike, setup, measured (Bike, Setup, Measurements): What it was computed from.
        pitch: Nominal pitch of the chain [m].
        now: The chain on the bike.
        choice: Which chain the rider wants.
        fit: How that chain fits on the chosen pair; None where its links are not known.
        verdict: Its verdict code, or `UNKNOWN`.
        options: The other chains on the chosen pair.
        contacts: What would touch with each of them.
        counts: Link counts of a new chain within the adjuster; None where its room is not known.
        map: Every pair; None where the links of the chain are not known.
        nearest (tuple (front, rear) or None): The pair that fits and comes nearest to the chosen
            ratio.
        twins: Pairs of nearly the chosen ratio.
        stance: Wheelbase, height and trail.
        slack: Slack through the travel.
        gaps: Clearances that were measured.
        load: Load of the chain.
        guides: Handbooks' advice on the chosen pair.
        wear: Wear of the chain on the bike.
        speedometer: What it shows after the change.
        mismatches, unchecked: Labels of the checklist that do not match, and that nobody has
            checked.
    """

    bike: Bike
    setup: Setup
    measured: Measurements
    pitch: float
    now: ChainNow
    choice: Choice
    fit: Fit | None
    verdict: int
    options: dict[Choice, Fit]
    contacts: dict[Choice, tuple[Gap, ...]]
    counts: LinkCounts | None
    map: FitMap | None
    nearest: tuple[int, int] | None
    twins: tuple[Twin, ...]
    stance: Stance | None
    slack: SlackThroughTravel | None
    gaps: tuple[Gap, ...]
    load: ChainLoad | None
    guides: dict[str, Guide]
    wear: Wear | None
    speedometer: SpeedometerReading | None
    mismatches: tuple[str, ...]
    unchecked: tuple[str, ...]

    @property
    def same_pair(self) -> bool:
        """Whether the chosen pair is the fitted one."""
        sprockets = self.bike.sprockets
        return (self.setup.front, self.setup.rear) == (sprockets.front, sprockets.rear)

    @property
    def doubtful(self) -> bool:
        """Whether counted links and measured distance contradict each other."""
        return self.now.diagnosis.agreement not in (
            Agreement.AGREES,
            Agreement.WEAR,
            Agreement.ONE_MISSING,
        )

    @property
    def miscounted(self) -> bool:
        """Whether the chain was measured longer than any that runs."""
        return self.wear is not None and self.wear.miscounted

    @property
    def worn_out(self) -> bool:
        """Whether the chain that would stay is at or past the manual's limit."""
        return self.wear is not None and self.wear.worn_out and not self.new_chain

    @property
    def new_chain(self) -> bool:
        """Whether the rider wants a new chain."""
        return self.choice in (Choice.SHORTEST, Choice.NEW_CHAIN)

    @property
    def nothing_changed(self) -> bool:
        """Whether sprockets, chain and rear tyre all stay as they are."""
        recut = self.fit is not None and self.fit.links != self.now.fitted.links
        same_tyre = same_size(self.setup.tyre, self.bike.tyre.rear) and self.setup.rollout in (
            None,
            fitted_rollout(self.bike, self.setup),
        )
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
        doubts = (self.doubtful, self.miscounted, self.worn_out, self.contradicted)
        return self.verdict == Verdict.FITS and not any(doubts) and not self.ruled_out


def compute(choice: PageChoice) -> FitResult:
    """Compute the whole page.

    Args:
        choice: Bike, set-up and answers.

    Returns:
        Everything the page shows [SI].
    """
    bike, setup, measured = choice.bike, choice.setup, choice.measured
    pitch = fit_chain.pitch_of(bike)
    now = fit_chain.chain_now(bike, measured)
    fits = fit_chain.fit_map(bike, measured)
    wanted = fit_chain.rider_choice(measured)
    options, fit, counts, verdict = {}, None, None, UNKNOWN
    if now.fitted is not None:
        options = fit_chain.options(now, measured, setup.front, setup.rear)
        if now.rooms_known:
            counts = fit_chain.counts_for(now.fitted, setup.front, setup.rear)
    if fit_chain.can_be_counted(now, wanted):
        fit = options[wanted]
        verdict = int(fit_chain.known_verdict(fit.verdict, now))
    movement = float(fit.movement) if fit is not None else float("nan")
    slack = fit_slack.slack_result(bike, setup, measured, pitch, movement)
    load, guides = None, {}
    if fit is not None and np.isfinite(movement):
        links = np.array([now.fitted.links, int(fit.links)])
        load = fit_load.chain_load_of(bike, setup, pitch, links)
        distance = float(now.fitted.centre_distance) + movement
        guides = fit_load.guides_of(setup, pitch, int(fit.links), distance)
    ticks = [field for field in FIT_FIELDS if field.group == "checklist"]
    return FitResult(
        bike=bike,
        setup=setup,
        measured=measured,
        pitch=pitch,
        now=now,
        choice=wanted,
        fit=fit,
        verdict=verdict,
        options=options,
        contacts={
            each: gaps_that_touch(bike, setup, measured, pitch, float(option.movement))
            for each, option in options.items()
        },
        counts=counts,
        map=fits,
        nearest=fits and nearest_without_touching(fits, bike, setup, measured, pitch),
        twins=fit_chain.twins(bike, measured, setup.front, setup.rear),
        stance=_stance(bike, measured, movement) if np.isfinite(movement) else None,
        slack=slack,
        gaps=tuple(gaps_of(bike, setup, measured, pitch, movement, slack)),
        load=load,
        guides=guides,
        wear=fit_load.wear_of(bike, measured, pitch, now.elongation),
        speedometer=fit_load.speedometer_of(bike, setup, measured),
        mismatches=tuple(
            field.label for field in ticks if measured.get(field.name) == "does not match"
        ),
        unchecked=tuple(
            field.label for field in ticks if measured.get(field.name) == "not checked"
        ),
    )


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
        trail = float(
            axle_shift.trail_change(
                movement,
                angle,
                wheelbase,
                bike.vehicle().front_wheel_radius,
                measured.si("rake"),
                measured.si("fork_offset"),
            )
        )
    shares = tuple(
        float(axle_shift.front_load_share(wheelbase, behind_front, change))
        for change in (0.0, longer)
    )
    return Stance(
        longer, float(axle_shift.rear_height_change(movement, angle)), trail, shares, level
    )
