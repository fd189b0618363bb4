"""Whether each gearing of a ride meets what the rider wants.

What the speeds of a ride decide is judged by the ride; what a ride does not show is computed, as
on the page on which it was said, and said to be.
"""

import math
from collections.abc import Sequence

from explorer import units
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup, fitted_rollout
from explorer.study.check_result import CLUTCH_OUT, RideResult
from explorer.study.study import CHOSEN, FITTED
from explorer.study.wants.kinds import (
    CruiseBelow,
    SlowestClutchOut,
    SpendAtMost,
    TopSpeedAtLeast,
    Want,
)
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_result import WantsResult, compute
from explorer.tasks.wants.margin_words import value_words, want_name

NO_WANTS = (
    "The link brings no wants. Say them on “Say your riding” and come here by its link: they are "
    "then judged for both pairs, by the ride as far as it speaks of them."
)

HEADS = ("What you want", "Fitted", "Chosen")

COMPUTED = (
    "Computed, not ridden: a ride does not show these. They are judged as on “Say your riding”, "
    "for the surface, slope, air and rider chosen here, each pair with its own tyre."
)

NOT_SOLD = "not judged: this pair is not among those sold for the bike"

_RIDDEN = SlowestClutchOut | CruiseBelow | TopSpeedAtLeast


def ridden_rows(wants: Sequence[Want], result: RideResult) -> list[tuple[str, str, str]]:
    """One row for each want that a ride speaks of.

    Parameters
    ----------
    wants : sequence of Want
        What the rider said.
    result : RideResult
        The ride.

    Returns
    -------
    list of tuple of str
        The want, and what each gearing makes of it.
    """
    judges = {
        SlowestClutchOut: _clutch_out,
        CruiseBelow: _cruise,
        TopSpeedAtLeast: _top_speed,
    }
    return [judges[type(want)](want, result) for want in wants if isinstance(want, _RIDDEN)]


def computed_rows(
    wants: Sequence[Want], result: RideResult, measured: Measurements
) -> tuple[list[tuple[str, str, str]], list[str]]:
    """One row for each want that is computed, with the sentences that belong below them.

    Parameters
    ----------
    wants : sequence of Want
        What the rider said.
    result : RideResult
        The ride, for its bike with what is fitted, and its set-up with what is chosen.
    measured : Measurements
        The rider's answers about chain and adjuster.

    Returns
    -------
    tuple of list of tuple of str and list of str
        The want, and what each gearing makes of it; what is computed, what is missing to judge a
        want, and which want has no place here.
    """
    others = tuple(want for want in wants if not isinstance(want, _RIDDEN | SpendAtMost))
    said = [
        f"{want.label}: not judged here, as prices are typed on “Say your riding”."
        for want in wants
        if isinstance(want, SpendAtMost)
    ]
    if not others:
        return [], said
    setup = result.setup
    fitted, chosen = _both_computed(result.bike, setup, measured, Wishes(others))
    rows, missing = [], []
    for number, judged in enumerate(fitted.judged):
        cells = (
            _computed_cell(fitted, number, fitted.now),
            _computed_cell(chosen, number, chosen.index(setup.front, setup.rear)),
        )
        rows.append((f"{want_name(judged)} (computed, not ridden)", *cells))
        if judged.unknown:
            start = "" if judged.unknown.startswith(judged.want.label) else f"{judged.want.label}: "
            missing.append(start + judged.unknown)
    return rows, [COMPUTED, *dict.fromkeys(missing), *said]


def _both_computed(
    bike: Bike, setup: Setup, measured: Measurements, wishes: Wishes
) -> tuple[WantsResult, WantsResult]:
    """Every pair with the fitted tyre and with the chosen one; once where they are the same."""
    as_fitted = setup.changed(tyre=bike.tyre.rear, rollout=fitted_rollout(bike, setup))
    chosen = compute(bike, setup, measured, wishes)
    same = as_fitted == setup
    return (chosen if same else compute(bike, as_fitted, measured, wishes)), chosen


def _computed_cell(result: WantsResult, number: int, index: int) -> str:
    if index < 0:
        return NOT_SOLD
    if result.judged[number].unknown:
        return "not judged"
    return _verdict(bool(result.judged[number].met[index]), value_words(result, number, index))


def _clutch_out(want: SlowestClutchOut, result: RideResult) -> tuple[str, str, str]:
    slowest = CLUTCH_OUT * result.bike.engine.idle.si / result.quotient[:, 0]
    cells = (
        _verdict(each <= want.speed.si, units.text(each, "speed", result.setup.units))
        for each in slowest
    )
    return (f"{want.label}: at most {want.speed.text}", *cells)


def _cruise(want: CruiseBelow, result: RideResult) -> tuple[str, str, str]:
    revs = want.speed.si * result.quotient[:, -1]
    cells = (
        _verdict(each <= want.engine_speed.si, units.text(each, "engine speed", result.setup.units))
        for each in revs
    )
    name = f"{want.label}: {want.speed.text} at {want.engine_speed.text} or less, in top gear"
    return (name, *cells)


def _top_speed(want: TopSpeedAtLeast, result: RideResult) -> tuple[str, str, str]:
    """The gearing ridden is judged by the ride, the other only by its rev limit."""
    cells = []
    for index in (FITTED, CHOSEN):
        geared = result.bike.engine.rev_limit.si / result.quotient[index, -1]
        limit = units.text(geared, "speed", result.setup.units)
        if index == result.ridden and result.top is not None:
            top = result.top
            held = top.both_ways if math.isfinite(top.both_ways) else top.speed
            said = units.text(held, "speed", result.setup.units)
            # A ride that did not try says nothing against the gearing.
            met = held >= want.speed.si
            cells.append(
                _verdict(True, f"{said} held on this ride")
                if met
                else f"not reached on this ride: {said} held"
            )
        elif geared < want.speed.si:
            cells.append(_verdict(False, f"rev limit at {limit}"))
        else:
            cells.append(f"open: rev limit at {limit}, not ridden")
    return (f"{want.label}: {want.speed.text}", *cells)


def _verdict(met: bool, said: str) -> str:
    return f"{'met' if met else 'not met'}: {said}"
