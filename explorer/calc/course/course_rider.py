"""The rider of a course: how hard it is ridden, and how dear a change of gear is."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import Any, NamedTuple

import numpy as np

from explorer.calc.vehicle import IDLE_FACTOR, Scalar


class CourseRider(NamedTuple):
    """How a course is ridden.

    Attributes:
        effort (float, above 0 to 1): Share used of the acceleration and braking that engine, grip
            and balance allow; where full throttle only just keeps the speed, it is used [-].
        shift_price (float, non-negative): What a change of gear costs the rider beside its time; it
            is made if it would still pay off taking so much longer [s].
        clutch (float, 0 to 1): Where the clutch slips: at 0 at 1.2 times idle, at 1 at launch speed
            [-].
    """

    effort: float
    shift_price: float
    clutch: float

    def clutch_speed(self, idle: Scalar, launch: Scalar) -> Any:
        """Engine speed while the clutch slips [rad/s].

        >>> float(RIDERS["easy"].clutch_speed(130.0, 320.0))
        197.0
        """
        slowest = IDLE_FACTOR * np.asarray(idle, float)
        return slowest + self.clutch * (launch - slowest)


FLAT_OUT = CourseRider(1.0, 0.0, 1.0)

RIDERS: Mapping[str, CourseRider] = MappingProxyType(
    {"easy": CourseRider(0.5, 0.5, 0.25), "brisk": CourseRider(0.75, 0.25, 0.6), "race": FLAT_OUT}
)
"""Ready riders; their figures are our own choice, measured on nobody. At ease the clutch of a big
single slips at 1970 rpm; 1500 to 2000 rpm are common practice (no source)."""
