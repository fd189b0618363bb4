"""How sure the numbers of a page are: the spreads of its inputs, and bands in words.

The fitted and the chosen gearing are the same motorcycle on the same ground: what is uncertain
about it moves both alike, so their difference is much surer than either level.
"""

import math
from collections.abc import Sequence

import numpy as np

from explorer import units
from explorer.calc.statistics.sampling import Band, Change
from explorer.calc.statistics.spreads import (
    DRIVE_SPREADS,
    USUAL_SPREADS,
    Spread,
    rollout_spreads,
    surface_spreads,
)
from explorer.calc.statistics.uncertainty import COVERAGE
from explorer.records.ground.surfaces import Surface
from explorer.records.setups.comparison import Fitment
from explorer.records.tyre import parse_size

BAND_IN_WORDS = (
    "± is about 95 %: mass, drag, power, losses, roll-out, ground, rider's place, shift time and "
    "clutch vary together within their bounds"
)

_MOST_DECIMALS = 2
"""Hundredths of a second, of a km/h or of a newton are the finest that any reader can use."""

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


def spreads_of(fitments: Sequence[Fitment], ground: Surface) -> tuple[Spread, ...]:
    """Spreads of every input that is uncertain for set-ups on one ground [SI]."""
    return (
        *USUAL_SPREADS,
        *DRIVE_SPREADS,
        *surface_spreads(
            (ground.rolling_low, ground.rolling_typical, ground.rolling_high),
            (ground.grip_low, ground.grip_typical, ground.grip_high),
        ),
        *_tyre_spreads(fitments),
    )


def shared_spreads(fitments: Sequence[Fitment]) -> tuple[Spread, ...]:
    """The same where the ground is taken as it stands [SI]."""
    return (*USUAL_SPREADS, *DRIVE_SPREADS, *_tyre_spreads(fitments))


def _tyre_spreads(fitments: Sequence[Fitment]) -> tuple[Spread, ...]:
    """One roll-out for each different tyre: the same tyre errs alike on every set-up."""
    tyres = [(parse_size(each.tyre).text, each.rollout) for each in fitments]
    return rollout_spreads(
        np.array([each.rollout is not None for each in fitments]),
        np.array([tyres.index(each) for each in tyres]),
    )


def signed_percent(share: float) -> str:
    """A relative change with its sign, such as "+8.3 %".

    >>> signed_percent(-0.0312), signed_percent(-1e-6)
    ('−3.1 %', '+0.0 %')
    """
    return f"{round(share * 100, 1) + 0.0:+.1f} %".replace("-", "−")


def with_band(value: float, sure: Band | float, unit: str) -> str:
    """A result with its band, no more digits than the band leaves standing.

    Args:
        value: The result [unit].
        sure: Its 95 % interval, or its standard uncertainty; NaN if unknown [unit].

    Returns: Such as "92 ± 4 km/h", or "92 +2/−5 km/h" where one side is clearly longer.

    >>> with_band(92.37, Band(5.2, 1.8), "km/h")
    '92 +2/−5 km/h'
    >>> with_band(92.37, 1.9, "km/h"), with_band(7.314, 0.081, "s"), with_band(-1e-9, 1e-9, "s")
    ('92 ± 4 km/h', '7.31 ± 0.16 s', '0.00 ± 0.01 s')
    """
    both = _both_sides(sure)
    band = max(both)
    if not math.isfinite(band) or band <= 0:
        return f"{value:.3g} {unit}"
    if min(both) > 0.8 * band:  # nearly alike: the longer stands for both
        both = band, band
    # One digit of the band, two if it begins with a 1: GUM 7.2.6 asks for at most two.
    digits = -math.floor(math.log10(band))
    digits += 1 if band * 10**digits < 2 else 0
    digits = min(digits, _MOST_DECIMALS)
    decimals = max(digits, 0)
    # No number is surer than the last digit that is printed.
    below, above = (f"{max(round(each, digits), 10.0**-digits):.{decimals}f}" for each in both)
    # Adding zero turns a rounded "-0.0" into "0.0".
    said = f"{round(value, digits) + 0.0:.{decimals}f}"
    return f"{said} ± {above} {unit}" if below == above else f"{said} +{above}/−{below} {unit}"


def level_alone(value: float, sure: Band, unit: str) -> str:
    """A result beside its difference, which has the band: as many digits as with its own.

    >>> level_alone(92.37, Band(5.2, 1.8), "km/h")
    '92 km/h'
    """
    return f"{with_band(value, sure, '').split()[0]} {unit}"


def band_alone(sure: Band, unit: str) -> str:
    """A band without its value, as it is printed beside it; empty where there is none.

    >>> band_alone(Band(5.2, 1.8), "km/h"), band_alone(Band(40.0, 40.0), "N")
    ('+2/−5 km/h', '±40 N')
    """
    if not 0 < max(sure) < math.inf:
        return ""
    return with_band(0.0, sure, unit).split(" ", 1)[1].replace("± ", "±")


def _both_sides(sure: Band | float) -> tuple[float, float]:
    if isinstance(sure, Band):
        return float(sure.below), float(sure.above)
    return (COVERAGE * sure,) * 2


def is_real(value: float, band: Band) -> bool:
    """Whether a difference is larger than the spread of the inputs explains.

    >>> is_real(0.4, Band(0.3, 0.9)), is_real(-0.4, Band(0.3, 0.9))
    (True, False)
    """
    return value - band.below > 0 or value + band.above < 0


def is_nothing(value: float, sure: Band | float) -> bool:
    """Whether a difference and what is unsure about it are both below the finest digit printed.

    >>> is_nothing(0.004, 0.001), is_nothing(0.004, 0.3), is_nothing(0.02, 0.0)
    (True, False, False)
    """
    return max(abs(value), *_both_sides(sure)) < 0.5 * 10**-_MOST_DECIMALS


def signed_band(value: float, sure: Band | float, unit: str) -> str:
    """A difference with its band and, unless it is printed as zero, its sign.

    >>> signed_band(3.21, 0.4, "km/h"), signed_band(-3.21, 0.4, "km/h"), signed_band(0.01, 0.1, "s")
    ('+3.2 ± 0.8 km/h', '−3.2 ± 0.8 km/h', '0.0 ± 0.2 s')
    """
    said = with_band(value, sure, unit).replace("-", "−")
    grows = value > 0 and float(said.split(" ")[0]) != 0
    return f"+{said}" if grows else said


def change_with_band(change: Change, factor: float, unit: str) -> str:
    """A difference in another unit, with its own band; empty where one of the two is not reached.

    >>> change_with_band(Change(1.0, Band(0.1, 0.1)), 3.6, "km/h")
    '+3.6 ± 0.4 km/h'
    """
    value, sure = change.value * factor, change.band.times(factor)
    if not math.isfinite(value):
        return ""
    return "no difference" if is_nothing(value, sure) else signed_band(value, sure, unit)


def difference_sentence(
    name: str, change: Change, kind: str, system: str, hangs_on: str = ""
) -> str:
    """Whether a difference between chosen and fitted is larger than what is unsure about it, and
    what it hangs on if not on the gearing alone."""
    said = change_with_band(change, *units.display(1.0, kind, system))
    if not said:
        return f"{name}: one of the two does not reach it."
    if said == "no difference":
        return f"{name}: no difference."
    hangs_on = f", with {hangs_on}" if hangs_on else ""
    if not is_real(*change):
        return f"{name}: no real change ({said}{hangs_on})."
    return f"{name}: {said} against fitted{hangs_on}."
