"""One gear for a corner."""

from dataclasses import dataclass

from explorer.calc.wants.want_measures import room_in_band
from explorer.records.bikes.quantity import Quantity
from explorer.study.wants.want import GroundWant, Measured, in_gear, speed_ask


@dataclass(frozen=True, kw_only=True)
class CornerInOneGear(GroundWant):
    """One gear for a corner: engine in its power band at that speed, without a shift."""

    kind, place = "corner", 2
    label = "One gear for a corner"
    help = "At this speed one gear has the engine inside its power band (90 % of full power)."
    margin_kind = "engine speed"
    value_is_margin = True
    asks = (
        speed_ask("speed", "corner speed", "GPS speed where you open the throttle.", "25 km/h"),
    )

    speed: Quantity

    def tolerance(self, limiter):
        return 0.05 * limiter

    def measure(self, scene):
        room = room_in_band(scene.drive, self.speed.si, scene.engine.power_band)
        return Measured(room.value, room.value, room.gear)

    def value_words(self, value, gear, limit, system):
        where = "inside" if value >= 0 else "outside"
        return f"{self.amount_words(value, system)} {where} the power band{in_gear(gear)}"
