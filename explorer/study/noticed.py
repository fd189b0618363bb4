"""What a rider notices, and what nobody does."""

from explorer.calc.drivetrain.tradeoff import NOTICED_SPEED
from explorer.calc.vehicle import FloatArray


def noticeably_faster(speed: FloatArray | float, than: float) -> FloatArray | bool:
    """Whether a top speed is so much higher than another that a rider could notice it.

    A bike that is out of power past its power peak does go faster with taller gearing, so what
    taller gearing does is read off the computed speeds and never off the limit alone.

    Args:
        speed: Top speed; 0 where no gear holds a steady speed [m/s].
        than: The other top speed [m/s].

    Returns: True where it is higher by more than `NOTICED_SPEED`.

    >>> noticeably_faster(36.0, 35.0), noticeably_faster(35.4, 35.0)
    (True, False)
    """
    return speed > than * (1 + NOTICED_SPEED)
