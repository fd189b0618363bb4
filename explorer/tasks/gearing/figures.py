"""The table of named figures at the top of the gearing page: fitted, chosen and signed change."""

import numpy as np

from explorer import units
from explorer.app import gearing_views
from explorer.study import compared
from explorer.study.certainty import change_with_band, level, signed_percent
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.gearing.words import top_speed_change, top_speed_with_band


def rows(result: Study) -> list[tuple[str, str, str, str]]:
    """Named figures: fitted, chosen and signed change."""
    system, setup = result.setup.units, result.setup
    factor, unit, _ = gearing_views.measure_scale(setup)
    same = compared.same_gearing(result)
    change = "" if same else change_with_band(result.change("measure"), factor, unit)

    def speed(value: float) -> str:
        return units.text(float(value), "speed", system)

    def measured(index: int) -> str:
        alone, figure = index == CHOSEN and bool(change), result.estimate("measure")
        reached = not np.isnan(figure.value[index])
        return level(figure, index, (factor, unit), alone) if reached else "not reached"

    def share(values: np.ndarray) -> str:
        usable = np.all(np.isfinite(values)) and values[FITTED] > 0
        return signed_percent(values[CHOSEN] / values[FITTED] - 1) if usable else "–"

    first_pull = result.pull[:, 0].max(axis=1)
    limiter = result.limiter_speeds[:, -1]
    force = units.display(1.0, "force", system)
    return [
        ("Final drive ratio", *(f"{ratio:.2f}" for ratio in result.ratios), share(result.ratios)),
        (
            "Largest pull in 1st",
            *(f"{float(f'{pull * force[0]:.3g}'):.0f} {force[1]}" for pull in first_pull),
            "–" if same else change_with_band(result.change("pull"), *force),
        ),
        ("Geared speed in top at the rev limit", *map(speed, limiter), share(limiter)),
        (
            "Top speed",
            *(top_speed_with_band(result, index) for index in (FITTED, CHOSEN)),
            top_speed_change(result) or "–",
        ),
        (gearing_views.measure_name(setup), measured(FITTED), measured(CHOSEN), change or "–"),
    ]
