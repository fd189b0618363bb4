"""What a set-up of a study changes against the fitted one, and which pairs would do better."""

from typing import NamedTuple

import numpy as np

from explorer.calc import gearing
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.drivetrain.tradeoff import NOTICED_SPEED
from explorer.calc.vehicle import FloatArray
from explorer.study.study import CHOSEN, FITTED, Study

SAME = 0.0005
"""Two ratios, or two speeds, closer than this read as equal: 0.05 %."""

_AS_FAST = 0.005
"""Among top speeds this near the one that needs the smallest change is named."""

_ROUNDING = 1e-9
"""Differences below this share are the rounding of the computation, not a difference."""


def shortness(study: Study) -> FloatArray:
    """Final drive ratio over roll-out of each set-up; larger is shorter [1/m]."""
    return study.ratios / study.lengths


def pull_change(study: Study, index: int = CHOSEN) -> float:
    """Pull of the engine in every gear over that of the fitted set-up, less 1 [-]."""
    short = shortness(study)
    return float(gearing.pull_change(short[FITTED], short[index]))


def speed_change(study: Study, index: int = CHOSEN) -> float:
    """Road speed at the same engine speed over that of the fitted set-up, less 1 [-]."""
    short = shortness(study)
    return float(gearing.speed_change(short[FITTED], short[index]))


def same_gearing(study: Study) -> bool:
    """Whether the chosen set-up is geared as the fitted one."""
    return abs(pull_change(study, CHOSEN)) < SAME


def holds(study: Study, index: int) -> bool:
    """Whether some gear holds a steady speed; if none does, the top speed of 0 is not a speed."""
    return Limit(int(study.top.limit[index])) is not Limit.CANNOT_HOLD


def held_back(study: Study) -> FloatArray:
    """Where grip or balance allow less than the engine has, shape of `Study.pull`."""
    return study.engine_pull > study.pull * (1 + _ROUNDING)


def front_wheel_first(study: Study) -> bool:
    """Whether the front wheel lifts before the rear tyre spins."""
    drive = study.drive
    return bool(np.ravel(drive.wheelie_thrust)[0] < np.ravel(drive.grip_thrust)[0])


def noticeably_faster(speed: FloatArray | float, than: float) -> FloatArray | bool:
    """Whether a top speed is so much higher than another that a rider could notice it.

    A bike that is out of power past its power peak does go faster with taller gearing, so what
    taller gearing does is read off the computed speeds and never off the limit alone.

    >>> noticeably_faster(36.0, 35.0), noticeably_faster(35.4, 35.0)
    (True, False)
    """
    return speed > than * (1 + NOTICED_SPEED)


class Taller(NamedTuple):
    """What taller gearing than chosen does for a bike that ends at its power.

    Attributes:
        sold: Whether any is.
        speed: Top speed with the fastest of it [m/s].
        front, rear: Teeth of that pair; of equally fast ones the least tall, then the nearest.
        past_peak: Whether the engine turns past its power peak with the chosen gearing.
    """

    sold: bool
    speed: float = 0.0
    front: int = 0
    rear: int = 0
    past_peak: bool = False


def taller_than_chosen(study: Study) -> Taller:
    """Read off what each sold pair reaches: at or below the power peak it gains nothing; past the
    peak the engine turns slower at the same speed and gives more."""
    setup, top, pairs = study.setup, study.top, study.pairs.tradeoff
    taller = study.pairs.ratios < study.ratios[CHOSEN]
    if not taller.any():
        return Taller(False)
    speed = np.where(taller, pairs.top_speed, 0.0)
    fastest = float(speed.max())
    as_fast = speed >= fastest * (1 - _AS_FAST)
    front, rear = min(
        zip(pairs.front[as_fast].tolist(), pairs.rear[as_fast].tolist(), strict=True),
        key=lambda pair: (
            abs(pair[0] - setup.front) + abs(pair[1] - setup.rear),
            -pair[1] / pair[0],
        ),
    )
    per_speed = (study.drive.overall / study.drive.radius)[CHOSEN, top.gear[CHOSEN], 0]
    past = bool(top.speed[CHOSEN] * per_speed > study.peak_power.engine_speed)
    return Taller(True, fastest, front, rear, past)
