"""What the page says of a ride: sentences, tiles and tables, in the reader's units."""

import math
from collections.abc import Callable
from itertools import pairwise

import numpy as np

from explorer import units
from explorer.calc.ride.ride_replay import Replay
from explorer.records.prose import read_prose
from explorer.records.rides.ride import Ride
from explorer.study.check.result import CLUTCH_OUT, HELD_FOR, SLOPE_EDGES, RideResult
from explorer.study.study import CHOSEN, FITTED
from explorer.study.wording import clock, ordinal

SAY = read_prose("words/check")

CAUTIONS = read_prose("cautions")["check"]

UNKNOWN = read_prose("unknown")["check"]

WANT_HEADS = ("What you want", "Fitted", "Chosen")


def pair(result: RideResult, index: int) -> str:
    """Teeth of one gearing, such as "13/49"."""
    teeth = result.bike.sprockets if index == FITTED else result.setup
    return f"{teeth.front}/{teeth.rear}"


def gearing_name(index: int) -> str:
    """Word for one of the two gearings."""
    return "chosen" if index == CHOSEN else "fitted"


def way_tiles(ride: Ride, system: str) -> list[tuple[str, str]]:
    """How far and how long, of a ride without its glitches."""
    tiles = [
        (_way(ride.length, system), "ridden, glitches and standing left out"),
        (clock(ride.moving), "moving"),
    ]
    if ride.moving and ride.sparse:
        mean = units.text(ride.length / ride.moving, "speed", system)
        tiles.append((mean, "mean while moving, straight from point to point"))
    return tiles


def headline(result: RideResult) -> list[tuple[str, str]]:
    """The ride in a few large figures."""
    system, top = result.setup.units, result.top
    tiles = way_tiles(result.cleaned, system)
    if top is not None:
        held = units.text(top.speed, "speed", system)
        tiles.append((held, f"held for {HELD_FOR:.0f} s, from the log"))
        if math.isfinite(top.both_ways):
            both = units.text(top.both_ways, "speed", system)
            tiles.append((both, "both directions of one road averaged"))
        elif math.isfinite(top.opposite_speed):
            back = units.text(top.opposite_speed, "speed", system)
            tiles.append((back, "held in the opposite direction, on another road"))
    return tiles


def sparse_sentences(ride: Ride) -> list[str]:
    """What was read of a log that is too sparse for speeds."""
    return [f"{ride.label}: {ride.kind}.", *ride.notes]


def _way(length: float, system: str) -> str:
    """Length of a ride; kilometres or miles, at most three digits."""
    per = units.to_si("1 km" if system == "metric" else "1 mi", "distance")
    return f"{float(f'{length / per:.3g}'):g} {'km' if system == 'metric' else 'mi'}"


def reading_sentences(result: RideResult) -> list[str]:
    """What was read and what was left out."""
    ride, cleaned = result.ride, result.cleaned
    many = len(ride.segments)
    said = [
        f"{ride.label}: {ride.kind}, {ride.points} readings in {many} unbroken "
        f"stretch{'es' if many > 1 else ''}.",
        *ride.notes,
    ]
    if result.glitches:
        said.append(
            f"Left out as glitches: {result.glitches} of {ride.points} readings, too far from "
            "their neighbours, beyond what a tyre can do, or in stretches too short to check."
        )
    else:
        said.append(SAY["no-glitch"])
    counted = max((each.speed for each in ride.silences), default=0.0)
    top = result.top.speed if result.top is not None else 0.0
    if counted > top:
        longest = max(ride.silences, key=lambda each: each.speed)
        said.append(
            f"The log has a {longest.duration:.0f} s gap, averaging "
            f"{units.text(counted, 'speed', result.setup.units)}. Gaps are ignored; set the logger "
            "to one point a second to include that stretch."
        )
    if cleaned.duration < 60:
        said.append(SAY["short-ride"])
    return said


def top_sentences(result: RideResult) -> list[str]:
    """The top speed that was held, both ways, and what the gearing allows."""
    system, top = result.setup.units, result.top
    if top is None:
        return [
            f"No speed was held for {HELD_FOR:.0f} seconds in one stretch; ride a steady piece, "
            "logged every second."
        ]
    said = [
        f"Highest speed held for {HELD_FOR:.0f} seconds: {units.text(top.speed, 'speed', system)} "
        f"at {clock(top.start)}. The largest single reading is not reported: it is the one with "
        "the largest error."
    ]
    back = f"In the opposite direction {units.text(top.opposite_speed, 'speed', system)} at"
    if math.isfinite(top.both_ways):
        said.append(
            f"{back} {clock(top.opposite_start)}; averaged "
            f"{units.text(top.both_ways, 'speed', system)}, which takes out most of wind and slope."
        )
    elif math.isfinite(top.opposite_speed):
        said.append(f"{back} {clock(top.opposite_start)}, {SAY['another-road']}")
    elif math.isfinite(top.course):
        said.append(SAY["no-way-back"])
    else:
        said.append(SAY["no-direction"])
    name = f"{gearing_name(result.ridden)} {pair(result, result.ridden)}"
    held = top.speed if not math.isfinite(top.both_ways) else top.both_ways
    quotient = result.quotient[result.ridden]
    limiter = result.bike.engine.rev_limit.si
    possible = [gear for gear, each in enumerate(quotient, 1) if held * each <= limiter * 1.01]
    if possible:
        revs = units.text(held * quotient[possible[-1] - 1], "engine speed", system)
        said.append(f"With the {name} that is {revs} in {ordinal(possible[-1])} gear (computed).")
    else:
        said.append(
            f"The {name} cannot reach it below the rev limit: another gearing was on the bike, or "
            "its file is wrong."
        )
    return said


def roll_on_rows(result: RideResult) -> list[tuple[str, str, str, str, str]]:
    """Best passages between two speeds."""
    system = result.setup.units
    rows = []
    for each in result.roll_ons:
        low, high = (units.text(v, "speed", system) for v in (each.start_speed, each.end_speed))
        second = f"{each.duration[1]:.1f} s" if len(each.duration) > 1 else "–"
        rows.append(
            (
                f"{low.split()[0]} to {high}",
                f"{each.duration[0]:.1f} s",
                second,
                units.text(each.distance[0], "distance", system, 2),
                clock(each.start[0]),
            )
        )
    return rows


def roll_on_sentences(result: RideResult) -> list[str]:
    """How well a roll-on is known."""
    if not result.roll_ons:
        return []
    steps = np.concatenate([np.diff(each.time) for each in result.cleaned.segments])
    return [
        f"Readings are {np.median(steps):.2g} s apart, so one roll-on is known to about half of "
        "that and the noise; for a comparison take three runs each way on the same stretch."
    ]


ROLL_ON_HEADS = ("Speeds", "Best", "Second", "Distance", "When")


def slope_rows(result: RideResult) -> list[tuple[str, str, str, str]]:
    """Speeds on slopes of each steepness; those that the ride has."""
    if result.slopes is None:
        return []
    system = result.setup.units
    rows = []
    for row, (low, high) in enumerate(pairwise(SLOPE_EDGES)):
        way = result.slopes.distance[row]
        if not way:
            continue
        if row == 0:
            name = f"steeper down than {-high:.0%}"
        elif row == len(SLOPE_EDGES) - 2:
            name = f"steeper up than {low:.0%}"
        else:
            name = "level, ±2 %" if low < 0 < high else _slope_name(low, high)
        rows.append(
            (
                name.replace("%", " %").replace("  %", " %"),
                units.text(way, "distance", system, 2),
                units.text(result.slopes.mean_speed[row], "speed", system),
                units.text(result.slopes.best_speed[row], "speed", system),
            )
        )
    return rows


def _slope_name(low: float, high: float) -> str:
    if high <= 0:
        return f"{-high:.0%} to {-low:.0%} down"
    return f"{low:.0%} to {high:.0%} up"


SLOPE_HEADS = ("Slope", "Distance", "Mean speed", "Fastest 100 m")


def replay_rows(result: RideResult) -> list[tuple[str, str, str]]:
    """The same ride with both gearings."""
    system, both = result.setup.units, result.replays

    def row(name: str, said: Callable[[Replay], str]) -> tuple[str, str, str]:
        return name, said(both[FITTED]), said(both[CHOSEN])

    def in_gear(gear: int) -> tuple[str, str, str]:
        return row(f"Time in {ordinal(gear + 1)} gear", lambda it: clock(it.time_in_gear[gear]))

    below = f"Below clutch-out speed ({CLUTCH_OUT:g} × idle)"
    rows = [
        *map(in_gear, range(len(both[FITTED].time_in_gear))),
        row("Changes up and down", lambda it: f"{it.upshifts + it.downshifts}"),
        row("Beyond the rev limit", lambda it: clock(it.on_limiter)),
        row(below, lambda it: clock(it.below_clutch_out)),
        row("Mean engine speed", lambda it: units.text(it.mean_engine, "engine speed", system)),
    ]
    if result.top is not None:
        top = result.top.speed * result.quotient[:, -1]
        fitted, chosen = (units.text(each, "engine speed", system) for each in top)
        rows.append(("Top gear at the speed held", fitted, chosen))
    return rows


def replay_heads(result: RideResult) -> tuple[str, str, str]:
    """Headings of `replay_rows`."""
    fitted, chosen = pair(result, FITTED), pair(result, CHOSEN)
    return "The same ride, computed", f"Fitted {fitted}", f"Chosen {chosen}"


def replay_sentences(result: RideResult) -> list[str]:
    """What the other gearing would have changed."""
    fitted, chosen = result.replays
    said = [SAY["replay"]]
    for each, index in ((fitted, FITTED), (chosen, CHOSEN)):
        if each.on_limiter > 0.5:
            said.append(
                f"The {gearing_name(index)} {pair(result, index)} could not have gone as fast for "
                f"{clock(each.on_limiter)}: too short for this ride."
            )
    change = (chosen.upshifts + chosen.downshifts) - (fitted.upshifts + fitted.downshifts)
    if pair(result, FITTED) == pair(result, CHOSEN):
        said.append(SAY["same-pair"])
    elif change:
        word = "fewer" if change < 0 else "more"
        changes = "change" if abs(change) == 1 else "changes"
        said.append(f"The chosen pair takes {abs(change)} {word} {changes} of gear on this ride.")
    slower = chosen.below_clutch_out - fitted.below_clutch_out
    if abs(slower) > 1:
        word = "more" if slower > 0 else "less"
        said.append(f"With it the clutch is worked for {clock(abs(slower))} {word}.")
    return said
