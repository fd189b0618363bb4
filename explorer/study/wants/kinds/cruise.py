"""A cruise at calm revs."""

from dataclasses import dataclass

from explorer import units
from explorer.calc.wants.want_measures import cruise_engine_speed
from explorer.records.bikes.quantity import Quantity
from explorer.study.wants.want import Measured, SteadyRevs, revs_ask, speed_ask, verdict


@dataclass(frozen=True, kw_only=True)
class CruiseBelow(SteadyRevs):
    """Cruise at a speed with the engine below a speed of its own."""

    kind, place = "cruise", 4
    label = "Cruise at calm revs"
    help = "Engine speed at this road speed, in the highest gear that holds it."
    asks = (
        speed_ask("speed", "cruise speed", "The steady speed of your longest stretch.", "70 km/h"),
        revs_ask("7000 rpm"),
    )

    speed: Quantity
    engine_speed: Quantity

    def measure(self, scene):
        cruise = cruise_engine_speed(scene.drive, self.speed.si)
        return Measured(cruise.value, self.engine_speed.si - cruise.value, cruise.gear)

    def on_ride(self, ride):
        revs = self.speed.si * ride.quotient[:, -1]
        cells = (
            verdict(
                each <= self.engine_speed.si, units.text(each, "engine speed", ride.setup.units)
            )
            for each in revs
        )
        asked = f"{self.speed.text} at {self.engine_speed.text} or less, in top gear"
        return (f"{self.label}: {asked}", *cells)
