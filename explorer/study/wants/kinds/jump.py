"""The engine note of a jump's approach."""

from dataclasses import dataclass

import numpy as np

from explorer.calc.wants.want_measures import engine_speed_change
from explorer.records.bikes.quantity import Quantity
from explorer.records.riding.want_values import Ask
from explorer.records.setups.setup import both_rollouts
from explorer.study.certainty import signed_percent
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.want import GEARS, Measured, Want, in_gear, speed_ask


@dataclass(frozen=True, kw_only=True)
class JumpApproach(Want):
    """Keep the engine note of a jump's approach: same revs at the same speed."""

    kind, place = "jump", 12
    label = "Jump approach unchanged"
    help = "Engine speed in this gear at the approach speed, against the gearing ridden now."
    margin_kind = "ratio"
    asks = (
        speed_ask("speed", "approach speed", "GPS speed at the take-off.", "35 km/h"),
        Ask("gear", "in gear", "The gear you jump in.", "gear", "3", GEARS),
        Ask(
            "change",
            "change at most",
            "Share of the engine speed now.",
            "ratio",
            "3 %",
            ("0 %", "50 %"),
        ),
    )

    speed: Quantity
    gear: int
    change: Quantity

    def tolerance(self, limiter):
        return max(0.01, 0.5 * self.change.si)

    def measure(self, every):
        """Change of engine speed against the pair and the tyre ridden until now [-]."""
        fitted = every.bike.sprockets
        before, after = both_rollouts(every.bike, every.setup)
        change = engine_speed_change(
            every.ratio, after.value, fitted.rear / fitted.front, before.value
        )
        return Measured(change, self.change.si - np.abs(change), self.gear - 1)

    def why_not(self, unmet):
        # On the old tyre the fitted pair changes nothing.
        return Why(Reason.TYRE)

    def value_words(self, value, gear, limit, system):
        return f"engine turns {signed_percent(value)} at the same speed{in_gear(gear)}"
