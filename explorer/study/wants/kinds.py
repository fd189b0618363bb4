"""What a rider wants of the gearing, in the rider's words: each a condition that can be measured.

What a want measures is computed by :mod:`explorer.calc.wants.want_measures`.
"""

from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal

from explorer.records.bikes.quantity import Quantity
from explorer.records.errors import RecordError
from explorer.records.riding.want_values import Ask, Want
from explorer.records.typed_text import quote

_SPEEDS = ("3 km/h", "200 km/h")
_REVS = ("1000 rpm", "20000 rpm")
_GEARS = (1, 7)


def _speed(name: str, label: str, help_text: str, example: str) -> Ask:
    return Ask(name, label, help_text, "speed", example, _SPEEDS)


@dataclass(frozen=True, kw_only=True)
class SlowestClutchOut(Want):
    """Slowest speed in first gear with the clutch out, at most so much."""

    kind = "clutch-out"
    label = "Walk it in first, clutch out"
    help = "Speed in first gear with the clutch fully out and the engine at 1.2 times idle speed."
    margin_kind = "speed"
    asks = (
        _speed("speed", "at most", "Walk the slowest place over 20 m with a stopwatch.", "6 km/h"),
    )

    speed: Quantity


@dataclass(frozen=True, kw_only=True)
class CornerInOneGear(Want):
    """One gear for a corner: engine in its power band at that speed, without a shift."""

    kind = "corner"
    label = "One gear for a corner"
    help = "At this speed one gear has the engine inside its power band (90 % of full power)."
    margin_kind = "engine speed"
    asks = (_speed("speed", "corner speed", "GPS speed where you open the throttle.", "25 km/h"),)

    speed: Quantity


@dataclass(frozen=True, kw_only=True)
class HoldSlope(Want):
    """Hold a slope at a steady speed, in one gear or in any."""

    kind = "slope"
    label = "Hold a slope"
    help = "Full throttle holds a steady speed up this slope, within grip and balance."
    margin_kind = "slope"
    asks = (
        Ask(
            "slope",
            "slope",
            "Rise over run of the steepest pitch.",
            "slope",
            "20 %",
            ("0 %", "100 %"),
        ),
        Ask("gear", "in gear", 'A number, or "any".', "any gear", "any", _GEARS),
    )

    slope: Quantity
    gear: int


@dataclass(frozen=True, kw_only=True)
class CruiseBelow(Want):
    """Cruise at a speed with the engine below a speed of its own."""

    kind = "cruise"
    label = "Cruise at calm revs"
    help = "Engine speed at this road speed, in the highest gear that holds it."
    margin_kind = "engine speed"
    asks = (
        _speed("speed", "cruise speed", "The steady speed of your longest stretch.", "70 km/h"),
        Ask(
            "engine_speed",
            "engine at most",
            "Where it still runs calmly.",
            "engine speed",
            "7000 rpm",
            _REVS,
        ),
    )

    speed: Quantity
    engine_speed: Quantity


@dataclass(frozen=True, kw_only=True)
class TopSpeedAtLeast(Want):
    """A real top speed, whatever limit binds."""

    kind = "top-speed"
    label = "Top speed at least"
    help = "Highest steady speed, limited by the rev limit or by power, whichever comes first."
    margin_kind = "speed"
    asks = (
        _speed("speed", "at least", "The fastest you need, level and in still air.", "80 km/h"),
    )

    speed: Quantity


@dataclass(frozen=True, kw_only=True)
class ShiftOutOfCorner(Want):
    """From corner speed to exit speed with at most so many shifts."""

    kind = "shift-out"
    label = "Drive out of a corner without rowing the gears"
    help = (
        "From corner to exit speed with at most so many upshifts, the engine from half of full "
        "power up to the rev limit. The gap between two gears itself is the gearbox's."
    )
    margin_kind = "engine speed"
    asks = (
        _speed("corner_speed", "from", "GPS speed where you open the throttle.", "20 km/h"),
        _speed("exit_speed", "to", "GPS speed where you brake again.", "40 km/h"),
        Ask("shifts", "upshifts at most", "0 for none.", "count", "1", (0, 5)),
    )

    corner_speed: Quantity
    exit_speed: Quantity
    shifts: int

    def check(self) -> None:
        """The exit must be the faster one."""
        if self.corner_speed.si >= self.exit_speed.si:
            raise RecordError(
                f"{self.label}: the exit speed {quote(self.exit_speed.text)} is not faster than "
                f"the corner speed {quote(self.corner_speed.text)}; raise the one or lower the "
                "other."
            )


@dataclass(frozen=True, kw_only=True)
class FewShifts(Want):
    """Few gear changes over a course."""

    kind = "few-shifts"
    label = "Few shifts over a course"
    help = "Gears changed up and down over the course, ridden at full throttle."
    margin_kind = "count"
    asks = (
        Ask("course", "course", "One of the demo courses.", "course", "woods-loop"),
        Ask("shifts", "shifts at most", "Up and down together.", "count", "20", (0, 500)),
    )

    course: str
    shifts: int


@dataclass(frozen=True, kw_only=True)
class KeepChain(Want):
    """Keep the chain that is on the bike, uncut."""

    kind = "keep-chain"
    label = "Keep the chain"
    help = "The present chain, uncut, reaches within the adjuster."
    margin_kind = "length"


@dataclass(frozen=True, kw_only=True)
class SpendAtMost(Want):
    """Parts for at most so much money."""

    kind = "spend"
    label = "Spend at most"
    help = "Sum of the prices that you typed for all needed parts."
    margin_kind = "money"
    asks = (
        Ask("amount", "at most", "In the currency of your prices.", "money", "60"),
        Ask("currency", "currency", "Any label, or none.", "currency", ""),
    )

    amount: Decimal
    currency: str


@dataclass(frozen=True, kw_only=True)
class OneSprocketOnly(Want):
    """Change one sprocket at most."""

    kind = "one-sprocket"
    label = "One sprocket only"
    help = "Number of sprockets to change, one at most."
    margin_kind = "count"


@dataclass(frozen=True, kw_only=True)
class LegalRoadSpeed(Want):
    """Ride a road at the legal speed with room to the limiter and calm revs."""

    kind = "legal-road"
    label = "Comfort at the legal road speed"
    help = (
        "On dry asphalt, in the highest gear that holds the legal speed: engine below your own "
        "limit and well below the rev limit."
    )
    margin_kind = "engine speed"
    asks = (
        _speed("speed", "legal speed", "Local law and the signs say it.", "80 km/h"),
        Ask(
            "engine_speed",
            "engine at most",
            "Where it still runs calmly.",
            "engine speed",
            "8000 rpm",
            _REVS,
        ),
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


@dataclass(frozen=True, kw_only=True)
class JumpApproach(Want):
    """Keep the engine note of a jump's approach: same revs at the same speed."""

    kind = "jump"
    label = "Jump approach unchanged"
    help = "Engine speed in this gear at the approach speed, against the gearing ridden now."
    margin_kind = "ratio"
    asks = (
        _speed("speed", "approach speed", "GPS speed at the take-off.", "35 km/h"),
        Ask("gear", "in gear", "The gear you jump in.", "gear", "3", _GEARS),
        Ask(
            "change",
            "change at most",
            "Share of the engine speed now.",
            "ratio",
            "3 %",
            ("0 %", "50 %"),
        ),
    )

    speed: Quantity
    gear: int
    change: Quantity


WANTS: dict[str, type[Want]] = {
    want.kind: want
    for want in (
        SlowestClutchOut,
        CornerInOneGear,
        HoldSlope,
        CruiseBelow,
        TopSpeedAtLeast,
        ShiftOutOfCorner,
        FewShifts,
        KeepChain,
        SpendAtMost,
        OneSprocketOnly,
        LegalRoadSpeed,
        JumpApproach,
    )
}
"""Every kind of want by its short name."""


def read_want(kind: str, texts: Mapping[str, str] | None = None, weight: object = 1.0) -> Want:
    """Read a want of any kind.

    Parameters
    ----------
    kind : str
        Short name, a key of `WANTS`.
    texts : mapping of str to str, optional
        What was typed, by the name of the question.
    weight : float or str
        0 to 10.

    Returns
    -------
    Want
        Checked and frozen.

    Raises
    ------
    RecordError
        One sentence for each thing that is wrong.

    Examples
    --------
    >>> read_want("slope", {"slope": "25 %"}, 2).texts
    {'slope': '25 %', 'gear': 'any'}
    """
    if kind not in WANTS:
        raise RecordError(f"The want {quote(kind)} is not known; choose one of {', '.join(WANTS)}.")
    return WANTS[kind].of(texts, weight)
