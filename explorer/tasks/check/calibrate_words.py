"""What a calibration says in words: the values, what the ride cannot tell, what to do next."""

import math
from collections.abc import Sequence

import numpy as np

from explorer import units
from explorer.calc.ride.calibration import DAY_TO_DAY
from explorer.calc.ride.calibration_model import BACK, COASTING, THERE, Observation, Trace
from explorer.charts.ride.residual_chart import ResidualView
from explorer.records.bikes.calibrated_bike import Fitted
from explorer.records.prose import read_prose
from explorer.study.check.calibrate_result import (
    DRAG,
    GUESSED,
    POWER,
    ROLLING,
    STATED,
    WEIGHED,
    Calibrated,
)
from explorer.study.check.runs import RideRun
from explorer.study.wording import listed
from explorer.tasks.check.words import SAY

HEADS = ("", "Believed before", "Fitted", "Told by the ride")

CAUTIONS = read_prose("cautions")["calibrate"]

WEIGHTS = (
    ("weighed as ridden, ± 2 kg", WEIGHED),
    ("the maker's figure and mine, ± 5 %", STATED),
    ("a guess, ± 10 %", GUESSED),
)

OTHER_DAYS = (
    f"Power differs by about {100 * DAY_TO_DAY:.1f} % from day to day (our choice, no source). The "
    "± of power allows for it, as far as your ride tells power."
)

_SEPARATE = 0.85
"""Correlation from which two values cannot be told apart."""

_OUTLIER = 4.0
_NAMES = {DRAG: "drag area", ROLLING: "rolling resistance", POWER: "power"}


def run_label(run: RideRun, system: str) -> str:
    """A stretch of a ride in the list to pick from."""
    start, end = (units.text(speed, "speed", system) for speed in run.speed[[0, -1]])
    minutes, seconds = divmod(round(float(run.time[0])), 60)
    heading = "" if math.isnan(run.heading) else f", {math.degrees(run.heading) % 360:.0f}°"
    gear = f", gear {run.gear}" if run.gear else ""
    duration = float(run.time[-1] - run.time[0])
    return f"{minutes}:{seconds:02d}, {start} to {end}, {duration:.0f} s{heading}{gear}"


def value_rows(result: Calibrated, system: str) -> list[tuple[str, ...]]:
    """Drag area, rolling resistance and power, before and after."""
    factor, unit = units.display(1.0, "area", system)
    fit = result.fit
    rows = []
    for place, name, scale, shown in (
        (DRAG, "Drag area", factor, unit),
        (ROLLING, "Rolling resistance over load", 1.0, ""),
        (POWER, "Power over that of the file", 1.0, ""),
    ):
        prior, after = fit.prior, result.fitted(place)
        believed, doubt = float(prior.value[place]), float(prior.standard_uncertainty[place])
        before = Fitted(believed * scale, doubt * scale)
        after = Fitted(after.value * scale, after.standard_uncertainty * scale)
        learned = f"{100 * fit.learned[place]:.0f} %"
        rows.append((name, before.text(shown), after.text(shown), learned))
    return rows


def said(result: Calibrated, system: str) -> list[str]:
    """What the calibration says, the most important first."""
    return [
        *identifiability(result),
        *_wind_and_slope(result, system),
        *_noise(result, system),
        *_outliers(result),
        SAY["least-squares"],
        *([OTHER_DAYS] if result.pulls else []),
    ]


def identifiability(result: Calibrated) -> list[str]:
    """What the ride cannot tell, and which run would."""
    correlation = result.fit.correlation
    found = []
    one_way = result.coasts and len({seen.way for seen in result.coasts} & {THERE, BACK}) == 1
    if not result.told(DRAG):
        found.append(SAY["drag-unknown" if result.coasts else "no-coasts"])
    if one_way:
        found.append(SAY["coasts-one-way"])
    if result.coasts and correlation[DRAG, ROLLING] < -_SEPARATE:
        found.append(SAY["drag-or-rolling"])
    if not result.told(ROLLING):
        found.append(SAY["rolling-unknown"])
    if not result.pulls:
        found.append(SAY["no-pulls"])
    elif not result.told(POWER):
        found.append(SAY["power-unknown"])
    if result.pulls and result.told(DRAG) and correlation[DRAG, POWER] > _SEPARATE:
        found.append(SAY["drag-or-power"])
    told = [name for place, name in _NAMES.items() if result.told(place)]
    return [f"Your ride tells {listed(told)}." if told else SAY["nothing-told"], *found]


def _wind_and_slope(result: Calibrated, system: str) -> list[str]:
    wind, slope = (result.fitted(place) for place in (4, 5))
    factor, unit = units.display(1.0, "speed", system)
    shown = Fitted(wind.value * factor, wind.standard_uncertainty * factor).text(unit)
    grade = Fitted(slope.value * 100, slope.standard_uncertainty * 100).text("%")
    found = f"Fitted too, going there: head wind {shown}, slope {grade}."
    return [found.replace("-", "−")]


def _noise(result: Calibrated, system: str) -> list[str]:
    if math.isnan(result.fit.noise):
        return []
    factor, unit = units.display(1.0, "speed", system)
    return [
        f"The logged speeds scatter by {result.fit.noise * factor:.1f} {unit} about the fit; "
        f"neighbours in time err alike by {100 * result.fit.correlation_in_time:.0f} %, which the "
        "± allows for."
    ]


def _outliers(result: Calibrated) -> list[str]:
    far = [
        each.observation + 1
        for each in result.fit.residuals
        if np.sqrt(np.mean(each.standardised**2)) > (_OUTLIER if each.value.size == 1 else 2.0)
    ]
    if not far:
        return []
    runs, do, it = ("Run", "does", "it") if len(far) == 1 else ("Runs", "do", "them")
    return [
        f"{runs} {listed([str(number) for number in far])} (in the order fitted) {do} not fit the "
        "others: a braked coast-down, a throttle not fully open, another gear or a gust. Leave "
        f"{it} out and fit again."
    ]


def residual_view(result: Calibrated | None, system: str) -> ResidualView:
    """The residuals by kind of run."""
    factor, unit = units.display(1.0, "speed", system)
    if result is None:
        none = np.zeros(0)
        return ResidualView((), none, none, none, unit)
    kinds: list[str] = []
    kind, speed, residual = [], [], []
    for each in result.fit.residuals:
        name = kind_of(result.observations[each.observation])
        if name not in kinds:
            kinds.append(name)
        kind += [kinds.index(name)] * each.speed.size
        speed += (each.speed * factor).tolist()
        residual += each.standardised.tolist()
    return ResidualView(tuple(kinds), np.array(kind), np.array(speed), np.array(residual), unit)


def kind_of(seen: Observation) -> str:
    """Kind of a run, for the legend."""
    name = "coast-down" if seen.gear == COASTING else "full throttle"
    return f"{name} back" if seen.way == BACK else f"{name} there"


def ride_words(observations: Sequence[Observation], label: str) -> str:
    """The runs in a few words, for the bike file."""
    logged = any(isinstance(seen, Trace) for seen in observations)
    return f"{len(observations)} runs, {label if logged and label else 'typed'}"
