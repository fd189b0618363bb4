"""The legal speed of a road, in comfort."""

from dataclasses import dataclass

import numpy as np

from explorer.calc.wants.want_measures import cruise_engine_speed
from explorer.records.bikes.quantity import Quantity
from explorer.records.riding.want_values import Ask
from explorer.study.wants.want import Measured, SteadyRevs, revs_ask, speed_ask


@dataclass(frozen=True, kw_only=True)
class LegalRoadSpeed(SteadyRevs):
    """Ride a road at the legal speed with room to the limiter and calm revs."""

    kind, place = "legal-road", 11
    label = "Comfort at the legal road speed"
    help = (
        "On dry asphalt, in the highest gear that holds the legal speed: engine below your own "
        "limit and well below the rev limit."
    )
    on_road = True
    asks = (
        speed_ask("speed", "legal speed", "Local law and the signs say it.", "80 km/h"),
        revs_ask("8000 rpm"),
        Ask(
            "reserve",
            "room to the rev limit",
            "Share of the rev limit left.",
            "ratio",
            "10 %",
            ("0 %", "60 %"),
        ),
    )

    speed: Quantity
    engine_speed: Quantity
    reserve: Quantity

    def measure(self, scene):
        cruise = cruise_engine_speed(scene.drive, self.speed.si)
        roomy = scene.limiter * (1 - self.reserve.si)
        margin = np.minimum(self.engine_speed.si, roomy) - cruise.value
        return Measured(cruise.value, margin, cruise.gear)
