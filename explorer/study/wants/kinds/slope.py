"""A slope held at a steady speed."""

import math
from dataclasses import dataclass

from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.wants.want_measures import slope_held
from explorer.records.bikes.quantity import Quantity
from explorer.records.riding.want_values import ANY_GEAR, Ask
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.want import GEARS, GroundWant, Measured, in_gear
from explorer.study.wording import ordinal


@dataclass(frozen=True, kw_only=True)
class HoldSlope(GroundWant):
    """Hold a slope at a steady speed, in one gear or in any."""

    kind, place = "slope", 3
    label = "Hold a slope"
    help = "Full throttle holds a steady speed up this slope, within grip and balance."
    margin_kind = "slope"
    asks = (
        Ask(
            "slope",
            "slope",
            "Rise over run of the steepest pitch.",
            "slope",
            "20 %",
            ("0 %", "100 %"),
        ),
        Ask("gear", "in gear", 'A number, or "any".', "any gear", "any", GEARS),
    )

    slope: Quantity
    gear: int

    @property
    def words(self) -> str:
        """With what was asked for, such as "Hold a slope: 20 % in any gear"."""
        gear = "any gear" if self._gear is None else ordinal(self.gear)
        return f"{self.label}: {self.slope.text} in {gear}"

    @property
    def _gear(self) -> int | None:
        return None if self.gear == ANY_GEAR else self.gear - 1

    def tolerance(self, limiter):
        return 0.02

    def measure(self, scene):
        held = slope_held(scene.drive, self._gear)
        return Measured(held.value, held.value - self.slope.si, held.gear)

    def why_not(self, unmet):
        limit = unmet.slope_limit(self._gear)
        if limit is Limit.POWER:
            return Why(Reason.NOT_SOLD if unmet.shortest else Reason.POWER, True)
        return Why(Reason.GRIP if limit is Limit.GRIP else Reason.BALANCE)

    def value_words(self, value, gear, limit, system):
        if value < 0:
            return f"holds no climb{in_gear(gear)}"
        if math.isnan(value):
            return "no such gear"
        return f"holds {self.amount_words(value, system)}{in_gear(gear)}"
