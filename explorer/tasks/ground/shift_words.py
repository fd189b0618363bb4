"""What the ground page says of changing up, and of what binds at full throttle."""

import numpy as np

from explorer.calc.drivetrain.binding_limits import held_back
from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wording import engine_speed, listed, ordinal, spans
from explorer.tasks.ground.words import SAY, goal_name, speed_text
from explorer.units import RPM

_NO_TIME = 0.05
"""A cost below this is no difference that a rider could tell [s]."""


def strategy_rows(result: Study) -> list[tuple[str, ...]]:
    """Ways of changing up: name, time fitted and chosen, and what each costs the chosen gearing
    against the fastest of them."""
    ways = result.strategies
    reached = np.where(np.isnan(result.worth.time), np.inf, result.worth.time).min(axis=1)
    paying = np.where(np.isinf(reached), np.nan, reached)

    def seconds(value: float) -> str:
        return "not reached" if np.isnan(value) else f"{value:.2f} s"

    def cost(value: float) -> str:
        if np.isnan(value):
            return "–"
        # Of the times as they are printed.
        lost = round(float(value), 2) - fastest
        return "no difference" if lost < _NO_TIME else f"+{lost:.2f} s"

    rows = [
        ("Where the next gear accelerates harder", ways.best),
        ("Only shifts that pay", paying),
        ("Rev limit", ways.rev_limit),
        (engine_speed(result.shift_at / RPM), ways.chosen),
    ]
    reached = [round(float(times[CHOSEN]), 2) for _, times in rows if np.isfinite(times[CHOSEN])]
    fastest = min(reached, default=np.nan)
    return [(name, *(seconds(each) for each in times), cost(times[CHOSEN])) for name, times in rows]


def shift_sentences(result: Study) -> list[str]:
    """Where the next gear accelerates harder, and the shifts not worth it before the goal."""
    shifts, goal = result.shifts, goal_name(result)
    per_speed = (result.drive.overall / result.drive.radius)[CHOSEN, :, 0]
    points = []
    for gear in range(result.drive.gears - 1):
        if not shifts.shifts_up[CHOSEN, gear]:
            break
        speed = shifts.exit_speed[CHOSEN, gear]
        rpm = engine_speed(max(speed * per_speed[gear], result.drive.launch_speed.item()) / RPM)
        points.append(
            f"{ordinal(gear + 1)} to {ordinal(gear + 2)} at {rpm} ({speed_text(result, speed)})"
        )
    where = (
        f"Where the next gear accelerates harder, chosen: {listed(points)}."
        if points
        else "The next gear accelerates harder nowhere here."
    )
    return [f"{where} All at full throttle.", *_worth_sentences(result, goal)]


def _worth_sentences(result: Study, goal: str) -> list[str]:
    time, gain = result.worth.time[CHOSEN], result.worth.gain[CHOSEN]
    if np.all(np.isnan(time)):
        return [f"{goal}: not reached in any gear here."]
    # Below the first gear that gets there every shift is needed; above it, it must win time.
    first = int(np.argmax(np.isfinite(time)))
    last_used = first
    while last_used < result.drive.gears - 1 and result.worth.worth_it[CHOSEN, last_used]:
        last_used += 1
    sentences = []
    if last_used < result.drive.gears - 1:
        lost = -gain[last_used]
        why = (
            f"a shift to {ordinal(last_used + 2)} would lose {lost:.2f} s"
            if np.isfinite(lost) and lost >= 0.01
            else f"you are there before a shift to {ordinal(last_used + 2)} would pay off"
        )
        sentences.append(
            f"For {goal} with the chosen gearing stay in {ordinal(last_used + 1)}: {why}."
        )
    worth = [
        f"to {ordinal(gear + 2)} {gain[gear]:.2f} s"
        for gear in range(first, last_used)
        if np.isfinite(gain[gear])
    ]
    if worth:
        sentences.append(f"Shifts that win time on the way: {listed(worth)}.")
    return sentences


def binding_sentences(result: Study) -> list[str]:
    """Between which speeds grip or the front wheel binds in each gear of the chosen gearing."""
    sentences = []
    for limit, word in (
        (Limit.GRIP, "Grip-limited"),
        (Limit.FRONT_WHEEL_LIFT, "Limited by the lifting front wheel"),
    ):
        gears = range(result.drive.gears)
        chosen, fitted = (
            [_held_back(result, limit, case, gear) for gear in gears] for case in (CHOSEN, FITTED)
        )
        throughout = [ordinal(gear + 1) for gear in gears if chosen[gear] == _WHOLE]
        if throughout:
            sentences.append(
                f"{word} {_WHOLE} in {listed(throughout)}: shorter gearing gains nothing there."
            )
        sentences += [
            f"{word} {chosen[gear]} in {ordinal(gear + 1)}: shorter gearing gains nothing there "
            f"(fitted: {fitted[gear] or 'not at all'})."
            for gear in gears
            if chosen[gear] not in ("", _WHOLE)
        ]
    return [*(sentences or [SAY["engine-binds"]]), SAY["where-it-binds"]]


_WHOLE = "all the way to the rev limit"


def _held_back(result: Study, limit: Limit, case: int, gear: int) -> str:
    """Where a limit binds in one gear, such as "from 90 km/h to 108 km/h"; empty if nowhere."""
    rows = held_back(result.stretches, limit)
    here = (rows.case == case) & (rows.gear == gear)
    # A stretch from rest with no other after it in its gear ends at the rev limit.
    if np.sum((result.stretches.case == case) & (result.stretches.gear == gear)) == 1:
        return _WHOLE if here.any() else ""
    ends = zip(rows.start[here], rows.end[here], strict=True)
    return spans(ends, lambda speed: speed_text(result, speed))
