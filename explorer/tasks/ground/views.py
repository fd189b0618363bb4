"""From one result to what each chart of the ground page shows, in the reader's units."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import speed_units
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.statistics.sampling import Band
from explorer.calc.vehicle import FloatArray
from explorer.charts.gearing.limits_chart import ENGINE, FRONT_WHEEL, GRIP, LimitsView, Stretch
from explorer.charts.gearing.sensitivity_chart import SensitivityView
from explorer.charts.gearing.target_chart import TargetView
from explorer.study.certainty import INPUT_NAMES, band_alone
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.ground.words import goal_name

_LIMITS = {Limit.POWER: ENGINE, Limit.GRIP: GRIP, Limit.FRONT_WHEEL_LIFT: FRONT_WHEEL}


def limits_view(result: Study) -> LimitsView:
    """What binds in each gear of both gearings."""
    per_speed, _ = units.display(1.0, "speed", result.setup.units)
    rows = result.stretches

    def stretches_of(index: int) -> tuple[Stretch, ...]:
        return tuple(
            Stretch(
                int(rows.gear[row]) + 1,
                float(rows.start[row]) * per_speed,
                float(rows.end[row]) * per_speed,
                _LIMITS[Limit(int(rows.limit[row]))],
            )
            for row in np.flatnonzero(rows.case == index)
        )

    return LimitsView(
        chosen=stretches_of(CHOSEN),
        fitted=stretches_of(FITTED),
        chosen_pair=result.fitments[CHOSEN].pair,
        fitted_pair=result.fitments[FITTED].pair,
        gears=result.drive.gears,
        speed_units=speed_units(result.setup),
    )


def target_view(result: Study) -> TargetView:
    """Time to speeds about the one to reach, chosen less fitted."""
    speeds, curve = result.over_target
    per_speed, _ = units.display(1.0, "speed", result.setup.units)
    return TargetView(
        speed=speeds * per_speed,
        difference=curve.time[CHOSEN] - curve.time[FITTED],
        changes=curve.changes[CHOSEN] - curve.changes[FITTED],
        target=result.setup.target_speed * per_speed,
        pair=result.fitments[CHOSEN].pair,
        fitted_pair=result.fitments[FITTED].pair,
        speed_units=speed_units(result.setup),
    )


def sensitivity_view(result: Study) -> SensitivityView:
    """How much each input makes the time to the goal unsure, and the difference; of the top speed
    where the goal is not reached."""
    by_time = bool(np.all(np.isfinite(result.estimate("goal").value)))
    figure = "goal" if by_time else "top"
    factor, unit = (1.0, "s") if by_time else units.display(1.0, "speed", result.setup.units)
    level, apart = (
        np.stack(band, axis=-1)[:, CHOSEN] * factor for band in result.sensitivity(figure)
    )
    # Two tyres are two inputs of one name; a tyre that is not the chosen one adds nothing here.
    named = [_name(result, row) for row in range(len(result.spreads))]
    order = np.argsort(-np.maximum(level, apart).max(axis=1), kind="stable")

    def said(ends: FloatArray) -> tuple[str, ...]:
        return tuple(band_alone(Band(*ends[row]), unit) or f"±0 {unit}" for row in order)

    return SensitivityView(
        names=tuple(named[row] for row in order),
        level=level[order],
        difference=apart[order],
        level_said=said(level),
        difference_said=said(apart),
        quantity=goal_name(result) if by_time else "top speed",
        unit=unit,
        pair=result.fitments[CHOSEN].pair,
    )


def _name(result: Study, row: int) -> str:
    spread = result.spreads[row]
    name = INPUT_NAMES.get(spread.input, spread.input)
    if spread.input != "rollout":
        return name
    amounts = np.broadcast_to(spread.amount, 2)
    if np.all(amounts > 0):
        return name
    return f"{name}, {'fitted' if amounts[FITTED] > 0 else 'chosen'} tyre"
