"""What the ground page says of a course, and what its chart shows."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import speed_units
from explorer.calc.statistics.sampling import Band
from explorer.charts.gearing.course_chart import CourseSetup, CourseView
from explorer.study import course_said
from explorer.study.certainty import is_real, level, with_band
from explorer.study.course import CourseResult, PairRides
from explorer.study.study import CHOSEN, FITTED
from explorer.study.wording import listed, ordinal
from explorer.tasks.ground.words import SAY
from explorer.units import RPM

_MOST_PAIRS = 10
"""Fastest pairs that the table lists."""

_RIDDEN = {
    "easy": "ridden easy",
    "brisk": "ridden briskly",
    "race": "raced, full throttle and full braking",
}


def course_view(result: CourseResult) -> CourseView:
    """Speed over distance of both gearings, with the corners."""
    system, ride = result.study.setup.units, result.ride
    per_metre, distance_unit = units.display(1.0, "distance", system)
    per_speed, _ = units.display(1.0, "speed", system)
    ends = np.cumsum(result.course.length)
    corners = np.isfinite(result.course.corner_speed)

    def setup(index: int) -> CourseSetup:
        return CourseSetup(
            pair=result.study.fitments[index].pair,
            speed=ride.road_speed[index] * per_speed,
            reached=float(ride.distance_reached[index]) * per_metre,
        )

    return CourseView(
        chosen=setup(CHOSEN),
        fitted=setup(FITTED),
        distance=ride.distance * per_metre,
        corner_distance=ends[corners] * per_metre,
        corner_speed=result.course.corner_speed[corners] * per_speed,
        distance_unit=distance_unit,
        speed_units=speed_units(result.study.setup),
    )


def course_sentences(result: CourseResult, name: str) -> list[str]:
    """Time of both over the course, whether they differ for sure, and what else they cost."""
    study, ride, time = result.study, result.ride, result.time
    system, who = study.setup.units, study.setup.course_rider
    length = units.text(float(result.course.length.sum()), "distance", system)
    change = result.change()

    def said(index: int) -> str:
        pair = study.fitments[index].pair
        if np.isnan(time.value[index]):
            place = units.text(float(ride.distance_reached[index]), "distance", system)
            return f"{pair} stops for good after {place}"
        alone = index == CHOSEN and bool(np.isfinite(change.value))
        return f"{pair} {level(time, index, (1.0, 's'), alone)}"

    levels = (
        f"{name}, {length} from rest, {_RIDDEN[who]}: chosen {said(CHOSEN)}; fitted {said(FITTED)}."
    )
    sentences = [levels]
    if np.isfinite(change.value):
        beside = course_said.beside_time(study, result.course, ride)
        sentences = [_difference(change.value, change.band), levels]
        sentences += [f"Beside the time: {each}." for each in beside]
        if change.value >= course_said.SAME_TIME:
            sentences.append(course_said.NOT_THE_TIME)
            sentences += [course_said.easy_words(study, result.course)] if who != "easy" else []
    return [*sentences, SAY["course-band"]]


def _difference(value: float, sure: Band) -> str:
    if max(abs(value), sure.widest / 2) < course_said.SAME_TIME:
        return SAY["same-time"]
    band = with_band(abs(value), sure if value > 0 else Band(sure.above, sure.below), "s")
    way = "slower" if value > 0 else "faster"
    if not is_real(value, sure):
        return f"No real difference: the chosen gearing is {band} {way}."
    return f"The chosen gearing is {band} {way} than the fitted one."


def course_rows(result: CourseResult) -> list[tuple[str, str, str]]:
    """Figures of the ride: name, fitted, chosen."""
    ride, room = result.ride, course_said.room_above_stall(result.study, result.course, result.ride)

    def row(name: str, values: np.ndarray, form: str) -> tuple[str, str, str]:
        return name, *(
            "–" if np.isnan(float(values[index])) else form.format(float(values[index]))
            for index in (FITTED, CHOSEN)
        )

    seconds = "{:.1f} s"
    gears = [
        row(f"Time in {ordinal(gear + 1)}", ride.time_in_gear[:, gear], seconds)
        for gear in range(ride.time_in_gear.shape[1])
    ]
    return [
        row("Time", ride.time, seconds),
        row("Shifts up", ride.upshifts, "{:.0f}"),
        row("Shifts down", ride.downshifts, "{:.0f}"),
        *gears,
        row("Time on the limiter", ride.time_on_limiter, seconds),
        row("Time with the clutch slipping", ride.time_slipping, seconds),
        row("Above stall in the slowest corner, 1st", room / RPM, "{:.0f} rpm"),
        row("Time on the brakes", ride.time_braking, seconds),
    ]


def pair_rows(pairs: PairRides, result: CourseResult) -> list[tuple[str, ...]]:
    """The fastest pairs, and the chosen and fitted one with their places."""
    fitted, chosen = (each.pair for each in result.study.fitments)
    named = {fitted: "fitted", chosen: "fitted and chosen" if fitted == chosen else "chosen"}
    rows = []
    for place, time in enumerate(pairs.time):
        pair = f"{pairs.front[place]:.0f}/{pairs.rear[place]:.0f}"
        if place >= _MOST_PAIRS and pair not in named:
            continue
        said = f"{pair} ({named[pair]})" if pair in named else pair
        taken = "does not get through" if np.isnan(time) else f"{time:.1f} s"
        on_limiter = f"{pairs.time_on_limiter[place]:.1f} s"
        rows.append((said, f"{place + 1}", taken, f"{pairs.shifts[place]:.0f}", on_limiter))
    return rows


def pair_sentences(pairs: PairRides, result: CourseResult) -> list[str]:
    """The fastest pair, and how many are as good as it."""
    through = np.isfinite(pairs.time)
    if not through.any():
        return [SAY["no-pair-through"]]
    alike = int(np.sum(pairs.time[through] - pairs.time[0] < course_said.SAME_TIME * 2))
    sentence = (
        f"Of {pairs.time.size} pairs on the chosen tyre the fastest is "
        f"{pairs.front[0]}/{pairs.rear[0]} with {pairs.time[0]:.1f} s"
    )
    if alike > 1:
        others = "another pair is" if alike == 2 else f"{alike - 1} other pairs are"
        sentence += f"; {others} within a tenth of a second of it"
    band = float(result.change().band.widest)
    unsure = (
        f" Treat less than about {float(f'{band:.1g}'):g} s as no difference."
        if np.isfinite(band) and band >= course_said.SAME_TIME
        else ""
    )
    slowest = pairs.time[through][-1]
    sentences = [f"{sentence}. The slowest takes {slowest:.1f} s.{unsure}"]
    stuck = np.flatnonzero(~through)
    if stuck.size:
        named = [f"{pairs.front[place]}/{pairs.rear[place]}" for place in stuck[:5]]
        named += ["others"] if stuck.size > 5 else []
        many = "1 pair does" if stuck.size == 1 else f"{stuck.size} pairs do"
        sentences.append(f"{many} not get through: {listed(named)}.")
    return sentences
