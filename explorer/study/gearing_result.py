"""Everything the gearing page shows, computed once per change from the bike and the set-up.

Two set-ups are carried side by side in every array: index `FITTED` is the gearing and tyre on the
motorcycle now, index `CHOSEN` what the sliders say. All numbers are SI.
"""

from collections.abc import Callable
from dataclasses import dataclass
from functools import lru_cache, partial

import numpy as np

from explorer.calc import gearing
from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import TopSpeed, top_speed
from explorer.calc.drivetrain.tradeoff import TradeOff, all_pairs
from explorer.calc.engine import curve as engine
from explorer.calc.engine.power_correction import power_factor, within_validity
from explorer.calc.motion import measures
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.statistics.pair_bands import (
    interpolated_uncertainty,
    ratio_nodes,
    top_speed_estimate,
)
from explorer.calc.statistics.uncertainty import Uncertain, propagate
from explorer.calc.vehicle import Conditions, FloatArray
from explorer.records.bikes.bike import Bike
from explorer.records.ground.course_ids import DEFAULT_COURSE
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import Setup, both_rollouts
from explorer.records.tyre import Rollout, rollout
from explorer.study.certainty import chosen_spreads, spreads_of

FITTED, CHOSEN = 0, 1

WALKING_PACE = 5 / 3.6
"""Speed of the measure "pull at walking pace" [m/s]."""

_CURVE_POINTS = 25


@dataclass(frozen=True, eq=False)
class GearingResult:
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
        Both set-ups.
    top : TopSpeed
        Top speeds [m/s].
    shifts : ShiftPoints
        Best shift points [m/s].
    road_speed, engine_pull, pull : array (2, gears, points)
        From idle to the rev limit: road speed [m/s], pull the engine has for the tyre and pull
        that grip and balance let through [N].
    steepest_slope : array (2, gears)
        Slope angle that each gear holds [rad].
    walking_pull : array (2,)
        Pull at walking pace in first gear [N].
    measure : array (2,)
        The measure that the reader picked; NaN where it is not reached.
    peak_torque, peak_power : Peak
        Engine speed [rad/s] and value [N·m], [W] of the torque curve as given.
    power_band : PowerBand
        Engine speeds between which the engine gives 90 % of its power [rad/s].
    power_factor : float
        Torque here over the torque of the curve [-].
    air_within_rule : bool
        Whether the correction of power for the air is within its range of validity.
    sure : Uncertain
        Top speed and the measure of both set-ups, with what each uncertain input contributes.
    pairs : Pairs
        Every pair of the sprockets sold for the bike, on the chosen tyre.
    """

    bike: Bike
    setup: Setup
    rollouts: tuple[Rollout, Rollout]
    ratios: FloatArray
    drive: Drive
    top: TopSpeed
    shifts: ShiftPoints
    road_speed: FloatArray
    engine_pull: FloatArray
    pull: FloatArray
    steepest_slope: FloatArray
    walking_pull: FloatArray
    measure: FloatArray
    peak_torque: engine.Peak
    peak_power: engine.Peak
    power_band: engine.PowerBand
    power_factor: float
    air_within_rule: bool
    sure: Uncertain
    pairs: "Pairs"


def compute(bike: Bike, setup: Setup) -> GearingResult:
    """Compute the whole page.

    Parameters
    ----------
    bike : Bike
        The motorcycle.
    setup : Setup
        What the rider chose.

    Returns
    -------
    GearingResult
        Everything the page shows [SI].
    """
    vehicle = bike.vehicle(setup.rider_mass)
    conditions, air_within_rule = conditions_of(setup)
    rollouts = both_rollouts(bike, setup)
    ratios = gearing.final_ratio(
        np.array([bike.sprockets.front, setup.front]), np.array([bike.sprockets.rear, setup.rear])
    )
    drive = Drive(vehicle, conditions, ratios, np.array([each.value for each in rollouts]))
    top = top_speed(drive)
    shifts = shift_points(drive, top)
    engine_speed = drive.idle_speed + np.linspace(0, 1, _CURVE_POINTS) * (
        drive.limiter_speed - drive.idle_speed
    )
    road_speed = engine_speed * drive.radius / drive.overall
    engine_pull = drive.pull(drive.torque(engine_speed), drive.overall)
    sure = propagate(
        vehicle,
        conditions,
        ratios,
        np.array([each.value for each in rollouts]),
        spreads_of(bike, setup),
        measure_of(setup),
    )
    peak_torque, peak_power, power_band = _engine_figures(bike)
    return GearingResult(
        bike=bike,
        setup=setup,
        rollouts=rollouts,
        ratios=ratios,
        drive=drive,
        top=top,
        shifts=shifts,
        road_speed=road_speed,
        engine_pull=engine_pull,
        pull=np.minimum(engine_pull, np.minimum(drive.grip_thrust, drive.wheelie_thrust)),
        steepest_slope=measures.steepest_slope_by_gear(drive),
        walking_pull=measures.walking_pull(drive, WALKING_PACE),
        measure=sure.value.value,
        peak_torque=peak_torque,
        peak_power=peak_power,
        power_band=power_band,
        power_factor=float(conditions.power_factor),
        air_within_rule=air_within_rule,
        sure=sure,
        pairs=_pairs(bike, setup.model_copy(update=_NOT_IN_THE_PAIRS)),
    )


@lru_cache(maxsize=8)
def _engine_figures(bike: Bike) -> tuple[engine.Peak, engine.Peak, engine.PowerBand]:
    """Peaks and power band of the torque curve, which no slider changes."""
    vehicle = bike.vehicle()
    curve = (vehicle.torque_speeds, vehicle.torques)
    return engine.peak_torque(*curve), engine.peak_power(*curve), engine.power_band(*curve)


def conditions_of(setup: Setup) -> tuple[Conditions, bool]:
    """Ground and air of a set-up, and whether the power correction is meant for that air.

    Parameters
    ----------
    setup : Setup
        What the rider chose.

    Returns
    -------
    tuple of Conditions and bool
        In SI; False where the correction is used outside its range of validity.
    """
    standard = standard_atmosphere(setup.altitude)
    temperature = standard.temperature if setup.temperature is None else setup.temperature
    surface = surfaces()[setup.surface]
    conditions = Conditions(
        slope=float(np.arctan(setup.slope)),
        head_wind=setup.head_wind,
        air_density=float(air_density(standard.pressure, temperature)),
        power_factor=float(power_factor(standard.pressure, temperature)),
        rolling_coefficient=surface.rolling_typical,
        grip=surface.grip_typical,
    )
    return conditions, bool(within_validity(standard.pressure, temperature))


def measure_of(setup: Setup) -> Callable[[Drive, ShiftPoints], FloatArray]:
    """The measure that the reader picked, as a function of a drive and its shift points.

    Parameters
    ----------
    setup : Setup
        What the rider chose.

    Returns
    -------
    callable
        Returns one number for each case: seconds, rise over run, or newtons.
    """
    match setup.measure:
        case "time_to_speed":
            return partial(measures.time_to_speed, speed=setup.target_speed)
        case "time_over_distance":
            return partial(measures.time_over_distance, distance=setup.distance)
        case "roll_on":
            return partial(
                measures.roll_on,
                from_speed=setup.roll_from,
                to_speed=setup.roll_to,
                gear=setup.roll_gear - 1,
            )
        case "steepest_slope":
            return lambda drive, shifts: np.tan(measures.steepest_slope_by_gear(drive)).max(axis=1)
        case "walking_pull":
            return lambda drive, shifts: measures.walking_pull(drive, WALKING_PACE)


LARGER_IS_BETTER = {"steepest_slope", "walking_pull"}
"""Measures of which more is better; the others are times."""

_NOT_IN_THE_PAIRS = {
    "front": 13,
    "rear": 48,
    "cruise_speed": 10.0,
    "shift_at": None,
    "course": DEFAULT_COURSE,
    "units": "metric",
}
"""What the map of all pairs does not depend on, set to one value so that a move of a sprocket
slider finds the map of the last move."""


@dataclass(frozen=True, eq=False)
class Pairs:
    """Every pair of sprockets, with how sure each point is.

    Attributes
    ----------
    tradeoff : TradeOff
        Top speed, measure and the best compromises, in the shape (fronts, rears).
    top_speed_uncertainty, value_uncertainty : array (fronts, rears)
        Standard uncertainty of top speed [m/s] and of the measure; NaN where it is not known.
    """

    tradeoff: TradeOff
    top_speed_uncertainty: FloatArray
    value_uncertainty: FloatArray


@lru_cache(maxsize=2)
def _pairs(bike: Bike, setup: Setup) -> Pairs:
    fronts, rears = bike.sprockets.front_sold, bike.sprockets.rear_sold
    conditions, _ = conditions_of(setup)
    vehicle, turn = bike.vehicle(setup.rider_mass), rollout(setup.tyre, setup.rollout).value
    tradeoff = all_pairs(
        vehicle,
        conditions,
        np.arange(fronts[0], fronts[1] + 1),
        np.arange(rears[0], rears[1] + 1),
        turn,
        measure_of(setup),
        setup.measure in LARGER_IS_BETTER,
    )
    ratios = gearing.final_ratio(tradeoff.front, tradeoff.rear)
    spreads, nodes = chosen_spreads(setup), ratio_nodes(ratios)
    at_nodes = propagate(vehicle, conditions, nodes, turn, spreads, measure_of(setup)).value
    top = top_speed_estimate(
        vehicle, conditions, ratios.ravel(), turn, spreads, tradeoff.top_speed_by_gear
    )
    return Pairs(
        tradeoff,
        top.standard_uncertainty.reshape(ratios.shape),
        interpolated_uncertainty(nodes, at_nodes.standard_uncertainty, ratios),
    )
