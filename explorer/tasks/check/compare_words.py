"""What the comparison says: each measurement beside its prediction, and what to do next."""

import math
from collections.abc import Sequence

import numpy as np

from explorer import units
from explorer.calc.drivetrain import speedometer
from explorer.calc.ride.speedometer_fit import LineFit, reading_at, true_speed_at
from explorer.calc.statistics.repeated_runs import Mean
from explorer.calc.statistics.verdict import MOST_RUNS, Outcome
from explorer.records.prose import read_prose
from explorer.records.rides.typed_runs import MarkedSpeed, TimedRuns
from explorer.study.check.compare_result import (
    ComparedChange,
    ComparedHill,
    ComparedRuns,
    ComparedSpeed,
)
from explorer.study.study import FITTED
from explorer.tasks.check.words import SAY

CAUTIONS = read_prose("cautions")["compare"]

GEARINGS = {FITTED: "fitted", 1 - FITTED: "chosen"}

SPEED_HEADS = ("Gear, engine speed", "Gearing", "Computed", "GPS", "Verdict")
RUN_HEADS = ("Roll-on", "Gearing", "Computed", "Measured, both ways", "Verdict")
CHANGE_HEADS = ("Chosen less fitted", "Computed", "Measured", "Verdict")
HILL_HEADS = ("Hill", "Gearing", "Steepest slope, computed", "Seen", "Verdict")
METER_HEADS = ("Speedometer shows", "True speed", "Accuracy of one reading")


def between(value: float, expanded: float, kind: str, system: str) -> str:
    """A value with its 95 % interval in the reader's unit.

    >>> between(12.5, 0.14, "speed", "metric")
    '45.0 ± 0.5 km/h'
    """
    factor, unit = units.display(1.0, kind, system)
    band = abs(expanded * factor)
    return units.with_band(value * factor, band, band, unit) if math.isfinite(value) else "no value"


def mean(value: Mean, kind: str, system: str) -> str:
    """A mean with its 95 % interval."""
    return between(value.value, value.expanded, kind, system)


def run_name(row: TimedRuns, system: str) -> str:
    """A roll-on as a rider says it."""
    start, end = (units.text(speed, "speed", system) for speed in (row.from_speed, row.to_speed))
    return f"gear {row.gear}, {start} to {end}"


def speed_rows(found: Sequence[ComparedSpeed], system: str) -> list[tuple[str, ...]]:
    """Marked engine speeds."""
    return [
        (
            f"gear {each.row.gear}, {units.text(each.row.engine_speed, 'engine speed', system)}",
            GEARINGS[each.with_gearing],
            mean(each.predicted, "speed", system),
            units.text(each.row.gps, "speed", system),
            each.verdict.outcome.value,
        )
        for each in found
    ]


def run_rows(found: Sequence[ComparedRuns], system: str) -> list[tuple[str, ...]]:
    """Roll-ons, each against its prediction."""
    return [
        (
            run_name(each.row, system),
            GEARINGS[each.with_gearing],
            mean(each.predicted, "time", system),
            mean(each.measured, "time", system),
            _outcome(each),
        )
        for each in found
    ]


def change_rows(found: Sequence[ComparedChange], system: str) -> list[tuple[str, ...]]:
    """Roll-ons before and after."""
    return [
        (
            run_name(each.row, system),
            mean(each.predicted, "time", system),
            mean(each.measured, "time", system),
            each.verdict.outcome.value,
        )
        for each in found
    ]


def hill_rows(found: Sequence[ComparedHill], system: str) -> list[tuple[str, ...]]:
    """Climbs."""
    return [
        (
            f"{units.text(each.row.slope, 'slope', system)} in gear {each.row.gear}",
            GEARINGS[each.with_gearing],
            mean(each.steepest, "slope", system),
            "held" if each.row.held else "not held",
            each.verdict.outcome.value,
        )
        for each in found
    ]


def _outcome(each: ComparedRuns) -> str:
    possible = math.isfinite(each.predicted.value)
    return each.verdict.outcome.value if possible else "not possible by the computation"


def speed_sentences(found: Sequence[ComparedSpeed]) -> list[str]:
    """What the marked engine speeds say together."""
    if not found:
        return []
    share = np.mean([each.row.gps / each.predicted.value - 1 for each in found])
    said = [
        f"On average the measured speeds differ from the computed ones by "
        f"{units.signed(share * 100, 1)} % ({count(len(found), 'reading')})."
    ]
    outcomes = {each.verdict.outcome for each in found}
    if Outcome.NOT_AS_PREDICTED in outcomes:
        said.append(SAY["speeds-off"])
    elif outcomes == {Outcome.TOO_NOISY}:
        said.append(SAY["speeds-noisy"])
    return said


def run_sentences(found: Sequence[ComparedRuns], changes: Sequence[ComparedChange]) -> list[str]:
    """What the roll-ons say, and what to do next."""
    said = [f"Before and after: {_change_sentence(each)}" for each in changes]
    for each in found:
        name = f"Gear {each.row.gear}, {GEARINGS[each.with_gearing]} gearing"
        if not math.isfinite(each.predicted.value):
            said.append(f"{name}: {SAY['run-impossible']}")
        elif each.verdict.outcome is Outcome.TOO_NOISY:
            said.append(f"{name}: {_more_runs(each)}")
        elif each.verdict.outcome is Outcome.NOT_AS_PREDICTED:
            slower = "slower" if each.verdict.difference > 0 else "faster"
            said.append(f"{name}: {slower} {SAY['run-off']}")
    return said


def _change_sentence(each: ComparedChange) -> str:
    verdict = each.verdict
    if verdict.matters <= 1e-9 or not math.isfinite(each.predicted.value):
        return SAY["change-none"]
    if verdict.outcome is Outcome.AS_PREDICTED:
        return SAY["change-done"]
    noisy = verdict.outcome is Outcome.TOO_NOISY
    return SAY["change-noisy" if noisy else "change-not-done"]


def _more_runs(each: ComparedRuns) -> str:
    if math.isfinite(each.more_runs):
        return (
            f"too noisy to tell. Do this next: about {each.more_runs:.0f} runs each way, the same "
            "stretch, the same rider and kit."
        )
    return (
        f"too noisy to tell, and {MOST_RUNS} runs each way would not help: the computation "
        "itself is not accurate enough, or the runs scatter too much. Do this next: calibrate the "
        "bike, or time a wider range of speeds."
    )


def hill_sentences(found: Sequence[ComparedHill]) -> list[str]:
    """What the climbs say, and what to do next."""
    said = []
    for each in found:
        name = f"Gear {each.row.gear}, {GEARINGS[each.with_gearing]} gearing"
        if each.verdict.outcome is Outcome.TOO_NOISY:
            said.append(f"{name}: {SAY['hill-noisy']}")
        elif each.verdict.outcome is Outcome.NOT_AS_PREDICTED:
            said.append(f"{name}: {SAY['hill-off']}")
    return said


def meter_rows(fit: LineFit, readings: Sequence[MarkedSpeed], system: str) -> list[tuple[str, ...]]:
    """True speeds behind round readings in the range that was looked at."""
    factor, unit = units.display(1.0, "speed", system)
    seen = [row.indicated * factor for row in readings]
    shown = [each for each in range(10, 260, 10) if min(seen) <= each <= max(seen)]
    rows = []
    for reading in shown:
        at = true_speed_at(fit, reading / factor)
        true, off = float(at.value) * factor, float(at.prediction) * factor
        rows.append((f"{reading} {unit}", f"{true:.1f} {unit}", f"± {off:.1f} {unit}"))
    return rows


def meter_sentences(
    fit: LineFit | None, readings: Sequence[MarkedSpeed], gearing: str, system: str
) -> list[str]:
    """The calibration of the speedometer in words."""
    if not readings:
        return []
    many = count(len(readings), "reading")
    if fit is None:
        return [
            f"{many} of the speedometer with the {gearing} gearing; three or more at different "
            "speeds make a calibration."
        ]
    factor, unit = units.display(1.0, "speed", system)
    freedom = fit.degrees_of_freedom
    offset = Mean(fit.offset, float(np.sqrt(fit.covariance[0, 0])), freedom)
    slope = Mean(fit.slope, float(np.sqrt(fit.covariance[1, 1])), freedom)
    sign = "+" if offset.value >= 0 else "−"
    said = [
        f"Fitted to {many} with the {gearing} gearing: the speedometer shows {slope.value:.3f} "
        f"(± {slope.expanded:.3f}) times the true speed {sign} {abs(offset.value) * factor:.1f} "
        f"(± {offset.expanded * factor:.1f}) {unit}."
    ]
    true = float(np.mean([row.gps for row in readings]))
    at = reading_at(fit, true)
    if float(at.value + at.prediction) < true:
        said.append(SAY["shows-less"])
    elif float(at.value - at.prediction) < true:
        said.append(SAY["may-show-less"])
    within = "within" if bool(speedometer.within_r39(float(at.value), true)) else "outside"
    said.append(
        f"At a true {units.text(true, 'speed', system)} it is {within} the range that the type "
        f"approval of new vehicles allows. {speedometer.R39_SOURCE_STATUS}"
    )
    return said


def count(number: int, noun: str) -> str:
    """So many of something.

    >>> count(1, "run"), count(2, "run")
    ('1 run', '2 runs')
    """
    return f"{number} {noun}{'' if number == 1 else 's'}"
