"""What the gearing page says in sentences about one result."""

import numpy as np

from explorer import units
from explorer.app.gearing_views import measure_name
from explorer.calc import gearing
from explorer.calc.drivetrain.top_speed import Limit
from explorer.calc.engine import power_correction
from explorer.records.prose import read_prose
from explorer.records.tyre import rollout
from explorer.study import compared
from explorer.study.certainty import (
    BAND_IN_WORDS,
    change_with_band,
    difference_sentence,
    level,
    signed_percent,
)
from explorer.study.fit_chain import sold
from explorer.study.goals import MEASURES
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.study.wording import LIMIT_WORDS, SHORT_LIMITS, listed, more_changes, ordinal

_NEAR = 0.01
"""Pairs within one per cent are listed as nearly the same."""

_MOST_NEAR_PAIRS = 5

UNKNOWN = tuple(read_prose("unknown")["gearing"])

SAY = read_prose("words/gearing")
"""Sentences in which nothing is filled in, by name."""

_SAME_TIME = 0.05
"""Times closer than this are printed alike [s]."""

_LITTLE_SLIP = 0.03
"""A tyre always slips a little; below this nobody notices [-]."""

_MUCH_SLIP = 0.3
"""Beyond this the tyre rather spins, and the engine's speed is no longer that of the road [-]."""


def pair_sentence(result: Study) -> str:
    """The chosen pair said back in words."""
    setup, fitted = result.setup, result.fitments[FITTED].pair
    return (
        f"Front sprocket {setup.front} teeth, rear sprocket {setup.rear} teeth: final drive ratio "
        f"{result.ratios[CHOSEN]:.2f} (rear ÷ front). Fitted: {fitted}, "
        f"{result.ratios[FITTED]:.2f}."
    )


def headline(result: Study) -> list[tuple[str, str]]:
    """The few figures to take in at a glance: value, and what it is."""
    top, change = result.top, compared.pull_change(result)
    way = "as fitted" if compared.same_gearing(result) else "shorter" if change > 0 else "taller"
    fitted, chosen = (top_speed_with_band(result, index) for index in (FITTED, CHOSEN))
    what = "no gear holds one here"
    if compared.holds(result, CHOSEN):
        what = f"top speed in {ordinal(int(top.gear[CHOSEN]) + 1)}"
    if change_of_top := top_speed_change(result):
        what, chosen = f"{what}, {chosen}", change_of_top
    return [
        (result.fitments[CHOSEN].pair, f"front/rear, {way}"),
        (signed_percent(change), "pull of the engine, every gear"),
        (signed_percent(compared.speed_change(result)), "speed at the same rpm"),
        (chosen, f"{what}; fitted {fitted}"),
    ]


def top_speed_with_band(result: Study, index: int) -> str:
    """Top speed of the fitted or the chosen gearing, or that no gear holds any; the band of the
    chosen one stands at the difference, if there is one."""
    if not compared.holds(result, index):
        return SHORT_LIMITS[Limit.CANNOT_HOLD]
    alone = index == CHOSEN and bool(top_speed_change(result))
    scale = units.display(1.0, "speed", result.setup.units)
    return level(result.estimate("top"), index, scale, alone)


def top_speed_change(result: Study) -> str:
    """Difference of top speed with its own band; empty where there is none to give."""
    if compared.same_gearing(result) or not all(compared.holds(result, i) for i in (0, 1)):
        return ""
    return change_with_band(result.change("top"), *units.display(1.0, "speed", result.setup.units))


def certainty_sentences(result: Study) -> list[str]:
    """Differences of top speed and of the picked measure, with what is unsure about them."""
    setup = result.setup
    if compared.same_gearing(result):
        return []
    measure_kind = MEASURES[setup.measure].kind
    measured, by_time = result.change("measure"), setup.measure == "time_to_speed"
    hangs_on = more_changes(result.more_changes[CHOSEN]) if by_time else ""
    return [
        _top_speed_difference(result),
        difference_sentence(measure_name(setup), measured, measure_kind, setup.units, hangs_on),
        *(gear_change_sentences(result) if by_time else []),
        "Both gearings are on the same bike, so the difference is better known than either figure; "
        f"{BAND_IN_WORDS}.",
    ]


def gear_change_sentences(result: Study) -> list[str]:
    """Where the time to a speed goes both ways a little around the speed to reach."""
    setup = result.setup
    speeds, curve = result.over_target
    gap = curve.time[CHOSEN] - curve.time[FITTED]
    if not np.isfinite(gap).any():
        return []
    lowest, highest = np.nanargmin(gap), np.nanargmax(gap)
    if gap[lowest] >= -_SAME_TIME or gap[highest] <= _SAME_TIME:
        return []
    at = [
        f"{units.signed(gap[index], 1)} s to "
        f"{units.text(float(speeds[index]), 'speed', setup.units)}"
        for index in sorted((int(lowest), int(highest)))
    ]
    return [
        f"Around {units.text(setup.target_speed, 'speed', setup.units)} the difference goes both "
        f"ways ({listed(at)}): it is the place of a gear change, not the gearing, that decides the "
        "sign."
    ]


def _top_speed_difference(result: Study) -> str:
    """Difference of top speed; there is none where one of the two holds no steady speed."""
    holding = [compared.holds(result, index) for index in (FITTED, CHOSEN)]
    if all(holding):
        top = result.change("top")
        return difference_sentence("Top speed", top, "speed", result.setup.units)
    which = "the fitted" if holding[CHOSEN] else "the chosen" if holding[FITTED] else "either"
    return f"Top speed: with {which} gearing no gear holds a steady speed here."


def comparison(result: Study) -> list[str]:
    """What the chosen gearing changes against the fitted one."""
    if compared.same_gearing(result):
        return [SAY["same"]]
    change, speed = compared.pull_change(result), compared.speed_change(result)
    word = "Shorter" if change > 0 else "Taller"
    return [
        f"{word} gearing: pull at the same rpm {signed_percent(change)}, speed at the same rpm "
        f"{signed_percent(speed)}, in every gear. The engine gives no more power, and the gap "
        "between two gears stays the same.",
        *([SAY["spins"]] if compared.held_back(result).any() else []),
    ]


def top_speed_sentences(result: Study) -> list[str]:
    """Top speed of both, the limit that binds, and what taller gearing does about it."""
    system, top = result.setup.units, result.top

    def said(index: int) -> str:
        if not compared.holds(result, index):
            return "no gear holds a steady speed here at full throttle"
        return (
            f"{units.text(float(top.speed[index]), 'speed', system)} in "
            f"{ordinal(int(top.gear[index]) + 1)}, limited by "
            f"{LIMIT_WORDS[Limit(int(top.limit[index]))]}"
        )

    fitted = "the same" if said(CHOSEN) == said(FITTED) else said(FITTED)
    sentences = [f"Top speed: {said(CHOSEN)}. Fitted: {fitted}."]
    gears, fastest = result.drive.gears, int(top.gear[CHOSEN]) + 1
    if Limit(int(top.limit[CHOSEN])) is Limit.POWER:
        sentences.append(_out_of_power(result))
    if fastest < gears and compared.holds(result, CHOSEN):
        last = float(top.by_gear[CHOSEN, -1])
        if not last:
            what = "cannot hold any speed here"
        elif last > float(top.speed[CHOSEN]) * (1 - compared.SAME):
            what = "is as fast, at fewer revolutions"
        else:
            what = "is slower and serves to cruise at fewer revolutions"
        sentences.append(f"The fastest gear is {ordinal(fastest)}; {ordinal(gears)} {what}.")
    return sentences


def _out_of_power(result: Study) -> str:
    """What taller gearing does for a bike that ends at its power."""
    taller, setup = compared.taller_than_chosen(result), result.setup
    start = "The bike runs out of power there, not of engine speed"
    if not taller.sold:
        return f"{start}; no taller gearing is sold for it."
    if not compared.noticeably_faster(taller.speed, float(result.top.speed[CHOSEN])):
        return f"{start}: taller gearing would not make it noticeably faster."
    where = "past" if taller.past_peak else "short of"
    return (
        f"The bike runs out of power there, {where} the engine's power peak. Taller gearing can "
        "still be faster, where the engine gives more of its power: up to about "
        f"{units.text(taller.speed, 'speed', setup.units)} with {taller.front}/{taller.rear}."
    )


def _throttle_sentence(result: Study, why: str) -> list[str]:
    """From which share of the throttle grip or balance ends the pull, where it does."""
    shares = result.throttle_at_grip[CHOSEN]
    gears = np.flatnonzero(np.isfinite(shares))
    if not gears.size:
        return []
    each = listed([f"{shares[gear] * 100:.0f} % in {ordinal(int(gear) + 1)}" for gear in gears])
    return [f"At peak-torque revs {why} from about this much throttle: {each} (rough)."]


def _slip_sentence(result: Study) -> list[str]:
    """How much the tyre slips at full throttle, in the lowest gear where it hooks up well."""
    for gear in range(result.drive.gears):
        point = int(np.argmax(result.engine_pull[CHOSEN, gear]))
        slip, lost, heat = (float(part[CHOSEN, gear, point]) for part in result.slip)
        if _LITTLE_SLIP < slip < _MUCH_SLIP:
            speed = units.text(lost, "speed", result.setup.units)
            return [
                f"At full throttle in {ordinal(gear + 1)} the rear tyre slips about "
                f"{slip * 100:.0f} % to pull: {speed} and {heat / 1000:.1f} kW stay in the ground "
                "(rough)."
            ]
    return []


def _no_tradeoff_sentence(result: Study) -> list[str]:
    """Where the shortest pair sold is as fast as any: shorter gearing costs nothing there."""
    pairs = result.pairs.tradeoff
    if not pairs.ground_sets_top or not pairs.top_speed.any():
        return []
    return [SAY["no-tradeoff"]]


def ground_sentences(result: Study) -> list[str]:
    """Where the ground, not the engine, limits the pull of the chosen gearing."""
    system, held_back = result.setup.units, compared.held_back(result)[CHOSEN]
    why = "the front wheel lifts" if compared.front_wheel_first(result) else "the rear tyre spins"
    said = []
    throughout = [ordinal(int(gear) + 1) for gear in np.flatnonzero(held_back.all(axis=1))]
    if throughout:
        gears = "gear" if len(throughout) == 1 else "gears"
        said.append(
            f"In {listed(throughout)} {gears} {why} at full throttle all the way: shorter gearing "
            "gains no pull there."
        )
    for gear in np.flatnonzero(held_back.any(axis=1) & ~held_back.all(axis=1)):
        speeds = result.road_speed[CHOSEN, gear][held_back[gear]]
        low, high = (units.text(float(end(speeds)), "speed", system) for end in (np.min, np.max))
        which = ordinal(int(gear) + 1)
        said.append(f"In {which} gear {why} at full throttle from {low} to {high}.")
    return [
        *said,
        *([SAY["held-steady"]] if said else []),
        *_throttle_sentence(result, why),
        *_slip_sentence(result),
        *_no_tradeoff_sentence(result),
    ]


def tooth_sentences(result: Study) -> list[str]:
    """Front teeth in rear teeth on this bike, and pairs of nearly the chosen ratio."""
    setup = result.setup
    teeth = gearing.rear_teeth_per_front_tooth(setup.front, setup.rear)
    sentences = [
        f"From {setup.front}/{setup.rear}: one tooth off the front ≈ {teeth.for_one_fewer:.1f} "
        f"more at the rear; one more at the front ≈ {teeth.for_one_more:.1f} fewer at the rear."
    ]
    near = gearing.near_equal_pairs(*sold(result.bike), float(result.ratios[CHOSEN]), _NEAR)
    others = [
        f"{front}/{rear} ({signed_percent(float(difference)) if difference else 'the same'})"
        for front, rear, difference in zip(near.front, near.rear, near.difference, strict=True)
        if (front, rear) != (setup.front, setup.rear)
    ][:_MOST_NEAR_PAIRS]
    if others:
        sentences.append(
            f"Nearly the same ratio: {listed(others)}. Their axle positions differ, so check the "
            "chain for each."
        )
    return sentences


def speedometer_sentence(result: Study, pickup: str | None) -> str:
    """What the change does to the speedometer, or the question that must be answered first.

    Args:
        pickup: Where it is driven from, as `Measurements.get` knows it of the bike or the rider.
    """
    change = compared.pull_change(result)
    here = "" if compared.same_gearing(result) else f", here by {signed_percent(change)}"
    match pickup:
        case "gearbox":
            if compared.same_gearing(result):
                return "Speedometer: driven from the gearbox; nothing changes."
            direction = "over-reads: you ride slower than it shows"
            if change < 0:
                direction = (
                    "under-reads: you ride faster than it shows; check the law where you ride"
                )
            higher = f"{abs(change) * 100:.1f} % {'higher' if change > 0 else 'lower'}"
            return (
                f"Speedometer: driven from the gearbox, so it now reads {higher} than before the "
                f"change. If it was right before, it now {direction}."
            )
        case "front wheel":
            return (
                "Speedometer: driven from the front wheel; sprockets and rear tyre don't alter it."
            )
        case "satellite":
            return "Speedometer: by satellite; sprockets and tyres don't alter it."
        case "rear wheel":
            fitted, chosen = (each.value for each in result.rollouts)
            same = abs(chosen / fitted - 1) < compared.SAME
            shown = f"it shows {signed_percent(fitted / chosen - 1)} against before."
            by_tyre = "." if same else f", the tyre does: {shown}"
            return f"Speedometer: driven from the rear wheel; sprockets do not alter it{by_tyre}"
        case _:
            return (
                "Speedometer: where is its pickup? Driven from the gearbox, its reading changes "
                f"with the ratio{here}; driven from a wheel, sprockets don't affect it. Set it "
                "under “This bike”."
            )


def rollout_sentences(result: Study) -> list[str]:
    """Which roll-out is in use for the chosen and for the fitted tyre."""
    system = result.setup.units
    fitted, chosen = (rollout(each.tyre, each.rollout, system).sentence for each in result.fitments)
    return [chosen] if chosen == fitted else [f"Chosen tyre: {chosen}", f"Fitted tyre: {fitted}"]


def air_sentence(result: Study) -> str:
    """Power left in today's air, with the range for which the rule is meant."""
    ends = power_correction.LOWEST_TEMPERATURE, power_correction.HIGHEST_TEMPERATURE
    cold, warm = (units.text(end, "temperature", result.setup.units) for end in ends)
    ends = power_correction.SMALLEST_CORRECTION, power_correction.LARGEST_CORRECTION
    most, least = (f"{100 / end:.0f} %" for end in ends)
    change = round(result.power_factor * 100 - 100)
    more = f"{abs(change)} % {'more' if change > 0 else 'less'} power than the curve"
    sentence = f"Today's air: {more if change else 'the power of the curve'} (SAE J1349)."
    if result.air_within_rule:
        return sentence
    return (
        f"{sentence} Take it as a rough guide: the rule is meant for {cold} to {warm} and {least} "
        f"to {most}."
    )
