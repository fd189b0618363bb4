"""Walking pace in first gear without slipping the clutch."""

from dataclasses import dataclass

import numpy as np

from explorer import units
from explorer.records.bikes.quantity import Quantity
from explorer.study.wants.want import GroundWant, Measured, speed_ask, verdict


@dataclass(frozen=True, kw_only=True)
class SlowestClutchOut(GroundWant):
    """Slowest speed in first gear with the clutch out, at most so much."""

    kind, place = "clutch-out", 1
    label = "Walk it in first, clutch out"
    help = "Speed in first gear with the clutch fully out and the engine at 1.2 times idle speed."
    margin_kind = "speed"
    asks = (
        speed_ask(
            "speed", "at most", "Walk the slowest place over 20 m with a stopwatch.", "6 km/h"
        ),
    )

    speed: Quantity

    def tolerance(self, limiter):
        return 0.1 * self.speed.si

    def measure(self, scene):
        slowest = np.broadcast_to(scene.clutch_out[:, 0], (scene.drive.cases,))
        return Measured(slowest, self.speed.si - slowest, 0)

    def value_words(self, value, gear, limit, system):
        return f"walks at {self.amount_words(value, system)} in 1st with the clutch out"

    def on_ride(self, ride):
        cells = (
            verdict(each <= self.speed.si, units.text(each, "speed", ride.setup.units))
            for each in ride.slowest_clutch_out
        )
        return (f"{self.label}: at most {self.speed.text}", *cells)
