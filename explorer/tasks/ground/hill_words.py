"""What the ground page says of hills and of a closed throttle."""

import numpy as np

from explorer import units
from explorer.calc.drivetrain.hills import NO_GEAR
from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wording import listed, ordinal
from explorer.tasks.ground.words import gearing_differs, slope_name, speed_text

_SHORT_LIMITS = {
    Limit.REV_LIMIT: "rev limit",
    Limit.POWER: "power",
    Limit.GRIP: "grip",
    Limit.FRONT_WHEEL_LIFT: "front wheel",
    Limit.CANNOT_HOLD: "–",
}


def hill_heads(result: Study) -> tuple[str, ...]:
    """Heads of the hill table; what binds is said of the chosen gearing."""
    _, unit = units.display(1.0, "speed", result.setup.units)
    return ("Gear", "Steepest, fitted", "chosen", f"Holds [{unit}], fitted", "chosen", "Binds")


def hill_rows(result: Study) -> list[tuple[str, ...]]:
    """One row for each gear: steepest slope, speed held on the set slope, what binds."""
    top, rows = result.top, []

    def slope(index: int, gear: int) -> str:
        rise = float(np.tan(result.steepest_slope[index, gear]))
        return units.text(rise, "slope", result.setup.units, 2).replace("-", "−")

    def held(index: int, gear: int) -> str:
        speed = top.by_gear[index, gear]
        return speed_text(result, speed).split()[0] if speed > 0 else "–"

    for gear in range(result.drive.gears):
        limit = Limit(int(top.limit_by_gear[CHOSEN, gear]))
        rows.append(
            (
                ordinal(gear + 1),
                slope(FITTED, gear),
                slope(CHOSEN, gear),
                held(FITTED, gear),
                held(CHOSEN, gear),
                _SHORT_LIMITS[limit],
            )
        )
    return rows


def hill_sentences(result: Study) -> list[str]:
    """Which gear to use on the set slope: to climb fastest, and to hold the cruise speed."""
    top, where = result.top, slope_name(result)
    steepest = result.steepest_slope.max(axis=1)
    fitted, chosen = (
        units.text(float(np.tan(each)), "slope", "metric", 2).replace("-", "−") for each in steepest
    )
    sentence = f"Steepest slope held at a steady speed, clutch out: {_each(chosen, fitted)}."
    if abs(steepest[CHOSEN] - steepest[FITTED]) < 1e-6 and gearing_differs(result):
        sentence += " Grip or balance ends it, not the gearing."
    sentences = [sentence]

    def fastest(index: int) -> str:
        if top.limit[index] == Limit.CANNOT_HOLD:
            return "no gear holds any speed"
        gear = ordinal(int(top.gear[index]) + 1)
        return f"{speed_text(result, top.speed[index])} in {gear}"

    sentences.append(f"Fastest {where}: {_each(fastest(CHOSEN), fastest(FITTED))}.")
    cruise = speed_text(result, result.setup.cruise_speed)
    highest = result.at_cruise.highest

    def gear_for(index: int) -> str:
        gear = int(highest[index])
        return "no gear holds it" if gear == NO_GEAR else ordinal(gear + 1)

    sentences.append(
        f"To hold {cruise} {where}: {_each(gear_for(CHOSEN), gear_for(FITTED))}."
        + (
            " It is the highest gear that holds it, so the engine turns slowest."
            if np.any(highest != NO_GEAR)
            else ""
        )
    )
    gear = int(highest[CHOSEN])
    share = result.throttle_at_cruise[CHOSEN, gear] if gear != NO_GEAR else np.nan
    if np.isfinite(share):
        drive = result.drive
        quotient = drive.overall[CHOSEN, gear, 0] / drive.radius[CHOSEN, 0, 0]
        turning = float(result.setup.cruise_speed * quotient)
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
    cruise = speed_text(result, result.setup.cruise_speed)
    coast = _slowing(float(result.coasting[CHOSEN]))
    where = slope_name(result)
    rolling = f"At {cruise} {where} with the clutch in the bike {coast}."
    braking = result.braking
    parts, slides = [], []
    for gear in range(result.drive.gears):
        value = braking.deceleration[CHOSEN, gear, 0]
        if np.isnan(value):
            continue
        said = units.rounded(value, 1)
        fitted = braking.deceleration[FITTED, gear, 0]
        before = said if np.isnan(fitted) else units.rounded(fitted, 1)
        against = "" if before == said else f" (fitted {before})"
        parts.append(f"{ordinal(gear + 1)} {said} m/s²{against}")
        if braking.rear_slides[CHOSEN, gear, 0]:
            slides.append(ordinal(gear + 1))
    sentences = [rolling]
    if parts:
        sentences.append(
            f"With the throttle closed in gear it slows by: {listed(parts)}. A negative figure "
            "gains speed."
        )
        if result.braking_bounds is not None:
            sentences.append(_estimated(result))
    else:
        sentences.append("No gear turns the engine between idle and the rev limit at that speed.")
    if slides:
        sentences.append(
            f"In {listed(slides)} that is more than the rear tyre grips here: it would slide."
        )
    return sentences


def _estimated(result: Study) -> str:
    """How far off the estimate may be, in the lowest gear that turns in its range."""
    assert result.braking_bounds is not None
    gear = int(np.flatnonzero(np.isfinite(result.braking.deceleration[CHOSEN, :, 0]))[0])
    bounds = (each.deceleration[CHOSEN, gear, 0] for each in result.braking_bounds)
    return (
        "That is an estimate, as the bike file gives no engine braking curve: in "
        f"{ordinal(gear + 1)} it may be {units.ends(*bounds, 1, units.rounded)} m/s². Add your "
        "curve under “This bike” if you have one."
    )


def _slowing(deceleration: float) -> str:
    if abs(deceleration) < 0.05:
        return "neither slows nor gains"
    word = "slows by" if deceleration > 0 else "gains"
    return f"{word} {abs(deceleration):.1f} m/s²"
