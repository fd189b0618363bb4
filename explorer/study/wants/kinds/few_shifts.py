"""Few gear changes over a course."""

import math
from dataclasses import dataclass

from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.want import GroundWant, Measured


@dataclass(frozen=True, kw_only=True)
class FewShifts(GroundWant):
    """Few gear changes over a course."""

    kind = "few-shifts"
    margin_kind = "count"
    # A course brings its own ground, so that all courses share one scene.
    on_road = True

    course: str
    shifts: int

    def tolerance(self, limiter):
        return max(1.0, 0.1 * self.shifts)

    def measure(self, scene):
        shifts = scene.shifts_over(self.course)
        return Measured(shifts, self.shifts - shifts)

    def why_not(self, unmet):
        return Why(Reason.COURSE)

    def amount_words(self, value, system):
        return f"{abs(value):.0f} shift{'' if round(abs(value)) == 1 else 's'}"

    def value_words(self, value, gear, limit, system):
        return (
            "does not get through the course"
            if math.isnan(value)
            else self.amount_words(value, system)
        )
