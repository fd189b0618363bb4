"""The table of named figures at the top of the gearing page: fitted, chosen and signed change."""

import numpy as np

from explorer import units
from explorer.app import gearing_views
from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.certainty import signed_percent, with_band
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.gearing.words import top_speed_with_band


def rows(result: Study) -> list[tuple[str, str, str, str]]:
    """Named figures: fitted, chosen and signed change."""
    system, setup = result.setup.units, result.setup
    factor, unit, _ = gearing_views.measure_scale(setup)

    def speed(value: float) -> str:
        return units.text(float(value), "speed", system)

    def measured(index: int) -> str:
        value, sure = result.measure[index], result.sure.value.band.at(index, factor)
        return "not reached" if np.isnan(value) else with_band(value * factor, sure, unit)

    def share(values: np.ndarray) -> str:
        usable = np.all(np.isfinite(values)) and values[FITTED] > 0
        return signed_percent(values[CHOSEN] / values[FITTED] - 1) if usable else "–"

    first_pull = result.pull[:, 0].max(axis=1)
    limiter = (result.drive.limiter_speed * result.drive.radius / result.drive.overall)[:, -1, 0]
    force = units.display(1.0, "force", system)
    return [
        ("Final drive ratio", *(f"{ratio:.2f}" for ratio in result.ratios), share(result.ratios)),
        (
            "Largest pull in 1st",
            *(f"{float(f'{pull * force[0]:.3g}'):.0f} {force[1]}" for pull in first_pull),
            share(first_pull),
        ),
        (
            "Geared speed in top at the rev limit",
            *(speed(value) for value in limiter),
            share(limiter),
        ),
        (
            "Top speed",
            *(top_speed_with_band(result, index) for index in (FITTED, CHOSEN)),
            # The 0 of a gearing that holds no steady speed is not a speed to compare with.
            share(np.where(result.top.limit == Limit.CANNOT_HOLD, np.nan, result.top.speed)),
        ),
        (
            gearing_views.measure_name(setup),
            measured(FITTED),
            measured(CHOSEN),
            share(result.measure),
        ),
    ]
