"""Checks between the fields of a bike: what is plausible alone may contradict its neighbour.

They work on whatever could be read, so that one wrong field does not hide the next contradiction.
"""

import math
from collections.abc import Iterator, Mapping
from itertools import pairwise
from typing import Any

from explorer.records.bikes.bike_fields import FIELD_AT
from explorer.records.tyre import parse_size

_ROLLOUT_SHARE = 0.15
"""Measured roll-out and nominal circumference differ by a few per cent; more is a slip."""


def contradictions(values: Mapping[str, Any]) -> Iterator[str]:
    """Say what contradicts what among the fields that could be read, by their path.

    >>> list(contradictions({"sprockets.front": 13, "sprockets.front_sold": (14, 16)}))
    ['The fitted front sprocket has 13 teeth, outside the 14 to 16 that are sold; widen the range \
    or correct the teeth.']
    """
    yield from _engine_speeds(values)
    for path in ("engine.torque_curve", "engine.motoring_curve"):
        yield from _curve_reach(values, path)
    yield from _sprockets(values)
    yield from _sizes(values)
    wheelbase, cg_ahead = values.get("chassis.wheelbase"), values.get("chassis.cg_ahead")
    if wheelbase and cg_ahead and cg_ahead.si >= wheelbase.si:
        yield (
            f"The centre of gravity lies {cg_ahead.text} ahead of the rear axle, which is not "
            f"between the axles (wheelbase {wheelbase.text}); correct one of them."
        )
    rollout, tyre = values.get("tyre.rollout"), values.get("tyre.rear")
    if rollout and tyre:
        nominal = parse_size(tyre).circumference
        if abs(rollout.si / nominal - 1) > _ROLLOUT_SHARE:
            yield (
                f"The measured roll-out {rollout.text} is far from the {nominal:.2f} m of a "
                f"{tyre} tyre; it must be one full turn of the rear wheel, so measure again or "
                "correct the size."
            )
    arm, ahead = values.get("fit.swingarm_length"), values.get("fit.shaft_ahead")
    below, above = values.get("fit.axle_below"), values.get("fit.shaft_above")
    if arm and below and abs(below.si) >= arm.si:
        yield (
            f"The axle cannot be {below.text} below the pivot on a swingarm of {arm.text}; the "
            "swingarm length is measured from pivot centre to axle centre."
        )
    distance = values.get("fit.centre_distance")
    if arm and ahead and distance:
        shaft = math.hypot(ahead.si, above.si if above else 0.0)
        if not abs(arm.si - shaft) < distance.si + 0.03 or distance.si > arm.si + shaft + 0.05:
            yield (
                f"A centre distance of {distance.text} does not go with a swingarm of {arm.text} "
                f"and an output shaft {ahead.text} ahead of its pivot; measure them again."
            )


def _engine_speeds(values: Mapping[str, Any]) -> Iterator[str]:
    """Idle, launch speed and rev limit must follow each other."""
    order = [values.get(f"engine.{name}") for name in ("idle", "launch", "rev_limit")]
    labels = ("idle speed", "launch engine speed", "rev limit")
    given = [(label, speed) for label, speed in zip(labels, order, strict=True) if speed]
    for (low_label, low), (high_label, high) in pairwise(given):
        if low.si >= high.si:
            yield (
                f"The {low_label} {low.text} is not below the {high_label} {high.text}; "
                "correct one of them."
            )


def _curve_reach(values: Mapping[str, Any], path: str) -> Iterator[str]:
    """The curve must cover every speed at which the engine runs."""
    curve = values.get(path)
    if curve is None:
        return
    label = FIELD_AT[path].label
    (first, _), (last, _) = curve.points[0], curve.points[-1]
    idle, limit = values.get("engine.idle"), values.get("engine.rev_limit")
    # A hair of forgiveness, for the same speed may be given in two units.
    if idle and first.si > idle.si * (1 + 1e-6):
        yield (
            f"{label}: it begins at {first.text}, above the idle speed {idle.text}; add a point at "
            "idle or below, an estimate will do."
        )
    if limit and last.si < limit.si * (1 - 1e-6):
        yield (
            f"{label}: it ends at {last.text}, below the rev limit {limit.text}; add a point at "
            "the rev limit or above, or correct the rev limit."
        )


def _sprockets(values: Mapping[str, Any]) -> Iterator[str]:
    """Fitted sprockets are among those sold, and the front one is the smaller."""
    for place in ("front", "rear"):
        fitted, sold = values.get(f"sprockets.{place}"), values.get(f"sprockets.{place}_sold")
        if fitted and sold and not sold[0] <= fitted <= sold[1]:
            yield (
                f"The fitted {place} sprocket has {fitted} teeth, outside the {sold[0]} to "
                f"{sold[1]} that are sold; widen the range or correct the teeth."
            )
    front, rear = values.get("sprockets.front"), values.get("sprockets.rear")
    if front and rear and front >= rear:
        yield (
            f"The front sprocket ({front} teeth) is not smaller than the rear one ({rear} teeth); "
            "perhaps they are swapped."
        )


def _sizes(values: Mapping[str, Any]) -> Iterator[str]:
    """Torque goes with the weight of the bike, and a peak with the speeds of its engine.

    No motorcycle is near these bounds (common practice, no source): 60 N·m at 150 kg is 0.4.
    """
    curve, peak, mass = (
        values.get(path) for path in ("engine.torque_curve", "engine.peak", "mass.bike")
    )
    torque = max(curve.torques) if curve else peak.torque if peak else None
    if torque is not None and mass and not 0.02 <= torque / mass.si <= 0.7:
        size = "large" if torque > 0.1 * mass.si else "small"
        yield (
            f"A torque of {torque:.0f} N·m is very {size} for a bike of {mass.text}; check the "
            "decimal point, and that it is at the crankshaft, not at the wheel."
        )
    limit = values.get("engine.rev_limit")
    if peak and limit and not 0.3 * limit.si <= peak.speed.si <= limit.si:
        yield (
            f"The peak at {peak.speed.text} does not go with a rev limit of {limit.text}; correct "
            "one of them."
        )
    primary = values.get("gearbox.primary")
    if primary and primary.si <= 1.2:
        yield (
            f"A primary reduction of {primary.text} hardly reduces; look it up in the manual, "
            'crank to clutch, for example "3.35" or "67/20".'
        )
