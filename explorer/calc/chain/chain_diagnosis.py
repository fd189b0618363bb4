"""Do the counted links and the measured centre distance belong to one bike?

Teeth and links are counts, the distance comes from a tape: where they disagree, this module says
what would explain it, so that the page can say what to measure again.
"""

from enum import IntEnum
from typing import NamedTuple

import numpy as np

from explorer.calc.chain import length as chain
from explorer.calc.vehicle import FloatArray, Scalar

_UNIT_SLIPS = np.array([1000.0, 100.0, 1000 / 25.4, 25.4, 10.0, 0.1, 1 / 25.4, 0.001])
"""Typed number over true one: mm or cm or inches for metres, mm for inches, mm for cm and back."""

_SLIP_TOLERANCE = 0.25
"""How far a mistyped number may be off besides, for instance by a miscounted chain."""

_TYPICAL_DISTANCE = 0.6
"""Stands in for the implied distance where the links are unknown [m] (common practice, no
source)."""

_LARGEST_WEAR = 0.03
"""The widest published wear limit; a chain longer than that is a miscount."""


class Agreement(IntEnum):
    """What the two numbers say about each other."""

    AGREES = 0
    ODD_COUNT = 1
    """An odd number of links: a miscount, or an offset link."""
    UNIT_SLIP = 2
    """The distance looks typed in another unit; see `slip`."""
    MISCOUNT = 3
    """Another even number of links fits the measured distance; see `even_links`."""
    WEAR = 4
    """Longer than taut by what wear would explain; see `as_wear`. Measure the chain."""
    UNEXPLAINED = 5
    """Measure the distance again."""
    NO_CHAIN = 6
    """So few links cannot go round these sprockets. Count teeth and links again."""
    ONE_MISSING = 7
    """Nothing to compare: `even_links` or `implied_distance` is what the other number says."""


class Diagnosis(NamedTuple):
    """Measured against implied centre distance.

    Attributes:
        agreement: :class:`Agreement` code [-].
        implied_distance: Centre distance of the taut chain, from the counts [m].
        difference: Measured minus implied [m].
        implied_links: Links as a real number, from the measured distance [count].
        even_links: Even number of links nearest to that [count].
        as_wear: Elongation that would explain a longer distance [-].
        slip: Factor by which the distance looks mistyped, 1 if it does not [-].
    """

    agreement: FloatArray
    implied_distance: FloatArray
    difference: FloatArray
    implied_links: FloatArray
    even_links: FloatArray
    as_wear: FloatArray
    slip: FloatArray


def diagnose(
    links: Scalar,
    centre_distance: Scalar,
    uncertainty: Scalar,
    pitch: Scalar,
    front: Scalar,
    rear: Scalar,
) -> Diagnosis:
    """Compare the counted links with the measured centre distance.

    A chain with ordinary slack sits about half a millimetre shorter than taut; a tape reads to
    about 2 mm (common practice, no source). With the distance alone, `even_links` is the count to
    check; with the count alone, the distance is :func:`explorer.calc.chain.centre_distance_for`.

    Args:
        links (int or array): Links counted; NaN if unknown [count].
        centre_distance: Centre distance measured; NaN if unknown [m].
        uncertainty (float or array, non-negative): How far off that measurement may be [m].

    Returns: One value for each element of the broadcast inputs.

    >>> result = diagnose(112, np.array([0.631, 647.0, 0.647]), 0.002, 0.015875, 13, 50)
    >>> [Agreement(code).name for code in result.agreement]
    ['AGREES', 'UNIT_SLIP', 'MISCOUNT']
    """
    links, measured = np.asarray(links, float), np.asarray(centre_distance, float)
    implied = chain.centre_distance_for(links, pitch, front, rear)
    difference = measured - implied
    slip = _unit_slip(measured / np.where(np.isnan(implied), _TYPICAL_DISTANCE, implied))
    implied_links = chain.links_for(measured / slip, pitch, front, rear)
    even_links = 2 * np.round(implied_links / 2)
    alternative = chain.centre_distance_for(even_links, pitch, front, rear)
    as_wear = difference / implied
    with np.errstate(invalid="ignore"):
        tests = {
            Agreement.NO_CHAIN: np.isnan(implied) & np.isfinite(links),
            Agreement.ODD_COUNT: np.isfinite(links) & (links % 2 != 0),
            Agreement.UNIT_SLIP: slip != 1,
            Agreement.ONE_MISSING: np.isnan(difference),
            Agreement.AGREES: np.abs(difference) <= uncertainty,
            Agreement.MISCOUNT: np.abs(measured - alternative) <= uncertainty,
            Agreement.WEAR: (as_wear > 0) & (as_wear <= _LARGEST_WEAR),
        }
    agreement = np.select([*tests.values()], [*tests], Agreement.UNEXPLAINED)
    values = np.broadcast_arrays(
        agreement, implied, difference, implied_links, even_links, as_wear, slip
    )
    return Diagnosis(*(value[()] for value in values))


def _unit_slip(ratio: FloatArray) -> FloatArray:
    """The slip nearest to a ratio of typed to true, 1 where none is near."""
    ratio = np.where(np.asarray(ratio, float) > 0, ratio, np.nan)
    off = np.abs(np.log(ratio[..., np.newaxis] / _UNIT_SLIPS))
    nearest = np.where(np.isnan(off), np.inf, off)
    near = nearest.min(-1) < np.log1p(_SLIP_TOLERANCE)
    return np.where(near, _UNIT_SLIPS[nearest.argmin(-1)], 1.0)
