"""What stands in the way of a want that no pair meets, and what would help instead."""

from enum import StrEnum
from typing import NamedTuple


class Reason(StrEnum):
    """What stands in the way of a want."""

    DOES_NOT_FIT = "does not fit"
    """Some pair meets it, but its chain does not go on."""
    NOT_SOLD = "not sold"
    """A ratio beyond those sold for the bike would meet it."""
    POWER = "power"
    """The engine has not the power for it in any gear, however geared."""
    GRIP = "grip"
    """The rear tyre spins first."""
    BALANCE = "balance"
    """The front wheel lifts first."""
    BETWEEN = "between"
    """One pair is too tall for it and the next too short."""
    GAP = "gap"
    """The gears are too far apart for so few shifts."""
    COURSE = "course"
    """The course and the gearbox ask for more shifts, or it is not got through."""
    MONEY = "money"
    """Parts of every pair cost more."""
    TYRE = "tyre"
    """The tyre changes the engine speed, and no pair makes up for it closely enough."""


class Why(NamedTuple):
    """The reason, and for `Reason.NOT_SOLD` whether shorter gearing than any sold would help."""

    reason: Reason
    shorter: bool = False

    @property
    def cure(self) -> str:
        """What would help."""
        if self.reason is Reason.NOT_SOLD:
            return _SHORTER if self.shorter else _TALLER
        return _CURES[self.reason]


_SHORTER = (
    "It would take shorter gearing than any sold here: another gearbox or primary drive with a "
    "lower gear there, or the clutch used with skill."
)
_TALLER = (
    "It would take taller gearing than any sold here: another gearbox or primary drive with a "
    "taller gear there, or a slower pace."
)
_CURES = {
    Reason.BETWEEN: (
        "It falls between the pairs sold: one is too tall for it and the next too short. A "
        "sprocket that is not sold here, a gearbox with other steps or a wider power band may meet "
        "it; so may another speed there, or the clutch."
    ),
    Reason.POWER: (
        "Gearing does not help: however geared, the engine has not the power for it there. More "
        "power, less drag or, uphill, less mass would; taller gearing would not."
    ),
    Reason.GRIP: (
        "Gearing does not help: the rear tyre spins first. Tyre, pressure, line, weight over the "
        "rear wheel and speed carried into it would."
    ),
    Reason.BALANCE: (
        "Gearing does not help: the front wheel lifts first. Body further forward, a gentler "
        "throttle, another line or speed carried into it would."
    ),
    Reason.GAP: (
        "No sprocket does that: it moves all gears alike and closes no gap. A gearbox with wider "
        "gears or a wider power band would; one shift more, or a faster corner, does too."
    ),
    Reason.COURSE: (
        "The speeds of the course ask for those shifts. Fewer come from a gearbox with wider "
        "gears, more power low down, or from riding it less hard."
    ),
    Reason.MONEY: (
        "Only riding on with what is on the bike now costs nothing; a used sprocket or fewer new "
        "parts would cost less."
    ),
    Reason.TYRE: (
        "The chosen tyre changes the engine speed there, and no pair sold makes up for it so "
        "closely; a tyre nearer to the roll-out ridden until now would."
    ),
}
