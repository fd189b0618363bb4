"""The rider of a course: how hard it is ridden, and how dear a change of gear is."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple


class CourseRider(NamedTuple):
    """How a course is ridden.

    Attributes:
        effort (float, above 0 to 1): Share used of the acceleration and braking that engine, grip
            and balance allow; where full throttle only just keeps the speed, it is used [-].
        shift_price (float, non-negative): What a change of gear costs the rider beside its time; it
            is made if it would still pay off taking so much longer [s].
    """

    effort: float
    shift_price: float


FLAT_OUT = CourseRider(1.0, 0.0)

RIDERS: Mapping[str, CourseRider] = MappingProxyType(
    {"easy": CourseRider(0.5, 0.5), "brisk": CourseRider(0.75, 0.25), "race": FLAT_OUT}
)
"""Ready riders; their figures are our own choice, measured on nobody."""
