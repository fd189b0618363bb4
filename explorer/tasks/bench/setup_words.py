"""The figures of a comparison in words, each with its band and its difference to the fitted one."""

import math

import pandas as pd

from explorer import units
from explorer.app.gearing_views import measure_name, measure_scale
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.statistics.sampling import Change
from explorer.charts.gearing.setups_course_chart import SetupsCourseView
from explorer.panels.html import table
from explorer.records.ground.course import courses
from explorer.study import compared
from explorer.study.certainty import (
    BAND_IN_WORDS,
    NO_DIFFERENCE,
    ends_at_zero,
    is_real,
    judged,
    level,
    signed_percent,
)
from explorer.study.course import CourseResult
from explorer.study.study import FITTED, Study
from explorer.study.wording import LIMIT_WORDS, SHORT_LIMITS, listed, more_changes, ordinal
from explorer.units import RPM

_EXACT = 1e-9
"""Differences below this share are the rounding of the computation, not a difference."""

WITHIN = "within the spread"

NO_STEADY_SPEED = "no gear holds a steady speed"


def signed(change: Change, factor: float, unit: str) -> str:
    """A difference to the fitted set-up, by a factor from SI: signed, with its band, such as
    "−3.2 ± 0.8 km/h", or said to be within the spread."""
    said, real = judged(change, factor, unit)
    if not said:
        return "one of the two does not reach it"
    return said if real or said == NO_DIFFERENCE else f"{said}: {WITHIN}"


def course_lines(course: CourseResult, index: int) -> list[str]:
    """Time over the course with its band; of all but the fitted set-up the difference to that one
    first, then the time."""
    if math.isnan(course.time.value[index]):
        return ["does not get through"]
    time = level(course.time, index, (1.0, "s"), alone=index != FITTED)
    return [time] if index == FITTED else [signed(course.change(index), 1.0, "s"), time]


def course_time(course: CourseResult, index: int) -> str:
    """The same on one line."""
    first, *time = course_lines(course, index)
    return ", ".join([first, *(f"{each} in all" for each in time)])


def names_of(result: Study, names: tuple[str, ...]) -> tuple[str, ...]:
    """Name and pair of each set-up, such as "Trail 12/50", the fitted one first."""
    return tuple(
        f"{name} {each.pair}"
        for name, each in zip(("Fitted", *names), result.fitments, strict=False)
    )


def figures_table(result: Study, course: CourseResult, names: tuple[str, ...]) -> pd.DataFrame:
    """One column for each set-up, by its name: the difference to the fitted one over the figure."""
    named = enumerate(names_of(result, names))
    figures = pd.DataFrame({name: _column(result, course, index) for index, name in named})
    return figures.replace(f": {WITHIN}", f"\n{WITHIN}", regex=True)


def as_html(figures: pd.DataFrame) -> str:
    """The table as the page shows it, escaped."""
    return table(("", *figures.columns), figures.itertuples(name=None), "ge-lines")


def _column(result: Study, course: CourseResult, index: int) -> dict[str, str]:
    setup, system, fitment = result.setup, result.setup.units, result.fitments[index]
    speed, force = units.display(1.0, "speed", system), units.display(1.0, "force", system)
    factor, unit, _ = measure_scale(setup)
    limit = Limit(int(result.top.limit[index]))
    turn = result.rollouts[index].value, "computed" if fitment.rollout is None else "measured"
    cruise = units.text(setup.cruise_speed, "speed", system)

    def said(name: str, scale: tuple[float, str], alone: bool = index == FITTED) -> str:
        figure = result.estimate(name)
        if math.isnan(figure.value[index]):
            return "not reached"
        value = level(figure, index, scale, alone=not alone)
        return value if alone else f"{signed(result.change(name, index), *scale)}\n{value}"

    def share(ratio: float) -> str:
        if index == FITTED:
            return ""
        exact = abs(ratio - 1) < _EXACT
        return "\nno difference" if exact else f"\n{signed_percent(ratio - 1)}"

    def top_speed() -> str:
        if limit is Limit.CANNOT_HOLD:
            return NO_STEADY_SPEED
        lines = [said("top", speed)]
        if result.top.limit[FITTED] == Limit.CANNOT_HOLD:
            # The 0 of the fitted set-up is not a speed, so there is no difference to it.
            lines = [said("top", speed, alone=True), f"as fitted: {NO_STEADY_SPEED}"]
        return "\n".join([*lines, f"limit: {SHORT_LIMITS[limit]}"])

    def turning() -> str:
        revs, gear = result.estimate("cruise"), int(result.at_cruise.highest[index])
        here, fitted = revs.value[index], revs.value[FITTED]
        if math.isnan(here):
            return "no gear holds it"
        alone = index != FITTED and not (math.isnan(fitted) and result.count == 2)
        turns = f"{level(revs, index, (1 / RPM, 'rpm'), alone)} in {ordinal(gear + 1)}"
        return turns if math.isnan(fitted) else turns + share(float(here / fitted))

    by_time = setup.measure == "time_to_speed"
    hangs_on = more_changes(result.more_changes[index]) if by_time else ""
    ratio = float(result.ratios[index])
    shifts = course.shifts(index)
    shift_change = f"\n{units.signed(shifts - course.shifts(FITTED), 0)}"
    measured = f"{measure_name(setup)[:1].upper()}{measure_name(setup)[1:]}"
    found = {
        "Final drive ratio": f"{ratio:.2f}{share(ratio / float(result.ratios[FITTED]))}",
        "Roll-out": f"{units.text(float(turn[0]), 'length', system)} {turn[1]}",
        "Largest pull in 1st": f"{said('pull', force)}\n{_held_back(result, index)}".strip(),
        "Geared speed, rev limit in top": said("geared", speed),
        "Top speed": top_speed(),
        measured: "\n".join(filter(None, (said("measure", (factor, unit)), hangs_on))),
        "Slowest with clutch out, 1st": said("clutch-out", speed),
        f"Engine at {cruise}": turning(),
        f"Time, {courses()[setup.course].label}": "\n".join(course_lines(course, index)),
        "Clutch slipping there": f"{course.ride.time_slipping[index]:.1f} s",
        "Shifts there": f"{shifts}" if index == FITTED else f"{shifts}{shift_change}",
    }
    if setup.measure == "clutch_out":  # it has a row of its own in any case
        del found[measured]
    return found


def _held_back(result: Study, index: int) -> str:
    """Whether the ground lets through all that the engine has in first gear."""
    pull, wanted = result.pull[index, 0].max(), result.engine_pull[index, 0].max()
    lifts = compared.front_wheel_first(result)
    ground = SHORT_LIMITS[Limit.FRONT_WHEEL_LIFT if lifts else Limit.GRIP]
    if wanted > pull * (1 + _EXACT):
        return f"limit: {ground}"
    # Then the percentage of pull need not arrive: the ground may let less through.
    change = result.change("pull", index)
    sure = is_real(*change) and not ends_at_zero(*change)
    may_hold = abs(compared.pull_change(result, index)) >= _EXACT and not sure
    return f"limit: the engine, or {ground}" if may_hold else "limit: the engine"


def sentences(result: Study, names: tuple[str, ...]) -> list[str]:
    """What each set-up changes against the fitted one, and what no gearing changes."""
    said, named = [], names_of(result, names)
    shortness = compared.shortness(result)
    for index in range(1, result.count):
        pull = compared.pull_change(result, index)
        name = named[index]
        if abs(pull) < _EXACT:
            said.append(f"{name} is geared as it is fitted now: pull and speeds do not change.")
            continue
        speed = compared.speed_change(result, index)
        limit = Limit(int(result.top.limit[index]))
        top = f"its top speed is limited by {LIMIT_WORDS[limit]}"
        top = f"{NO_STEADY_SPEED} here" if limit is Limit.CANNOT_HOLD else top
        said.append(
            f"{name} is {'shorter' if pull > 0 else 'taller'}: pull of the engine at the tyre "
            f"{signed_percent(pull)}, road speed at the same engine speed {signed_percent(speed)}, "
            f"in every gear alike; {top}."
        )
    powerless = [
        named[index]
        for index in range(1, result.count)
        if shortness[index] < shortness[FITTED]
        and result.top.limit[index] == Limit.POWER
        and not compared.noticeably_faster(result.top.speed[index], result.top.speed[FITTED])
    ]
    if powerless:
        said.append(
            f"Taller than fitted: {listed(powerless)}. The bike is out of power there, not out of "
            "revs, and is not noticeably faster than as fitted: taller does not always mean faster."
        )
    return [
        *said,
        "The engine gives no more power with any of them, and no gap between two gears changes.",
        "All are on the same bike and ground, so a difference is better known than either figure; "
        f"{BAND_IN_WORDS}. “{WITHIN[:1].upper()}{WITHIN[1:]}”: no real difference.",
    ]


def course_view(result: Study, course: CourseResult, names: tuple[str, ...]) -> SetupsCourseView:
    """A bar for each set-up, cut up into its gears."""
    every = range(result.count)
    return SetupsCourseView(
        course=courses()[result.setup.course].label,
        names=names_of(result, names),
        time_in_gear=course.ride.time_in_gear[: result.count],
        labels=tuple(course_lines(course, index)[0].replace(f": {WITHIN}", "") for index in every),
        times=tuple(course_time(course, index).replace(f": {WITHIN}", "") for index in every),
    )
