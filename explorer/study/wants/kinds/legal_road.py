"""The legal speed of a road, in comfort."""

from dataclasses import dataclass

import numpy as np

from explorer.calc.wants.want_measures import cruise_engine_speed
from explorer.records.bikes.quantity import Quantity
from explorer.study.wants.want import Measured, SteadyRevs


@dataclass(frozen=True, kw_only=True)
class LegalRoadSpeed(SteadyRevs):
    """Ride a road at the legal speed with room to the limiter and calm revs."""

    kind = "legal-road"
    on_road = True

    speed: Quantity
    engine_speed: Quantity
    reserve: Quantity

    def measure(self, scene):
        cruise = cruise_engine_speed(scene.drive, self.speed.si)
        roomy = scene.limiter * (1 - self.reserve.si)
        margin = np.minimum(self.engine_speed.si, roomy) - cruise.value
        return Measured(cruise.value, margin, cruise.gear)
