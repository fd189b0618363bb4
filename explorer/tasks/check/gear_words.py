"""What the page says of the gears of a ride, found in its engine speeds or inferred."""

import numpy as np

from explorer import units
from explorer.calc.ride.ratio_cause import Candidate, Cause
from explorer.study.check.result import RideResult
from explorer.study.study import FITTED
from explorer.study.wording import clock, listed, ordinal
from explorer.tasks.check.words import SAY, gearing_name, pair


def gear_sentences(result: RideResult) -> list[str]:
    """What the engine speeds, or the shift points, say of the gears."""
    if result.found is None:
        return _inferred_sentences(result)
    found = result.found
    matched = found.matched
    name = f"{gearing_name(result.ridden)} {pair(result, result.ridden)}"
    if not (matched.gear >= 0).any():
        return [SAY["no-gear"]]
    gears = listed(sorted({ordinal(gear + 1) for gear in matched.gear if gear >= 0}))
    off = matched.factor - 1
    sure = 2 * matched.uncertainty
    said = [
        f"From engine and road speed of the log: {gears} gear found. Against the {name} of the "
        f"bike file every gear is {_off(off)} (give or take {sure:.1%}).".replace("%", " %")
    ]
    said += _cause_sentences(result)
    odd = [
        f"{ordinal(gear + 1)} by {_signed(residual)}"
        for gear, residual in zip(matched.gear, matched.residual, strict=True)
        if gear >= 0 and abs(residual) > 0.02
    ]
    if odd:
        said.append(
            f"Single gears are off beyond that: {listed(odd)}. Check their ratios in the bike file."
        )
    if found.slips:
        said.append(
            f"In {found.slip.pulling:.0%} of the hard pulling moments the engine runs ahead of "
            f"every gear, and in {found.slip.otherwise:.0%} otherwise: a slipping clutch, or on "
            "loose ground a spinning rear tyre. Repeat it on firm ground; if it stays, have the "
            "clutch looked at.".replace("%", " %")
        )
    return said


def _signed(share: float) -> str:
    """A share in per cent with its sign, none for nothing."""
    return f"{units.signed(share * 100, 1)} %"


def _off(off: float) -> str:
    if abs(off) < 0.0005:
        return "as expected"
    return f"{abs(off):.1%} {'shorter' if off > 0 else 'taller'} than expected"


def _cause_sentences(result: RideResult) -> list[str]:
    causes = result.found.causes
    if causes[0].cause is Cause.NOTHING:
        return [SAY["as-the-file-says"]]
    named = [_cause(result, each) for each in causes[:3]]
    said = [f"Likely: {named[0]}."]
    if named[1:]:
        said.append(f"Also possible: {'; '.join(named[1:])}. One number can't tell them apart.")
    if any(each.cause in (Cause.FRONT, Cause.REAR) for each in causes[:3]):
        said.append(SAY["count-teeth"])
    if any(each.cause is Cause.ROLLOUT for each in causes[:3]) and not result.rollout_measured:
        said.append(SAY["measure-rollout"])
    return said


def _cause(result: RideResult, candidate: Candidate) -> str:
    teeth = result.bike.sprockets if result.ridden == FITTED else result.setup
    if candidate.cause is Cause.FRONT:
        return f"the front sprocket has {candidate.value:.0f} teeth instead of {teeth.front}"
    if candidate.cause is Cause.REAR:
        return f"the rear sprocket has {candidate.value:.0f} teeth instead of {teeth.rear}"
    if candidate.cause is Cause.ROLLOUT:
        return f"the roll-out is {units.text(candidate.value, 'length', result.setup.units)}"
    given = result.bike.gearbox.primary.si
    return (
        f"the primary reduction is {candidate.value:.2f} instead of {given:.2f}, or the gear "
        "ratios are those of another gearbox"
    )


def _inferred_sentences(result: RideResult) -> list[str]:
    sure = result.inferred.confidence
    word = "quite sure" if sure > 0.85 else "fairly sure" if sure > 0.7 else "unsure"
    how = f"Mean confidence {100 * sure:.0f} %, {word}. A gear held on purpose can't be seen."
    return [SAY["inferred"], how, SAY["inferred-shows-not"]]


def gear_rows(result: RideResult) -> list[tuple[str, ...]]:
    """One row for each gear: expected and found, or the inferred time."""
    if result.found is None:
        total = result.inferred.time_in_gear.sum()
        return [
            (ordinal(gear), clock(time), f"{time / total:.0%}".replace("%", " %"))
            for gear, time in enumerate(result.inferred.time_in_gear, 1)
            if total
        ]
    found, rows = result.found, []
    to_overall = overall_per_quotient(result)
    for gear, expected in enumerate(found.expected):
        here = np.flatnonzero(found.matched.gear == gear)
        if len(here):
            row = int(here[np.argmax(found.found.moments[here])])
            measured = found.found.quotient[row]
            cells = (
                f"{measured * to_overall:.2f}",
                _signed(measured / expected - 1),
                f"{found.found.moments[row]}",
            )
        else:
            cells = ("not seen", "–", "–")
        rows.append((ordinal(gear + 1), f"{expected * to_overall:.2f}", *cells))
    return rows


def overall_per_quotient(result: RideResult) -> float:
    """Overall ratio over engine speed per road speed of the gearing ridden [m]."""
    teeth = result.bike.sprockets if result.ridden == FITTED else result.setup
    first = result.bike.gearbox.primary.si * result.bike.gearbox.ratios[0].si
    return first * teeth.rear / teeth.front / float(result.quotient[result.ridden][0])


def gear_heads(result: RideResult) -> tuple[str, ...]:
    """Headings of `gear_rows`."""
    if result.found is None:
        return ("Gear (inferred)", "Time", "Share")
    return ("Gear", "Bike file", "Found", "Off by", "Readings")
