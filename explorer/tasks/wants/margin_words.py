"""One want in words: what was asked for, what a pair measures, and by how much it meets it."""

import math
from decimal import Decimal

from explorer import units
from explorer.calc.drivetrain.top_speed import Limit
from explorer.charts.wording import ordinal
from explorer.records.fitting.prices import money
from explorer.study.certainty import signed_percent
from explorer.study.wants.kinds import SpendAtMost
from explorer.study.wants.mixes import terrains
from explorer.study.wants.wants_judged import NO_LIMIT, Judged
from explorer.study.wants.wants_result import WantsResult
from explorer.tasks.gearing.words import LIMIT_WORDS

_SLOW = 20
"""Speeds below this number are shown with one decimal."""


def amount(value: float, judged: Judged, system: str) -> str:
    """A value or a margin in the unit of its want, without sign.

    Parameters
    ----------
    value : float
        In the SI unit of the want.
    judged : Judged
        The want.
    system : {"metric", "imperial"}
        What the reader chose.

    Returns
    -------
    str
        Such as "0.6 km/h" or "3 shifts".
    """
    want, value = judged.want, abs(value)
    match want.margin_kind:
        case "count":
            noun = "sprocket" if want.kind == "one-sprocket" else "shift"
            return f"{value:.0f} {noun}{'' if round(value) == 1 else 's'}"
        case "money":
            currency = want.currency if isinstance(want, SpendAtMost) else ""
            return money(Decimal(f"{value:.2f}"), currency)
        case "ratio":
            return f"{value * 100:.1f} %"
        case "slope":
            return f"{value * 100:.0f} %" if value >= 0.095 else f"{value * 100:.1f} %"
        case "speed":
            number, unit = units.display(value, "speed", system)
            return f"{number:.{1 if number < _SLOW else 0}f} {unit}"
        case kind:
            return units.text(value, kind, system)


def want_name(judged: Judged) -> str:
    """A want with what was asked for, and the terrain it comes from.

    Parameters
    ----------
    judged : Judged
        The want.

    Returns
    -------
    str
        Such as "Hold a slope: slope 20 %, in gear any (hills)".
    """
    want = judged.want
    asked = ", ".join(
        f"{ask.label} {want.texts[ask.name]}" for ask in want.asks if want.texts[ask.name]
    )
    terrain = judged.placed.terrain
    place = f" ({terrains()[terrain].label.lower()})" if terrain else ""
    return f"{want.label}{': ' if asked else ''}{asked}{place}"


def value_words(result: WantsResult, number: int, index: int) -> str:
    """What a want measures with one pair.

    Parameters
    ----------
    result : WantsResult
        Every pair scored.
    number : int
        Index of the want.
    index : int
        Index of the pair.

    Returns
    -------
    str
        A phrase, such as "holds 24 % in 1st".
    """
    judged = result.judged[number]
    want, value, gear = judged.want, float(judged.value[index]), int(judged.gear[index])
    system = result.system
    in_gear = f" in {ordinal(gear + 1)}" if gear >= 0 else ""
    said = "" if math.isnan(value) else amount(value, judged, system)
    match want.kind:
        case "clutch-out":
            return f"walks at {said} in 1st with the clutch out"
        case "corner":
            where = "inside" if value >= 0 else "outside"
            return f"{said} {where} the power band{in_gear}"
        case "slope":
            if value < 0:
                return f"holds no climb{in_gear}"
            return f"holds {said}{in_gear}" if said else "no such gear"
        case "cruise" | "legal-road":
            return f"{said}{in_gear}" if said else "no gear holds that speed"
        case "top-speed":
            limit = int(judged.limit[index])
            if limit == Limit.CANNOT_HOLD:
                return "no gear holds a steady speed"
            why = "" if limit == NO_LIMIT else f", limited by {LIMIT_WORDS[Limit(limit)]}"
            return f"{said}{in_gear}{why}"
        case "shift-out":
            if value >= 0:
                return f"from {ordinal(gear + 1)}, with {said} to spare"
            return f"from {ordinal(gear + 1)}, {said} short"
        case "few-shifts":
            return said if said else "does not get through the course"
        case "keep-chain":
            if math.isnan(value):
                return "not known"
            return f"{said} of the adjuster left" if value >= 0 else f"{said} of adjuster missing"
        case "one-sprocket":
            return f"{said} to change"
        case "jump":
            return f"engine turns {signed_percent(value)} at the same speed{in_gear}"
        case _:  # spend
            return said or "not known"


def margin_words(result: WantsResult, number: int, index: int) -> str:
    """Whether one pair meets a want, and by how much.

    Parameters
    ----------
    result : WantsResult
        Every pair scored.
    number : int
        Index of the want.
    index : int
        Index of the pair.

    Returns
    -------
    str
        Such as "missed by 0.6 km/h".
    """
    judged = result.judged[number]
    if judged.unknown:
        return "not known"
    margin = float(judged.margin[index])
    if math.isnan(margin):
        return "missed: not reached"
    said = amount(margin, judged, result.system)
    if judged.met[index]:
        nothing = judged.want.kind == "one-sprocket" or said == amount(0.0, judged, result.system)
        return "met" if nothing else f"met with {said} in hand"
    return "just missed" if said == amount(0.0, judged, result.system) else f"missed by {said}"
