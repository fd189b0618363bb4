"""The gear table: what each gear does with the chosen gearing, as a table to see and to keep."""

import numpy as np
import pandas as pd
from markupsafe import Markup

from explorer import units
from explorer.study.certainty import level
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wording import SHORT_LIMITS
from explorer.units import RPM


def gear_table(result: Study) -> pd.DataFrame:
    """Speeds of every gear of the chosen gearing, and rpm at the cruise speed.

    Returns: One row for each gear; units in the column names, nothing rounded.
    """
    return pd.DataFrame(_columns(result, CHOSEN))


def _columns(result: Study, index: int) -> dict[str, np.ndarray | list[str]]:
    system, drive = result.setup.units, result.drive
    per_radian = (drive.radius / drive.overall)[index, :, 0]
    _, speed_unit = units.display(1.0, "speed", system)
    _, force_unit = units.display(1.0, "force", system)

    def speed_at(engine_speed: float) -> np.ndarray:
        return units.display(per_radian * engine_speed, "speed", system)[0]

    cruise = units.text(result.setup.cruise_speed, "speed", system)
    return {
        "gear": np.arange(1, drive.gears + 1),
        "overall ratio": drive.overall[index, :, 0],
        f"at idle [{speed_unit}]": speed_at(drive.idle_speed.item()),
        f"at peak torque [{speed_unit}]": speed_at(result.peak_torque.engine_speed),
        f"at peak power [{speed_unit}]": speed_at(result.peak_power.engine_speed),
        f"at the rev limit [{speed_unit}]": speed_at(drive.limiter_speed.item()),
        f"top speed [{speed_unit}]": units.display(result.top.by_gear[index], "speed", system)[0],
        "limited by": [SHORT_LIMITS[limit] for limit in result.top.limit_by_gear[index]],
        f"largest pull [{force_unit}]": units.display(
            result.pull[index].max(axis=1), "force", system
        )[0],
        "steepest slope [%]": np.tan(result.steepest_slope[index]) * 100,
        f"at {cruise} [rpm]": result.setup.cruise_speed / per_radian / RPM,
    }


def as_html(result: Study) -> Markup:
    """The table as the page shows it: rounded to what its inputs carry, rpm over the limit marked.

    Top speed and slope have as many digits as on the other pages: as their bands leave them.
    """
    limiter_rpm = result.drive.limiter_speed.item() / RPM
    table = gear_table(result)
    for figure, kind, column in (("held", "speed", "top speed"), ("steepest", "slope", "steepest")):
        [name] = [each for each in table.columns if each.startswith(column)]
        factor, _ = units.display(1.0, kind, result.setup.units)
        table[name] = [
            level(result.in_gear(figure, gear), CHOSEN, (factor, ""), alone=True).strip()
            for gear in range(result.drive.gears)
        ]

    def rounded(column: str):
        if column == "overall ratio":
            return "{:.2f}".format
        if column.endswith("[rpm]"):
            return lambda rpm: "over the limit" if rpm > limiter_rpm else f"{round(rpm, -1):.0f}"
        if column == "limited by" or column.startswith(("top speed", "steepest")):
            return str
        if column.startswith("largest pull"):
            return lambda force: f"{float(f'{force:.3g}'):.0f}"
        return lambda value: f"{round(value) + 0:.0f}" if np.isfinite(value) else f"{value:.0f}"

    html = table.to_html(
        index=False,
        border=0,
        classes="ge-gears",
        formatters={column: rounded(column) for column in table.columns},
    )
    return Markup(html)


def as_csv(result: Study) -> str:
    """Both gearings in one file, four significant digits, with what they were computed for."""
    sprockets, setup = result.bike.sprockets, result.setup
    parts = []
    for name, index, teeth in (("fitted", FITTED, sprockets), ("chosen", CHOSEN, setup)):
        columns = _columns(result, index)
        said = {"gearing": name, "front [teeth]": teeth.front, "rear [teeth]": teeth.rear}
        parts.append({key: np.repeat(value, result.drive.gears) for key, value in said.items()})
        parts[-1] |= columns
    joined = {key: np.concatenate([part[key] for part in parts]) for key in parts[0]}
    return pd.DataFrame(joined).to_csv(index=False, float_format=_four_digits)


def _four_digits(value: float) -> str:
    """Never in powers of ten, which not every spreadsheet reads."""
    return f"{float(f'{value:.4g}'):.10g}"
