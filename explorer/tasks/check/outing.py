"""What riding with a set-up gave, as lines for the logbook: from the ride, the runs and the fit."""

import math

from explorer import units
from explorer.records.bikes.bike import Bike
from explorer.records.logbook.logbook_link import Outing
from explorer.study.check.calibrate_result import DRAG, POWER, ROLLING, Calibrated
from explorer.study.check.compare_result import Compared, ComparedRuns
from explorer.study.check.result import HELD_FOR, SLOPE_EDGES, RideResult
from explorer.tasks.check import calibrate_words, compare_words
from explorer.tasks.check.compare_words import count
from explorer.tasks.check.words import gearing_name, pair

_MOST_ROLL_ONS = 2
_UPHILL = 0.02


def outing(
    result: RideResult | None,
    compared: Compared,
    calibrated: Calibrated | None,
    bike: Bike,
    system: str,
) -> Outing:
    """Everything that the page knows of the riding.

    Returns: Lines and verdict; empty where nothing was measured.
    """
    measured = [
        *_compared_lines(compared, system),
        *(_ride_lines(result, system) if result is not None else []),
        *_calibration_lines(calibrated, bike, system),
    ]
    return Outing(tuple(measured), tuple(_predicted_lines(compared, system)), verdict_of(compared))


def verdict_of(compared: Compared) -> str:
    """What all comparisons say; empty without any, and where they do not all say the same."""
    every = (*compared.changes, *compared.runs, *compared.speeds, *compared.hills)
    outcomes = {each.verdict.outcome for each in every if _possible(each)}
    return outcomes.pop().value if len(outcomes) == 1 else ""


def _possible(each: object) -> bool:
    return not isinstance(each, ComparedRuns) or math.isfinite(each.predicted.value)


def _compared_lines(compared: Compared, system: str) -> list[str]:
    lines = [
        f"{name}, chosen less fitted: {measured}, {verdict}"
        for name, _, measured, verdict in compare_words.change_rows(compared.changes, system)
    ]
    rows = zip(compared.runs, compare_words.run_rows(compared.runs, system), strict=True)
    lines += [
        f"{name}, {gearing}: {measured} over {count(len(each.row.there), 'run')} there and "
        f"{len(each.row.back)} back, {verdict}"
        for each, (name, gearing, _, measured, verdict) in rows
    ]
    lines += [
        f"{name}, {gearing}: {seen} by GPS, {verdict}"
        for name, gearing, _, seen, verdict in compare_words.speed_rows(compared.speeds, system)
    ]
    return lines + [
        f"hill of {name}, {gearing}: {seen}, {verdict}"
        for name, gearing, _, seen, verdict in compare_words.hill_rows(compared.hills, system)
    ]


def _predicted_lines(compared: Compared, system: str) -> list[str]:
    lines = [
        f"{name}, chosen less fitted: {predicted}"
        for name, predicted, *_ in compare_words.change_rows(compared.changes, system)
    ]
    for rows, before in (
        (compare_words.run_rows(compared.runs, system), ""),
        (compare_words.speed_rows(compared.speeds, system), ""),
        (compare_words.hill_rows(compared.hills, system), "steepest for the gear on the hill of "),
    ):
        lines += [f"{before}{name}, {gearing}: {computed}" for name, gearing, computed, *_ in rows]
    return [f"{line} (computed)" for line in dict.fromkeys(lines)]


def _ride_lines(result: RideResult, system: str) -> list[str]:
    lines = []
    ridden = f"the {gearing_name(result.ridden)} {pair(result, result.ridden)}"
    top = result.top
    if top is not None:
        held = units.text(top.speed, "speed", system)
        line = f"{result.ride.label}, ridden with {ridden}: {held} held for {HELD_FOR:.0f} s"
        if math.isfinite(top.both_ways):
            back = units.text(top.opposite_speed, "speed", system)
            mean = units.text(top.both_ways, "speed", system)
            line += f", {back} the other way, mean {mean}"
        else:
            line += ", one way only"
        lines.append(line)
    for each in result.roll_ons[:_MOST_ROLL_ONS]:
        low, high = (units.text(v, "speed", system) for v in (each.start_speed, each.end_speed))
        best, mean = each.duration[0], each.duration.mean()
        many = f", mean of the best {len(each.duration)} {mean:.1f} s" if each.count > 1 else ""
        lines.append(
            f"{low} to {high}: best {best:.1f} s{many}, of {count(each.count, 'passage')} in the "
            "log, gear not looked at"
        )
    return lines + _hill_lines(result, system)


def _hill_lines(result: RideResult, system: str) -> list[str]:
    """Fastest 100 m on the steepest ground that the ride climbed."""
    if result.slopes is None:
        return []
    climbed = [
        row
        for row, low in enumerate(SLOPE_EDGES[:-1])
        if low >= _UPHILL and result.slopes.distance[row]
    ]
    if not climbed:
        return []
    low, high = SLOPE_EDGES[climbed[-1] : climbed[-1] + 2]
    steep = f"{low * 100:.0f} % or more" if high >= 1 else f"{low * 100:.0f} to {high * 100:.0f} %"
    speed = units.text(result.slopes.best_speed[climbed[-1]], "speed", system)
    return [f"steepest climbed {steep}: {speed} over the fastest 100 m"]


def _calibration_lines(calibrated: Calibrated | None, bike: Bike, system: str) -> list[str]:
    if calibrated is not None:
        rows = calibrate_words.value_rows(calibrated, system)
        told = [
            f"{name} {after}"
            for place, (name, _, after, _) in zip((DRAG, ROLLING, POWER), rows, strict=True)
            if calibrated.told(place)
        ]
        runs = count(len(calibrated.observations), "run")
        said = ", ".join(told) if told else "no value told well enough to keep"
        return [f"calibrated from {runs}: {said}"]
    said = ", ".join(filter(None, (bike.calibration.ride, bike.calibration.date)))
    return [f"bike calibrated before: {said}"] if said else []
