"""Everything the ground page shows without its course, computed once per change.

Two set-ups are carried side by side in every array: index `FITTED` is the gearing and tyre on the
motorcycle now, index `CHOSEN` what the sliders say. All numbers are SI.
"""

from dataclasses import dataclass
from functools import partial

import numpy as np

from explorer.calc import gearing
from explorer.calc.drivetrain.binding_limits import Stretches, stretches
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.hills import GearForSpeed, gear_for_speed
from explorer.calc.drivetrain.launch import Launch, launch, slowest_clutch_out_speed
from explorer.calc.drivetrain.top_speed import TopSpeed, top_speed
from explorer.calc.engine.curve import peak_power
from explorer.calc.engine.engine_braking import EngineBraking, coasting_deceleration, engine_braking
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.motion.shift_strategy import (
    ShiftWorth,
    Strategies,
    Timing,
    compare_strategies,
    worth_of_each_shift,
)
from explorer.calc.statistics.spreads import Spread
from explorer.calc.statistics.uncertainty import Difference, Uncertain, difference, propagate
from explorer.calc.vehicle import FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.setups.setup import Setup, both_rollouts
from explorer.records.tyre import Rollout
from explorer.study.certainty import spreads_of
from explorer.study.gearing_result import CHOSEN, FITTED, conditions_of

__all__ = ["CHOSEN", "FITTED", "GroundResult", "compute", "drive_of", "goal_of"]


@dataclass(frozen=True, eq=False)
class GroundResult:
    """One computation of the page.

    Attributes
    ----------
    bike, setup : Bike, Setup
        What it was computed from.
    rollouts : tuple of Rollout
        Roll-out of the fitted and of the chosen tyre.
    ratios : array (2,)
        Final drive ratios [-].
    drive : Drive
        Both set-ups, on the set slope.
    top : TopSpeed
        Speed held on the set slope, in each gear [m/s].
    away : Launch
        Pulling away in first gear [SI].
    clutch_out : array (2, gears)
        Slowest speed with the clutch out [m/s].
    steepest_slope : array (2, gears)
        Slope angle that each gear holds [rad].
    at_cruise : GearForSpeed
        Which gears hold the cruise speed on the set slope.
    coasting : array (2,)
        Deceleration at the cruise speed, clutch in [m/s²].
    braking : EngineBraking or None
        Throttle closed in gear at the cruise speed, (2, gears, 1); None where the bike file does
        not say what the engine holds back.
    shifts : ShiftPoints
        Best shift points [m/s].
    strategies : Strategies
        Time to the goal with each way of changing up [s].
    worth : ShiftWorth
        What each shift is worth for the goal [s].
    shift_at : float
        Engine speed at which the rider changes up [rad/s].
    stretches : Stretches
        What binds in each gear [m/s].
    spreads : tuple of Spread
        What is uncertain.
    sure : Uncertain
        Top speed [m/s] and time to the goal [s] with what each input contributes.
    """

    bike: Bike
    setup: Setup
    rollouts: tuple[Rollout, Rollout]
    ratios: FloatArray
    drive: Drive
    top: TopSpeed
    away: Launch
    clutch_out: FloatArray
    steepest_slope: FloatArray
    at_cruise: GearForSpeed
    coasting: FloatArray
    braking: EngineBraking | None
    shifts: ShiftPoints
    strategies: Strategies
    worth: ShiftWorth
    shift_at: float
    stretches: Stretches
    spreads: tuple[Spread, ...]
    sure: Uncertain

    @property
    def change(self) -> Difference:
        """Time to the goal, chosen less fitted [s]."""
        return difference(self.sure.value, FITTED, CHOSEN)

    @property
    def top_change(self) -> Difference:
        """Top speed, chosen less fitted [m/s]."""
        return difference(self.sure.top_speed, FITTED, CHOSEN)


def compute(bike: Bike, setup: Setup) -> GroundResult:
    """Compute the page, its course left aside.

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        What the rider chose.

    Returns
    -------
    GroundResult
        Everything the page shows [SI].
    """
    drive, rollouts, ratios = drive_of(bike, setup)
    top = top_speed(drive)
    shifts = shift_points(drive, top)
    goal = goal_of(setup)
    shift_at = shift_speed(bike, setup)
    spreads = spreads_of(bike, setup)
    curve = bike.engine.motoring_curve
    cruise = setup.cruise_speed
    return GroundResult(
        bike=bike,
        setup=setup,
        rollouts=rollouts,
        ratios=ratios,
        drive=drive,
        top=top,
        away=launch(drive),
        clutch_out=slowest_clutch_out_speed(drive),
        steepest_slope=measures.steepest_slope_by_gear(drive),
        at_cruise=gear_for_speed(drive, cruise),
        coasting=np.broadcast_to(coasting_deceleration(drive, np.array([cruise])).ravel(), 2),
        braking=None
        if curve is None
        else engine_braking(drive, curve.speeds, curve.torques, cruise),
        shifts=shifts,
        strategies=compare_strategies(drive, top, goal, shift_at),
        worth=worth_of_each_shift(drive, shifts, top, goal),
        shift_at=shift_at,
        stretches=stretches(drive),
        spreads=spreads,
        sure=propagate(
            drive.vehicle,
            drive.conditions,
            ratios,
            np.array([each.value for each in rollouts]),
            spreads,
            goal,
        ),
    )


def drive_of(bike: Bike, setup: Setup) -> tuple[Drive, tuple[Rollout, Rollout], FloatArray]:
    """Fitted and chosen set-up, with their roll-outs [m] and final drive ratios [-].

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        What the rider chose.

    Returns
    -------
    tuple of Drive, pair of Rollout and array (2,)
        Both set-ups [SI].
    """
    rollouts = both_rollouts(bike, setup)
    ratios = gearing.final_ratio(
        np.array([bike.sprockets.front, setup.front]), np.array([bike.sprockets.rear, setup.rear])
    )
    conditions, _ = conditions_of(setup)
    turns = np.array([each.value for each in rollouts])
    return Drive(bike.vehicle(setup.rider_mass), conditions, ratios, turns), rollouts, ratios


def shift_speed(bike: Bike, setup: Setup) -> float:
    """Engine speed at which the rider changes up, at most the rev limit [rad/s]."""
    curve = bike.engine.torque_curve
    if setup.shift_at is None:
        return float(peak_power(curve.speeds, curve.torques).engine_speed)
    return min(setup.shift_at, bike.engine.rev_limit.si)


def by_distance(setup: Setup) -> bool:
    """Whether the goal is a distance; otherwise it is a speed."""
    return setup.measure == "time_over_distance"


def goal_of(setup: Setup) -> Timing:
    """Time to the goal, as a function of a drive and its shift points.

    Parameters
    ----------
    setup : Setup
        What the rider chose; any measure but a distance stands for the speed to reach.

    Returns
    -------
    callable
        Returns a time for each case [s].
    """
    if by_distance(setup):
        return partial(measures.time_over_distance, distance=setup.distance)
    return partial(measures.time_to_speed, speed=setup.target_speed)
