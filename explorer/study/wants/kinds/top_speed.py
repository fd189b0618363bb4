"""A real top speed."""

from dataclasses import dataclass

import numpy as np

from explorer import units
from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.bikes.quantity import Quantity
from explorer.study.wants.want import NO_LIMIT, GroundWant, Measured, in_gear, speed_ask, verdict
from explorer.study.wording import LIMIT_WORDS


@dataclass(frozen=True, kw_only=True)
class TopSpeedAtLeast(GroundWant):
    """A real top speed, whatever limit binds."""

    kind, place = "top-speed", 5
    label = "Top speed"
    help = "Highest steady speed, limited by the rev limit or by power, whichever comes first."
    margin_kind = "speed"
    asks = (
        speed_ask("speed", "at least", "The fastest you need, level and in still air.", "80 km/h"),
    )

    speed: Quantity

    def tolerance(self, limiter):
        return 0.05 * self.speed.si

    def measure(self, scene):
        top = scene.top
        return Measured(top.speed, top.speed - self.speed.si, top.gear, top.limit)

    def why_not(self, unmet):
        return unmet.of_speed(lambda scene: self.measure(scene).margin)

    def value_words(self, value, gear, limit, system):
        if limit == Limit.CANNOT_HOLD:
            return "no gear holds a steady speed"
        why = "" if limit == NO_LIMIT else f", limited by {LIMIT_WORDS[Limit(limit)]}"
        return f"{self.amount_words(value, system)}{in_gear(gear)}{why}"

    def on_ride(self, ride):
        """The gearing ridden is judged by the ride, the other only by its rev limit."""
        cells = []
        for index, geared in enumerate(ride.bike.engine.rev_limit.si / ride.quotient[:, -1]):
            limit = units.text(float(geared), "speed", ride.setup.units)
            if index == ride.ridden and ride.top is not None:
                held = ride.top.both_ways if np.isfinite(ride.top.both_ways) else ride.top.speed
                said = f"{units.text(held, 'speed', ride.setup.units)} held"
                # A ride that did not try says nothing against the gearing.
                cells.append(
                    verdict(True, f"{said} on this ride")
                    if held >= self.speed.si
                    else f"not reached on this ride: {said}"
                )
            elif geared < self.speed.si:
                cells.append(verdict(False, f"rev limit at {limit}"))
            else:
                cells.append(f"open: rev limit at {limit}, not ridden")
        return (f"{self.label}: at least {self.speed.text}", *cells)
