"""Gears and limits as every page says them."""

from explorer.calc.drivetrain.top_speed import Limit

LIMIT_WORDS = {
    Limit.REV_LIMIT: "the rev limit",
    Limit.POWER: "power against drag, slope and surface",
    Limit.GRIP: "the grip of the rear tyre",
    Limit.FRONT_WHEEL_LIFT: "the front wheel lifting",
    Limit.CANNOT_HOLD: "no gear holding any steady speed",
}

SHORT_LIMITS = {
    Limit.REV_LIMIT: "rev limit",
    Limit.POWER: "power",
    Limit.GRIP: "grip",
    Limit.FRONT_WHEEL_LIFT: "front wheel lift",
    Limit.CANNOT_HOLD: "no steady speed",
}


def ordinal(gear: int) -> str:
    """A gear as a rider says it.

    >>> [ordinal(gear) for gear in (1, 2, 3, 4)]
    ['1st', '2nd', '3rd', '4th']
    """
    return f"{gear}{({1: 'st', 2: 'nd', 3: 'rd'}).get(gear, 'th')}"
