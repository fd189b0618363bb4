"""A torque curve from the one point that a rider knows: peak power or torque with its speed."""

import re
from dataclasses import dataclass

import numpy as np

from explorer import units
from explorer.records.bikes.quantity import Quantity, read_quantity
from explorer.records.bikes.torque_curve import SPEEDS, TORQUES, TorqueCurve
from explorer.records.errors import RecordError
from explorer.records.typed_text import quote, tidy
from explorer.units import RPM

PEAK_EXAMPLE = '"11 kW at 9000 rpm" or "12 N*m at 7000 rpm"'
PEAK_WHY = (
    "a common shape through your peak; away from it the real torque may be 20 % more or less, "
    "common practice, no source"
)

_POWERS = ("0.5 kW", "100 kW")
_PEAK = re.compile(
    r"(?P<amount>.{1,25}?) ?(?:@|\bat\b|/) ?(?P<speed>[0-9][0-9.,]{0,9}) ?(?P<unit>[^0-9]{0,12})"
)
_TORQUE_PEAK = 0.75
"""Engine speed of most torque over that of most power, of the assumed shape [-]."""


@dataclass(frozen=True)
class Peak:
    """Largest power or torque of an engine, and at which speed.

    Attributes:
        text: As typed, with units.
        torque, speed: Torque at that speed [N·m], and the speed.
        of_power (bool): Whether the power is largest there; else the torque.
    """

    text: str
    torque: float
    speed: Quantity
    of_power: bool


def read_peak(text: str) -> Peak:
    """Read power or torque with its unit, then "at", "@" or "/" and the speed; a bare speed is in
    rpm.

    >>> peak = read_peak("11 kW @ 9000")
    >>> peak.text, round(peak.torque, 1), peak.of_power
    ('11 kW at 9000 rpm', 11.7, True)
    """
    match = _PEAK.fullmatch(tidy(text)) if len(text) <= 40 else None
    if match is None:
        raise RecordError(
            f"{quote(text)} is not a peak; write power or torque, then its engine speed, for "
            f"example {PEAK_EXAMPLE}."
        )
    amount, typed = match["amount"], f"{match['speed']} {match['unit'].strip() or 'rpm'}"
    speed = read_quantity(typed, "engine speed", SPEEDS, '"9000 rpm"')
    said = f"{amount} at {speed.text}"
    try:
        power = units.to_si(amount, "power", _POWERS)
        return Peak(said, power / speed.si, speed, True)
    except units.UnitError as error:
        if "is a torque" not in str(error):
            raise RecordError(str(error)) from None
    torque = read_quantity(amount, "torque", TORQUES, '"12 N*m"').si
    return Peak(said, torque, speed, False)


def curve_from_peak(peak: Peak, idle: float, rev_limit: float) -> TorqueCurve:
    """A parabola through the peak, with the power largest where it was said to be.

    With x the engine speed over that of most power, torque is 3x − 2x² of that at x = 1: the one
    parabola with zero torque at rest and dP/dx = 0 at x = 1. Its largest torque, 9/8, is at 3/4.
    Below 0.3 it is not let fall, so that an engine still runs far beyond its peak.

    Args:
        idle, rev_limit: Engine speeds between which the curve must reach [rad/s].

    >>> curve = curve_from_peak(read_peak("11 kW at 9000 rpm"), 1500 * RPM, 10000 * RPM)
    >>> power = curve.speeds * curve.torques
    >>> round(float(curve.speeds[power.argmax()] / RPM)), round(float(power.max()))
    (9000, 11000)
    """
    top_power = peak.speed.si if peak.of_power else peak.speed.si / _TORQUE_PEAK
    at = 1.0 if peak.of_power else _TORQUE_PEAK
    scale = peak.torque / (3 * at - 2 * at**2)
    inside = {peak.speed.si, *np.linspace(idle, rev_limit, 18)}
    speeds = sorted({idle, rev_limit, *(each for each in inside if idle < each < rev_limit)})
    points = []
    for speed in speeds:
        x = speed / top_power
        torque = scale * max(0.3, 3 * x - 2 * x**2)
        points.append(
            (Quantity(f"{speed / RPM:.0f} rpm", speed), Quantity(f"{torque:.3g} N*m", torque))
        )
    return TorqueCurve(tuple(points))
