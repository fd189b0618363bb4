"""What the ground page says of hills and of a closed throttle."""

import numpy as np

from explorer import units
from explorer.calc.drivetrain.hills import NO_GEAR
from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.certainty import NO_DIFFERENCE
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wording import listed, ordinal
from explorer.tasks.ground.words import SAY, beside, gearing_differs, slope_name, speed_text

_SHORT_LIMITS = {
    Limit.REV_LIMIT: "rev limit",
    Limit.POWER: "power",
    Limit.GRIP: "grip",
    Limit.FRONT_WHEEL_LIFT: "front wheel",
    Limit.CANNOT_HOLD: "–",
}


HILL_HEADS = ("Gear", "Steepest, change", "chosen", "Holds, change", "chosen", "Binds")
"""Heads of the hill table; what binds is said of the chosen gearing."""


def hill_rows(result: Study) -> list[tuple[str, ...]]:
    """One row for each gear: steepest slope, speed held on the set slope, what binds."""
    top, rows = result.top, []
    for gear in range(result.drive.gears):
        limit = Limit(int(top.limit_by_gear[CHOSEN, gear]))
        slopes = beside(result, result.in_gear("steepest", gear), "slope")[:2]
        rows.append((ordinal(gear + 1), *slopes, *_held(result, gear), _SHORT_LIMITS[limit]))
    return rows


def _held(result: Study, gear: int) -> tuple[str, str]:
    """Speed held in one gear: difference and with the chosen gearing; a dash for none."""
    change, chosen, fitted = beside(result, result.in_gear("held", gear), "speed")
    holds = result.top.by_gear[:, gear] > 0
    if holds.all():
        return change, chosen
    if holds[FITTED]:
        return f"fitted {fitted}", "–"
    return "–", chosen if holds[CHOSEN] else "–"


def hill_sentences(result: Study) -> list[str]:
    """Which gear to use on the set slope: to climb fastest, and to hold the cruise speed."""
    top, where = result.top, slope_name(result)
    change, chosen, _ = beside(result, result.estimate("steepest"), "slope")
    said = f"{change} against fitted, {chosen}" if gearing_differs(result) else chosen
    sentences = [f"Steepest slope held at a steady speed, clutch out: {said}."]
    if change == NO_DIFFERENCE:
        sentences[0] += f" {SAY['not-the-gearing']}"
    change, *speeds = beside(result, result.estimate("top"), "speed")
    holds = top.limit != Limit.CANNOT_HOLD
    fastest = [
        f"{speed} in {ordinal(int(gear) + 1)}" if held else "no gear holds any speed"
        for held, speed, gear in zip(holds[::-1], speeds, top.gear[::-1], strict=True)
    ]
    said = f"{change} against fitted; " if holds.all() and gearing_differs(result) else ""
    sentences.append(f"Fastest {where}: {said}{_each(*fastest)}.")
    cruise = speed_text(result, result.setup.cruise_speed)
    highest = result.at_cruise.highest

    def gear_for(index: int) -> str:
        gear = int(highest[index])
        return "no gear holds it" if gear == NO_GEAR else ordinal(gear + 1)

    why = f" {SAY['highest-gear']}" if np.any(highest != NO_GEAR) else ""
    gears = _each(gear_for(CHOSEN), gear_for(FITTED))
    sentences.append(f"To hold {cruise} {where}: {gears}.{why}")
    gear = int(highest[CHOSEN])
    share = result.throttle_at_cruise[CHOSEN, gear] if gear != NO_GEAR else np.nan
    if np.isfinite(share):
        drive, speed = result.drive, result.setup.cruise_speed
        turning = float(speed * (drive.overall[CHOSEN, gear, 0] / drive.radius[CHOSEN, 0, 0]))
        revs = units.text(turning, "engine speed", result.setup.units)
        sentences.append(
            f"That takes about {float(share) * 100:.0f} % of the throttle at {revs} (rough model)."
        )
    return sentences


def _each(chosen: str, fitted: str) -> str:
    """What each gearing does, said once where it is the same."""
    same = chosen == fitted
    return f"{chosen} with either gearing" if same else f"chosen {chosen}; fitted {fitted}"


def braking_sentences(result: Study) -> list[str]:
    """What closing the throttle does, or that the page does not know."""
    cruise, coasting = speed_text(result, result.setup.cruise_speed), float(result.coasting[CHOSEN])
    coast = "neither slows nor gains"
    if abs(coasting) >= 0.05:
        coast = f"{'slows by' if coasting > 0 else 'gains'} {abs(coasting):.1f} m/s²"
    sentences = [f"At {cruise} {slope_name(result)} with the clutch in the bike {coast}."]
    braking, parts, slides = result.braking, [], []
    for gear in range(result.drive.gears):
        fitted, chosen = braking.deceleration[[FITTED, CHOSEN], gear, 0]
        if np.isnan(chosen):
            continue
        said = units.rounded(chosen, 1)
        before = said if np.isnan(fitted) else units.rounded(fitted, 1)
        against = "" if before == said else f" (fitted {before})"
        parts.append(f"{ordinal(gear + 1)} {said} m/s²{against}")
        if braking.rear_slides[CHOSEN, gear, 0]:
            slides.append(ordinal(gear + 1))
    if parts:
        sentences.append(
            f"With the throttle closed in gear it slows by: {listed(parts)}. A negative figure "
            "gains speed."
        )
        if result.braking_bounds is not None:
            sentences.append(_estimated(result))
    else:
        sentences.append(SAY["no-gear-turns"])
    if slides:
        sentences.append(
            f"In {listed(slides)} that is more than the rear tyre grips here: it would slide."
        )
    return sentences


def _estimated(result: Study) -> str:
    """How far off the estimate may be, in the lowest gear that turns in its range."""
    gear = int(np.flatnonzero(np.isfinite(result.braking.deceleration[CHOSEN, :, 0]))[0])
    bounds = (each.deceleration[CHOSEN, gear, 0] for each in result.braking_bounds)
    return (
        "That is an estimate, as the bike file gives no engine braking curve: in "
        f"{ordinal(gear + 1)} it may be {units.ends(*bounds, 1, units.rounded)} m/s². Add your "
        "curve under “This bike” if you have one."
    )
