"""Out of a corner with few shifts."""

from dataclasses import dataclass

from explorer.calc.wants.want_measures import room_out_of_corner, widest_speed_range
from explorer.records.bikes.quantity import Quantity
from explorer.records.errors import RecordError
from explorer.records.riding.want_values import Ask
from explorer.records.typed_text import quote
from explorer.study.engine_figures import engine_figures
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.want import GroundWant, Measured, speed_ask
from explorer.study.wording import ordinal


@dataclass(frozen=True, kw_only=True)
class ShiftOutOfCorner(GroundWant):
    """From corner speed to exit speed with at most so many shifts."""

    kind, place = "shift-out", 6
    label = "Drive out of a corner without rowing the gears"
    help = (
        "From corner to exit speed with at most so many upshifts, the engine from half of full "
        "power up to the rev limit. The gap between two gears itself is the gearbox's."
    )
    margin_kind = "engine speed"
    value_is_margin = True
    asks = (
        speed_ask("corner_speed", "from", "GPS speed where you open the throttle.", "20 km/h"),
        speed_ask("exit_speed", "to", "GPS speed where you brake again.", "40 km/h"),
        Ask("shifts", "upshifts at most", "0 for none.", "count", "1", (0, 5)),
    )

    corner_speed: Quantity
    exit_speed: Quantity
    shifts: int

    @property
    def words(self) -> str:
        """With what was asked for, such as "… the gears: 20 km/h to 40 km/h, one shift at most"."""
        shifts = {0: "no shift", 1: "one shift at most"}.get(
            self.shifts, f"{self.shifts} shifts at most"
        )
        return f"{self.label}: {self.corner_speed.text} to {self.exit_speed.text}, {shifts}"

    def check(self):
        """The exit must be the faster one."""
        if self.corner_speed.si >= self.exit_speed.si:
            raise RecordError(
                f"{self.label}: the exit speed {quote(self.exit_speed.text)} is not faster than "
                f"the corner speed {quote(self.corner_speed.text)}; raise the one or lower the "
                "other."
            )

    def tolerance(self, limiter):
        return 0.05 * limiter

    def measure(self, scene):
        speeds = self.corner_speed.si, self.exit_speed.si
        room = room_out_of_corner(scene.drive, *speeds, self.shifts, scene.engine.pulls)
        return Measured(room.value, room.value, room.gear)

    def why_not(self, unmet):
        bike = unmet.every.bike
        widest = widest_speed_range(
            bike.vehicle().gears, self.shifts, engine_figures(bike).pulls, bike.engine.rev_limit.si
        )
        if self.exit_speed.si / self.corner_speed.si > widest:
            return Why(Reason.GAP)
        return unmet.beyond_sold()

    def value_words(self, value, gear, limit, system):
        said = self.amount_words(value, system)
        return f"from {ordinal(gear + 1)}, " + (
            f"with {said} to spare" if value >= 0 else f"{said} short"
        )
