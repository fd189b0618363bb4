"""What stands in the way of a want that no pair meets, and what would help instead."""

from enum import StrEnum
from typing import NamedTuple

from explorer.records.prose import read_prose


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
            return _CURES["shorter" if self.shorter else "taller"]
        return _CURES[self.reason]


_CURES = read_prose("cures")
