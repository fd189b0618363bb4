"""What the ground page says in sentences about one result, card by card."""

import numpy as np

from explorer import units
from explorer.calc.statistics.sampling import Change, Sampled
from explorer.records.bikes.own_bike import curve_said
from explorer.records.ground.surfaces import surfaces
from explorer.records.prose import read_prose
from explorer.study.certainty import (
    BAND_IN_WORDS,
    INPUT_NAMES,
    NO_DIFFERENCE,
    change_with_band,
    difference_sentence,
    is_real,
    level,
    signed_percent,
)
from explorer.study.goals import by_distance
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wording import engine_speed, more_changes, ordinal
from explorer.tasks.gearing.words import gear_change_sentences
from explorer.units import RPM

_SAME = 0.005
"""Half a per cent: less is said to be the same."""

_SHOWS = 0.05
"""Of a per cent or a unit of speed: less does not show in a figure with one decimal."""

UNKNOWN = tuple(read_prose("unknown")["ground"])

CAUTIONS = tuple(read_prose("cautions")["ground"])

SAY = read_prose("words/ground")
"""Sentences in which nothing is filled in, by name."""


def gearing_differs(result: Study) -> bool:
    """Whether chosen and fitted turn the wheel differently for one turn of the engine."""
    overall = (result.drive.overall / result.drive.radius)[:, 0, 0]
    return bool(abs(overall[CHOSEN] / overall[FITTED] - 1) > 1e-6)


def same_sentence(result: Study) -> str:
    """Said while there is nothing to compare; otherwise empty."""
    return "" if gearing_differs(result) else SAY["same-so-far"]


def assumed_sentence(result: Study) -> str:
    """What of the engine is assumed and decides what is said here; empty for nothing."""
    assumes = curve_said(result.bike)
    return f"Everything here that hangs on the engine {assumes}." if assumes else ""


def goal_name(result: Study) -> str:
    """The goal in a few words, in the reader's units."""
    setup = result.setup
    if by_distance(setup):
        return f"{units.text(setup.distance, 'distance', setup.units)} from rest"
    return f"0 to {units.text(setup.target_speed, 'speed', setup.units)}"


def speed_text(result: Study, value: float) -> str:
    """A speed in the reader's unit."""
    return units.text(float(value), "speed", result.setup.units)


def slope_name(result: Study) -> str:
    """The set slope in words."""
    slope = result.setup.slope
    if abs(slope) < _SAME:
        return "on the level"
    way = "up" if slope > 0 else "down"
    return f"{way} {units.text(abs(slope), 'slope', result.setup.units)}"


def where_sentence(result: Study) -> str:
    """Ground, slope and air for which everything is computed."""
    setup = result.setup
    surface = surfaces()[setup.surface].label.lower()
    way = "head" if setup.head_wind > 0 else "tail"
    wind = (
        f"{way} wind {speed_text(result, abs(setup.head_wind))}" if setup.head_wind else "no wind"
    )
    power = float(result.drive.conditions.power_factor)
    return (
        f"Computed for {surface}, {slope_name(result)}, {wind}, "
        f"{units.text(setup.altitude, 'altitude', setup.units)} above the sea: the engine gives "
        f"{power * 100:.0f} % of its curve there."
    )


def launch_sentences(result: Study) -> list[str]:
    """How long and how far the clutch slips in first gear, and the heat as a comparison."""
    away, system = result.away, result.setup.units

    def said(index: int) -> str:
        if np.isnan(away.slip_time[index]):
            return "does not pull away in 1st here"
        distance = units.text(float(away.slip_distance[index]), "distance", system, 2)
        return (
            f"slips about {away.slip_time[index]:.1f} s over {distance}, until "
            f"{speed_text(result, away.lock_up_speed[index])}"
        )

    held = engine_speed(result.drive.launch_speed.item() / RPM)
    named = ("chosen", CHOSEN), ("fitted", FITTED)
    each = [f"{name} {result.fitments[index].pair} {said(index)}" for name, index in named]
    slips = "; ".join(each) if gearing_differs(result) else f"{each[0]}, as fitted"
    sentences = [
        f"Pulling away in 1st at full throttle, the engine held at {held}, the clutch: {slips}."
    ]
    share = result.relative("clutch-heat")
    if abs(share.value) < _SAME or not (np.isnan(share.value) or is_real(*share)):
        sentences.append(SAY["same-heat"])
    elif np.isfinite(share.value):
        amounts = [units.text(float(each), "energy", system, 2) for each in away.clutch_energy]
        way = "less" if share.value < 0 else "more"
        sentences.append(
            f"Each such start puts {_percent(share).lstrip('+−')} {way} heat into the clutch than "
            f"with the fitted gearing: about {amounts[CHOSEN]} against {amounts[FITTED]}. Trust "
            "the comparison only: the heat itself depends on how you feed the clutch in."
        )
    return sentences


def _percent(share: Change) -> str:
    """A relative difference, with its band where that shows, such as "−12 ± 2 %"."""
    if max(share.band) < _SHOWS / 100:
        return signed_percent(share.value)
    return change_with_band(share, 100.0, "%")


def clutch_out_rows(result: Study) -> list[tuple[str, ...]]:
    """Slowest speed with the clutch out in each gear: gear, change, chosen, fitted."""
    rows = []
    for gear in range(result.drive.gears):
        change, chosen, fitted = beside(result, result.in_gear("clutch-out", gear), "speed")
        rows.append((ordinal(gear + 1), change, chosen, fitted if fitted != chosen else "same"))
    return rows


def beside(result: Study, sure: Sampled, kind: str) -> tuple[str, str, str]:
    """Difference to the fitted gearing, with its band, chosen and fitted level without; where the
    gearing is the same the levels have it."""
    scale = units.display(1.0, kind, result.setup.units)
    differs, change = gearing_differs(result), sure.change(FITTED, CHOSEN)
    chosen, fitted = (level(sure, index, scale, alone=differs) for index in (CHOSEN, FITTED))
    nothing = max(abs(change.value), *change.band) * scale[0] < _SHOWS
    apart = NO_DIFFERENCE if nothing else change_with_band(change, *scale)
    return apart if differs else "same", chosen, fitted


def _hangs_on(result: Study) -> str:
    """Gear changes more or fewer before the speed to reach; empty for a distance."""
    return "" if by_distance(result.setup) else more_changes(result.more_changes[CHOSEN])


def sure_sentences(result: Study) -> list[str]:
    """How sure the time to the goal and the top speed are, level and difference."""
    goal, system = goal_name(result), result.setup.units
    time, top = result.estimate("goal"), result.estimate("top")
    sentences = []
    if gearing_differs(result):
        sentences = [
            difference_sentence(goal, result.change("goal"), "time", system, _hangs_on(result)),
            *([] if by_distance(result.setup) else gear_change_sentences(result)),
        ]
    if np.isfinite(time.value[CHOSEN]):
        sentences.append(f"{goal}, chosen gearing: {level(time, CHOSEN, (1.0, 's'))}.")
        if time.may_fail[CHOSEN]:
            sentences.append(SAY["narrow-band"])
    else:
        sentences.append(f"{goal}: the chosen gearing does not reach it here.")
    if np.all(top.value > 0):
        change, scale = result.change("top"), units.display(1.0, "speed", system)
        if gearing_differs(result):
            sentences.append(difference_sentence("Top speed", change, "speed", system))
        sentences.append(f"Top speed, chosen gearing: {level(top, CHOSEN, scale)}.")
    sentences.append(
        f"{BAND_IN_WORDS[0].upper()}{BAND_IN_WORDS[1:]}. Fitted and chosen are the same bike on "
        "the same ground, so the difference is better known than either figure."
    )
    return sentences


def input_sentences(result: Study) -> list[str]:
    """Where the spread of each input comes from."""
    return [f"{INPUT_NAMES.get(each.input, each.input)}: {each.reason}" for each in result.spreads]


def headline(result: Study) -> list[tuple[str, str]]:
    """The few figures to take in at a glance: value, and what it is."""
    fitted, chosen = (each.pair for each in result.fitments)
    tiles = [(chosen, f"front/rear chosen (fitted {fitted})")]
    heat, differs = result.relative("clutch-heat"), gearing_differs(result)
    if differs and np.isfinite(heat.value):
        tiles.append((_percent(heat), "heat in the clutch at a start"))
    change, slope, _ = beside(result, result.estimate("steepest"), "slope")
    # The slope is in per cent too: first it, then the change.
    than = f", {change} from fitted" if differs else ""
    tiles.append((slope, f"steepest slope held{than}"))
    goal = result.estimate("goal")
    if differs and np.all(np.isfinite(goal.value)):
        time = level(goal, CHOSEN, (1.0, "s"), alone=True)
        change = change_with_band(result.change("goal"), 1.0, "s")
        what = ", ".join(filter(None, (goal_name(result), _hangs_on(result))))
        tiles.append((change, f"{what}: {time}"))
    return tiles
