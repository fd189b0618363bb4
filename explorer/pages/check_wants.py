"""Which of a rider's wants a ride speaks of, and whether each gearing meets them.

Only wants that the speeds of a ride or the gearing alone decide are judged here; the rest stay with
the page on which they were said.
"""

import math
from collections.abc import Sequence

from explorer import units
from explorer.pages.check_result import CLUTCH_OUT, RideResult
from explorer.pages.ground_result import CHOSEN, FITTED
from explorer.records.wants import CruiseBelow, SlowestClutchOut, TopSpeedAtLeast, Want

NO_WANTS = (
    "The link brings no wants. Say them on “Say your riding” and come here by its link: those that "
    "a ride speaks of are then judged for both pairs."
)

HEADS = ("What you want", "Fitted", "Chosen")


def want_rows(wants: Sequence[Want], result: RideResult) -> list[tuple[str, str, str]]:
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
    return [judges[type(want)](want, result) for want in wants if type(want) in judges]


def left_aside(wants: Sequence[Want]) -> list[str]:
    """Say which wants a ride does not speak of."""
    others = [
        want.label
        for want in wants
        if not isinstance(want, SlowestClutchOut | CruiseBelow | TopSpeedAtLeast)
    ]
    if not others:
        return []
    return [f"Not judged by a ride: {'; '.join(dict.fromkeys(others))}. See “Say your riding”."]


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
            cells.append(_verdict(held >= want.speed.si, f"{said} held on this ride"))
        elif geared < want.speed.si:
            cells.append(_verdict(False, f"rev limit at {limit}"))
        else:
            cells.append(f"open: rev limit at {limit}, not ridden")
    return (f"{want.label}: {want.speed.text}", *cells)


def _verdict(met: bool, said: str) -> str:
    return f"{'met' if met else 'not met'}: {said}"
