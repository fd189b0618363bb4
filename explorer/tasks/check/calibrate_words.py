"""What a calibration says in words: the values, what the ride cannot tell, what to do next."""

import math
from collections.abc import Sequence

import numpy as np

from explorer import units
from explorer.calc.ride.calibration import DAY_TO_DAY
from explorer.calc.ride.calibration_model import BACK, COASTING, THERE, Observation, Trace
from explorer.charts.ride.residual_chart import ResidualView
from explorer.records.bikes.calibrated_bike import Fitted
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

HEADS = ("", "Believed before", "Fitted", "Told by the ride")

CAUTIONS = (
    "Coast-down: on an empty, straight, level stretch of closed ground or where you may lawfully "
    "ride at that speed; pull the clutch and let it roll, both ways, hand ready to let the clutch "
    "out. Mind who comes from behind: you are slowing down without a brake light.",
    "Do not let the log or the phone take your eyes off the road; start it before you set off.",
    "Full throttle only where you can see to the end and stop well before it.",
)

ABOUT = (
    "Runs count as ridden with the gearing said here, on the set surface, in the set weather. A "
    "coast-down from high to low speed gives drag and rolling resistance; roll-ons and a held top "
    "speed give power. Ride both ways, so that wind and slope are found too. What the ride does "
    "not show stays as the bike file has it."
)

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
        before = Fitted(
            float(fit.prior.value[place]) * scale,
            float(fit.prior.standard_uncertainty[place]) * scale,
        )
        after = result.fitted(place)
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
        "± is about 95 %. Computed from the runs above by least squares; a fit is as good as its "
        "runs.",
        *([OTHER_DAYS] if result.pulls else []),
    ]


def identifiability(result: Calibrated) -> list[str]:
    """What the ride cannot tell, and which run would."""
    correlation = result.fit.correlation
    found = []
    one_way = result.coasts and len({seen.way for seen in result.coasts} & {THERE, BACK}) == 1
    if not result.coasts and not result.told(DRAG):
        found.append(
            "Your ride can't separate drag from power: do a coast-down, both ways, from your "
            "highest lawful speed."
        )
    elif not result.told(DRAG):
        found.append(
            "Your coast-downs say little about drag: begin at a higher speed, where the air "
            "matters, and do more of them."
        )
    if one_way:
        found.append(
            "All coast-downs go one way, so a breeze or a slope that nobody sees passes for drag "
            "and rolling resistance: do them the other way too."
        )
    if result.coasts and correlation[DRAG, ROLLING] < -_SEPARATE:
        found.append(
            "Your coast-downs can't separate drag from rolling resistance: let one run from high "
            "speed down to walking pace."
        )
    if not result.told(ROLLING):
        found.append(
            "Your ride says little about rolling resistance: let a coast-down run out to a low "
            "speed."
        )
    if not result.pulls:
        found.append("Coast-downs say nothing about power: do roll-ons, both ways.")
    elif not result.told(POWER):
        found.append(
            "Your ride says little about power: do roll-ons in a gear that pulls hard, both ways, "
            "or hold a top speed that is not ended by the rev limit."
        )
    if result.pulls and result.told(DRAG) and correlation[DRAG, POWER] > _SEPARATE:
        found.append(
            "Drag and power come out together: if one is too high, so is the other. More "
            "coast-downs set them apart."
        )
    told = [name for place, name in _NAMES.items() if result.told(place)]
    if told:
        found.insert(0, f"Your ride tells {_listed(told)}.")
    else:
        found.insert(0, "Your ride tells none of the three values well enough to keep it.")
    return found


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
    runs, do = ("Run", "does") if len(far) == 1 else ("Runs", "do")
    it = "it" if len(far) == 1 else "them"
    return [
        f"{runs} {_listed([str(number) for number in far])} (in the order fitted) {do} not fit the "
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


def _listed(words: Sequence[str]) -> str:
    return " and ".join(filter(None, [", ".join(words[:-1]), *words[-1:]]))
