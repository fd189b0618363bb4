"""How sure the numbers of a page are: the spreads of its inputs, and bands in words.

The fitted and the chosen gearing are the same motorcycle on the same ground: what is uncertain
about it moves both alike, so their difference is much surer than either level.
"""

import math
from collections.abc import Sequence

import numpy as np

from explorer import units
from explorer.calc.statistics.sampling import Band, Change, Sampled
from explorer.calc.statistics.spreads import (
    DRIVE_SPREADS,
    USUAL_SPREADS,
    Spread,
    rollout_spreads,
    surface_spreads,
)
from explorer.records.ground.surfaces import Surface
from explorer.records.setups.comparison import Fitment
from explorer.records.tyre import parse_size

BAND_IN_WORDS = (
    "± and a range in brackets are about 95 %: mass, drag, power, losses, roll-out, ground, "
    "rider's place, shift time and clutch vary together within their bounds"
)

NO_DIFFERENCE = "no difference"

INPUT_NAMES = {
    "mass": "mass of bike and rider",
    "drag_area": "drag area",
    "power_factor": "engine power",
    "rolling_coefficient": "rolling resistance",
    "grip": "grip",
    "rollout": "roll-out",
    "gearbox_efficiency": "losses",
    "engine_inertia": "engine inertia",
    "cg_ahead": "rider forward or back",
    "cg_height": "rider up or down",
    "shift_time": "shift time",
    "launch_speed": "clutch",
}


def spreads_of(fitments: Sequence[Fitment], ground: Surface | None = None) -> tuple[Spread, ...]:
    """Spreads of every input that is uncertain for set-ups on one ground, or on a ground that is
    taken as it stands [SI]."""
    grounds: tuple[Spread, ...] = ()
    if ground is not None:
        rolling = ground.rolling_low, ground.rolling_typical, ground.rolling_high
        grounds = surface_spreads(rolling, (ground.grip_low, ground.grip_typical, ground.grip_high))
    # One roll-out for each different tyre: the same tyre errs alike on every set-up.
    tyres = [(parse_size(each.tyre).text, each.rollout) for each in fitments]
    measured = np.array([each.rollout is not None for each in fitments])
    rollouts = rollout_spreads(measured, np.array([tyres.index(each) for each in tyres]))
    return (*USUAL_SPREADS, *DRIVE_SPREADS, *grounds, *rollouts)


def signed_percent(share: float) -> str:
    """A relative change with its sign, such as "+8.3 %".

    >>> signed_percent(-0.0312), signed_percent(-1e-6)
    ('−3.1 %', '+0.0 %')
    """
    said = units.signed(share * 100, 1)
    return f"{'+' if said == '0.0' else ''}{said} %"


def with_band(value: float, sure: Band, unit: str) -> str:
    r"""A result with its 95 % interval; see `units.with_band`.

    >>> with_band(92.37, Band(5.2, 1.8), "km/h"), with_band(-1e-9, Band(2e-9, 2e-9), "s")
    ('92 km/h (87\xa0to\xa094)', '0.00 ± 0.01 s')
    """
    return units.with_band(value, float(sure.below), float(sure.above), unit)


def level_alone(value: float, sure: Band, unit: str) -> str:
    """A result beside its difference, which has the band: as many digits as with its own.

    >>> level_alone(92.37, Band(5.2, 1.8), "km/h")
    '92 km/h'
    """
    return f"{with_band(value, sure, '').split()[0]} {unit}"


def level(figure: Sampled, index: int, scale: tuple[float, str], alone: bool = False) -> str:
    """A figure of one set-up, by its factor from SI and unit: with its band, or alone beside its
    difference."""
    factor, unit = scale
    said = level_alone if alone else with_band
    return said(float(figure.value[index]) * factor, figure.band.at(index, factor), unit)


def band_alone(sure: Band, unit: str) -> str:
    """How far one input alone moves a result up and down; empty where it does not.

    >>> band_alone(Band(5.2, 1.8), "km/h"), band_alone(Band(40.0, 40.0), "N")
    ('+2/−5 km/h', '±40 N')
    """
    if not 0 < max(sure) < math.inf:
        return ""
    low, high, digits = units.band_sides(float(sure.below), float(sure.above))
    up, down = units.rounded(high, digits), units.rounded(low, digits)
    return f"±{up} {unit}" if up == down else f"+{up}/−{down} {unit}"


def range_alone(value: float, sure: Band, unit: str) -> str:
    """Where a result lies, without the value in use; empty where there is no band.

    >>> range_alone(92.37, Band(5.2, 1.8), "km/h")
    '87 to 94 km/h'
    """
    if not (math.isfinite(value) and 0 < max(sure) < math.inf):
        return ""
    digits = units.band_decimals(float(max(sure)))
    ends = units.ends(value - sure.below, value + sure.above, digits, units.rounded)
    return f"{ends} {unit}"


def is_real(value: float, band: Band) -> bool:
    """Whether a difference is larger than the spread of the inputs explains.

    >>> is_real(0.4, Band(0.3, 0.9)), is_real(-0.4, Band(0.3, 0.9))
    (True, False)
    """
    return value - band.below > 0 or value + band.above < 0


def ends_at_zero(value: float, band: Band) -> bool:
    """Whether a difference may be nothing, yet never has the other sign, such as that of the pull
    where it hangs on the ground whether the tyre spins.

    >>> ends_at_zero(100.0, Band(100.0, 10.0)), ends_at_zero(100.0, Band(101.0, 10.0))
    (True, False)
    """
    low, high = value - band.below, value + band.above
    return min(abs(low), abs(high)) <= 1e-6 * (high - low)


def change_with_band(change: Change, factor: float, unit: str) -> str:
    """A difference in another unit, with its own band and, unless it is printed as zero, its sign;
    empty where one of the two is not reached.

    >>> change_with_band(Change(1.0, Band(0.1, 0.1)), 3.6, "km/h")
    '+3.6 ± 0.4 km/h'
    >>> change_with_band(Change(0.0, Band(11.2, 0.0)), 1.0, "km/h")
    '0 to −11 km/h'
    """
    value, sure = change.value * factor, change.band.times(factor)
    if not math.isfinite(value):
        return ""
    if max(abs(value), *sure) < 0.005:  # below the finest digit printed
        return NO_DIFFERENCE
    if ends_at_zero(value, sure):
        end = max(value - sure.below, value + sure.above, key=abs)
        return f"0 to {units.signed(end, units.band_decimals(abs(end)))} {unit}"
    return units.with_band(value, float(sure.below), float(sure.above), unit, said=units.signed)


def judged(change: Change, factor: float, unit: str) -> tuple[str, bool]:
    r"""The same, and whether it is real by its own band: every page asks here.

    >>> judged(Change(1.0, Band(2.0, 0.5)), 3.6, "km/h")
    ('+4 km/h (−4\xa0to\xa0+5)', False)
    """
    said = change_with_band(change, factor, unit)
    real = is_real(*change) or ends_at_zero(*change)
    return said, real and said not in ("", NO_DIFFERENCE)


def difference_sentence(
    name: str, change: Change, kind: str, system: str, hangs_on: str = ""
) -> str:
    """Whether a difference between chosen and fitted is larger than what is unsure about it, and
    what it hangs on if not on the gearing alone."""
    said, real = judged(change, *units.display(1.0, kind, system))
    if not said:
        return f"{name}: one of the two does not reach it."
    if said == NO_DIFFERENCE:
        return f"{name}: {said}."
    hangs_on = f", with {hangs_on}" if hangs_on else ""
    if not real:
        return f"{name}: no real change, {said}{hangs_on}."
    return f"{name}: {said} against fitted{hangs_on}."
