"""Whether a pair fits, in one line for hovering: on the map of pairs and on the trade-off."""

import numpy as np

from explorer import units
from explorer.calc.chain.chain_choice import Reach
from explorer.calc.chain.chain_fit import Fit, Verdict
from explorer.records.bikes.bike import Bike
from explorer.records.fitting.fit import Measurements
from explorer.study.fit_chain import UNKNOWN, FitMap, chain_now, fit_map, verdicts_sold

SHORT_VERDICTS = {
    Verdict.FITS: "fits",
    Verdict.CLOSE: "close: your measurement is not accurate enough to tell",
    Verdict.TOO_SHORT: "does not fit: chain too short",
    Verdict.TOO_LONG: "does not fit: chain too long",
    Verdict.NO_CHAIN: "does not fit: the sprockets would touch",
    UNKNOWN: "not known: a measurement is missing",
}


def length(si_value: float, system: str) -> str:
    """A length of a few millimetres as a rule shows it: to the millimetre, or hundredth of an inch.

    >>> length(0.0088, "metric"), length(-0.0088, "imperial")
    ('9 mm', '−0.35 in')
    """
    number, unit = units.display(si_value, "length", system)
    return f"{units.rounded(number, 0 if system == 'metric' else 2)} {unit}"


def axle_phrase(movement: float, system: str) -> str:
    """Where the axle goes."""
    if not np.isfinite(movement):
        return "no axle position"
    amount = length(abs(movement), system)
    if amount == length(0.0, system):
        return "the axle stays where it is"
    return f"the axle goes {amount} {'to the rear' if movement > 0 else 'forward'}"


def left_of_adjuster(fit: Fit, system: str) -> str:
    """How much of the adjuster is left, or missing."""
    amount = length(abs(fit.margin), system)
    missing = fit.margin < 0 and amount != length(0.0, system)
    return f"{amount} of adjuster {'missing' if missing else 'left'}"


def note(fit: Fit, verdict: int, system: str) -> str:
    """One line on a pair for hovering."""
    if verdict in (UNKNOWN, Verdict.NO_CHAIN):
        return SHORT_VERDICTS[verdict]
    return (
        f"{SHORT_VERDICTS[verdict]}; {axle_phrase(float(fit.movement), system)}, "
        f"{left_of_adjuster(fit, system)}"
    )


def chain_note(verdict: int, reach: int) -> str:
    """One line on which chain goes round a pair, for hovering.

    >>> chain_note(Verdict.FITS, Reach.ANOTHER)
    'fits with another chain'
    """
    with_another = " with another chain" if reach == Reach.ANOTHER else ""
    return f"{SHORT_VERDICTS[int(verdict)].split(':')[0]}{with_another}"


def fit_notes(bike: Bike, measured: Measurements, system: str) -> tuple[str, ...]:
    """One line for every pair, for hovering, in the order of `fit_map`, row by row."""
    fits, known = fit_map(bike, measured), chain_now(bike, measured).rooms_known
    return tuple(
        note(pair_of(fits, *place), int(code), system)
        if fits is not None and (known or code > Verdict.CLOSE)
        else SHORT_VERDICTS[int(code)]
        for place, code in np.ndenumerate(verdicts_sold(bike, measured))
    )


def pair_of(fits: FitMap, row: int, column: int) -> Fit:
    """One pair of the map."""
    return Fit(*(field[row, column] for field in fits.fit))
