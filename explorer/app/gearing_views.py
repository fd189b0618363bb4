"""From one result to what each chart shows: SI into the reader's units, and the fitting words."""

from functools import lru_cache

import numpy as np
from numpy.typing import NDArray

from explorer import units
from explorer.app.fit_notes import chain_note
from explorer.calc.drivetrain.top_speed import Limit
from explorer.charts.gearing.pull_chart import PullSetup, PullView
from explorer.charts.gearing.shift_chart import ShiftSetup, ShiftView
from explorer.charts.gearing.tradeoff_chart import TradeoffView
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.certainty import range_alone, with_band
from explorer.study.fit_chain import UNKNOWN, sold
from explorer.study.goals import MEASURES
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wants.wants_chain import pair_chains
from explorer.study.wording import SHORT_LIMITS, SpeedUnits, ordinal
from explorer.units import RPM


def speed_units(setup: Setup) -> SpeedUnits:
    """The reader's unit of speed and the other one."""
    other_system = "imperial" if setup.units == "metric" else "metric"
    number, unit = units.display(1.0, "speed", setup.units)
    other_number, other_unit = units.display(1.0, "speed", other_system)
    return SpeedUnits(unit, other_unit, other_number / number)


def shift_view(result: Study) -> ShiftView:
    """What the shift chart shows."""
    drive = result.drive
    per_speed, _ = units.display(1.0, "speed", result.setup.units)

    def setup(index: int) -> ShiftSetup:
        return ShiftSetup(
            pair=result.fitments[index].pair,
            rpm_per_speed=(drive.overall / drive.radius)[index, :, 0] / RPM / per_speed,
            exit_speed=result.shifts.exit_speed[index] * per_speed,
            shifts_up=result.shifts.shifts_up[index],
        )

    return ShiftView(
        chosen=setup(CHOSEN),
        fitted=setup(FITTED),
        idle_rpm=drive.idle_speed.item() / RPM,
        launch_rpm=drive.launch_speed.item() / RPM,
        limiter_rpm=drive.limiter_speed.item() / RPM,
        power_band=(result.power_band.low / RPM, result.power_band.high / RPM),
        speed_units=speed_units(result.setup),
    )


def pull_view(result: Study) -> PullView:
    """What the pull chart shows."""
    system, drive = result.setup.units, result.drive
    per_speed, unit = units.display(1.0, "speed", system)
    per_force, force_unit = units.display(1.0, "force", system)

    def setup(index: int) -> PullSetup:
        limit = Limit(int(result.top.limit[index]))
        holds = limit is not Limit.CANNOT_HOLD
        top = float(result.top.speed[index]) * per_speed
        sure = result.sure.top_speed.band.at(index, per_speed)
        return PullSetup(
            pair=result.fitments[index].pair,
            speed=result.road_speed[index] * per_speed,
            pull=result.pull[index] * per_force,
            engine_pull=result.engine_pull[index] * per_force,
            top_speed=top if holds else None,
            top_gear=int(result.top.gear[index]) + 1,
            top_limit=SHORT_LIMITS[limit],
            top_speed_band=(sure.below, sure.above),
            top_speed_said=with_band(top, sure, unit),
        )

    speeds = np.linspace(0.0, result.road_speed.max() * 1.02, 41)
    thrusts = (np.ravel(each)[0] for each in (drive.grip_thrust, drive.wheelie_thrust))
    grip, lift = (each.item() * per_force if np.isfinite(each) else None for each in thrusts)
    return PullView(
        chosen=setup(CHOSEN),
        fitted=setup(FITTED),
        resistance_speed=speeds * per_speed,
        resistance=drive.resistance(speeds).ravel() * per_force,
        grip_limit=grip,
        wheel_lift_limit=lift,
        speed_units=speed_units(result.setup),
        force_unit=force_unit,
    )


def measure_name(setup: Setup) -> str:
    """The picked measure in a few words, in the reader's units."""
    system = setup.units

    def speed(value: float) -> str:
        return units.text(value, "speed", system)

    gear = ordinal(setup.roll_gear)
    match setup.measure:
        case "time_to_speed":
            return f"0 to {speed(setup.target_speed)}"
        case "time_over_distance":
            return f"{units.text(setup.distance, 'distance', system)} from rest"
        case "roll_on":
            return f"{speed(setup.roll_from)} to {speed(setup.roll_to)} in {gear}"
        case "slope_in_gear":
            return f"Steepest slope held in {gear}"
        case "throttle_to_hold":
            return f"Throttle to hold {speed(setup.roll_from)} in {gear}"
        case "clutch_out":
            return "Slowest with the clutch out in 1st"
        case "steepest_slope":
            return "Steepest slope held"
        case name:
            return MEASURES[name].label


_DECIMALS = {"time": 1, "speed": 1}


def measure_scale(setup: Setup) -> tuple[float, str, int]:
    """Factor from SI, unit and decimals of the picked measure."""
    kind = MEASURES[setup.measure].kind
    factor, unit = units.display(1.0, kind, setup.units)
    return factor, unit, _DECIMALS.get(kind, 0)


def speed_name(ground_sets_top: bool) -> str:
    """What the measure is set against."""
    return "Rev limit in top gear" if ground_sets_top else "Top speed"


def tradeoff_view(result: Study, measured: Measurements) -> TradeoffView:
    """What the trade-off chart shows; what was measured for the fit page tells its chains apart."""
    reach, fit_notes = _chains(result.bike, measured)
    setup, pairs, sprockets = result.setup, result.pairs.tradeoff, result.bike.sprockets
    per_speed, _ = units.display(1.0, "speed", setup.units)
    factor, unit, decimals = measure_scale(setup)
    return TradeoffView(
        front=pairs.front.ravel(),
        rear=pairs.rear.ravel(),
        speed=np.where(pairs.speed > 0, pairs.speed * per_speed, np.nan).ravel(),
        speed_name=speed_name(pairs.ground_sets_top),
        measure=(pairs.value * factor).ravel(),
        on_best_line=pairs.best_compromise.ravel(),
        chosen=(setup.front, setup.rear),
        fitted=(sprockets.front, sprockets.rear),
        measure_name=measure_name(setup),
        measure_unit=unit,
        better="higher" if MEASURES[setup.measure].larger_is_better else "lower",
        decimals=decimals,
        speed_units=speed_units(setup),
        notes=tuple(
            "; ".join(filter(None, (band, note)))
            for band, note in zip(_bands(result, per_speed, factor, unit), fit_notes, strict=True)
        ),
        reach=reach,
    )


@lru_cache(maxsize=4)
def _chains(bike: Bike, measured: Measurements) -> tuple[NDArray[np.int_] | None, tuple[str, ...]]:
    """Which chain goes round every pair, and a line about each; no sprocket slider changes it."""
    fronts, rears = sold(bike)
    front, rear = (each.ravel() for each in np.meshgrid(fronts, rears, indexing="ij"))
    chains = pair_chains(bike, measured, front, rear)
    # Of the fitted pair it is known that its chain goes round.
    known = np.sum(chains.verdict != UNKNOWN) > 1
    return (chains.reach if known else None), tuple(map(chain_note, chains.verdict, chains.reach))


def _bands(result: Study, per_speed: float, factor: float, unit: str) -> list[str]:
    """Where each pair's two numbers lie, for hovering."""
    pairs = result.pairs
    figures = (
        (pairs.tradeoff.speed, pairs.bands[0], per_speed, speed_units(result.setup).unit),
        (pairs.tradeoff.value, pairs.bands[1], factor, unit),
    )
    texts = [
        [
            range_alone(value * scale, band.at(pair, scale), of)
            for pair, value in enumerate(values.ravel().tolist())
        ]
        for values, band, scale, of in figures
    ]
    return [" and ".join(filter(None, both)) for both in zip(*texts, strict=True)]
