"""Few gear changes over a course."""

import math
from dataclasses import dataclass

from explorer.records.riding.want_values import Ask
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.want import GroundWant, Measured


@dataclass(frozen=True, kw_only=True)
class FewShifts(GroundWant):
    """Few gear changes over a course."""

    kind, place = "few-shifts", 7
    label = "Few shifts over a course"
    help = "Gears changed up and down over the course, ridden at ease."
    margin_kind = "count"
    # A course brings its own ground, so that all courses share one scene.
    on_road = True
    asks = (
        Ask("course", "course", "One of the demo courses.", "course", "woods-loop"),
        Ask("shifts", "shifts at most", "Up and down together.", "count", "10", (0, 500)),
    )

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
