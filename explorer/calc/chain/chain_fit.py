"""Will it go on? Axle movement and chain links for every pair of sprockets.

All positions are counted from where the axle sits now, positive to the rear. They are differences
between two taut chains computed alike, so the slack, the same before and after, drops out; and
the counts of teeth and links are exact, so they say more than a tape along the swingarm.

A worn chain counts with its grown pitch: it rides higher on the teeth and all its lengths grow
together. A new chain therefore puts the axle further forward than the old one of as many links.
"""

from dataclasses import dataclass
from enum import IntEnum
from typing import NamedTuple

import numpy as np

from explorer.calc.chain import length as chain
from explorer.calc.vehicle import FloatArray, Scalar

_ROUNDING = 1e-9
"""Links: keeps a whole count whole after double-precision rounding."""


class Verdict(IntEnum):
    """What stands in the way; the code in the arrays of this module."""

    FITS = 0
    CLOSE = 1
    """Too near an end of the adjuster to tell within the measuring uncertainty."""
    TOO_SHORT = 2
    """The axle would have to go further forward than the adjuster lets it."""
    TOO_LONG = 3
    """The axle would have to go further back than the adjuster lets it."""
    NO_CHAIN = 4
    """A chain of so few links cannot keep the two sprockets apart."""


@dataclass(frozen=True, eq=False)
class FittedChain:
    """The chain, sprockets and axle adjustment as they are on the bike now.

    Attributes:
        front, rear (int): Teeth of the fitted sprockets [count].
        links (int, even): Links of the fitted chain, joining link included [count].
        pitch (float, positive): Nominal pitch of the chain [m].
        room_forward, room_back (float, non-negative): How far the axle can still go forward, and
            back, from where it is now [m].
        uncertainty (float, non-negative): How far off the measured room may be [m].
        elongation: Wear of the fitted chain, 0.01 for 1 %; see
            :mod:`explorer.calc.chain.chain_wear` [-].
    """

    front: int
    rear: int
    links: int
    pitch: float
    room_forward: float
    room_back: float
    uncertainty: float = 0.0
    elongation: float = 0.0

    @property
    def worn_pitch(self) -> float:
        """Pitch of the fitted chain with its wear [m]."""
        return self.pitch * (1 + self.elongation)

    @property
    def sure_forward(self) -> float:
        """Room forward that is there for sure [m]."""
        return max(self.room_forward - self.uncertainty, 0.0)

    @property
    def sure_back(self) -> float:
        """Room to the rear that is there for sure [m]."""
        return max(self.room_back - self.uncertainty, 0.0)

    @property
    def centre_distance(self) -> FloatArray:
        """Centre distance now, from the counts of teeth and links [m]."""
        return chain.centre_distance_for(self.links, self.worn_pitch, self.front, self.rear)


class Fit(NamedTuple):
    """How one chain fits on each pair.

    Attributes:
        links: Links of the chain [count].
        movement: Axle movement from where it is now, positive to the rear; NaN where there is no
            chain [m].
        margin: Adjuster room left at the nearer end; negative by what is missing [m].
        room_back: Room left to the rear, for taking up wear [m].
        wear_room: Further elongation that this room can take up [-].
        verdict: :class:`Verdict` code [-].
    """

    links: FloatArray
    movement: FloatArray
    margin: FloatArray
    room_back: FloatArray
    wear_room: FloatArray
    verdict: FloatArray


def fit(fitted: FittedChain, front: Scalar, rear: Scalar, links: Scalar, elongation: Scalar) -> Fit:
    """Axle movement, margin and verdict of a chain on a pair of sprockets.

    Args:
        front, rear (int or array): Teeth of the new sprockets; shapes (fronts, 1) and (rears,) for
            a map over all pairs [count].
        links: Links of the chain to go on [count].
        elongation: Its wear: `fitted.elongation` if it is the present one, 0 if new [-].

    Returns: One value for each element of the broadcast inputs.

    >>> now = FittedChain(13, 50, 112, 0.015875, room_forward=0.010, room_back=0.025)
    >>> result = fit(now, np.array([[13], [14]]), np.array([48, 50]), 112, 0.0)
    >>> (result.movement * 1000).round(1)
    array([[ 8.8,  0. ],
           [ 5.1, -3.6]])
    """
    pitch = fitted.pitch * (1 + np.asarray(elongation, float))
    distance = chain.centre_distance_for(links, pitch, front, rear)
    movement = distance - fitted.centre_distance
    forward_left, back_left = fitted.room_forward + movement, fitted.room_back - movement
    margin = np.minimum(forward_left, back_left)
    # An axle that stays is within the adjuster, however little room was measured.
    surely = (movement >= -fitted.sure_forward) & (movement <= fitted.sure_back)
    verdict = np.select(
        [np.isnan(margin), surely, margin > -fitted.uncertainty, forward_left < back_left],
        [Verdict.NO_CHAIN, Verdict.FITS, Verdict.CLOSE, Verdict.TOO_SHORT],
        Verdict.TOO_LONG,
    )
    links = np.broadcast_to(np.asarray(links, float), margin.shape)
    return Fit(links[()], movement, margin, back_left, back_left / distance, verdict[()])


class LinkCounts(NamedTuple):
    """Links with which each pair stays within the adjuster; NaN where there is no such count.

    The two even counts are taken from those that fit for sure; only where there is none, from
    those within the measured room, whose verdict is then ``Verdict.CLOSE``.

    Attributes:
        shortest, longest: Limits as real numbers, axle fully forward and fully back [count].
        fewest: Smallest even count [count].
        nearest: Even count with the fewest links changed from the present chain [count].
        offset_only: Odd count between the limits, where no even one is. It needs an offset
            (cranked) link, weaker than the chain: a stated last resort, never a recommendation
            [count].
    """

    shortest: FloatArray
    longest: FloatArray
    fewest: FloatArray
    nearest: FloatArray
    offset_only: FloatArray


def link_counts(fitted: FittedChain, front: Scalar, rear: Scalar, elongation: Scalar) -> LinkCounts:
    """Link counts that keep the axle within the adjuster, for each pair.

    Args:
        front, rear (int or array): Teeth of the new sprockets [count].
        elongation: Wear of the chain to go on, as of :func:`fit` [-].

    Returns: One value for each element of the broadcast inputs.

    References:
        Even counts preferred, an offset link being weaker: a chain maker's technical page (name
        withheld).

    >>> now = FittedChain(13, 50, 112, 0.015875, room_forward=0.010, room_back=0.025)
    >>> counts = link_counts(now, 13, np.array([44, 48, 52, 56]), 0.0)
    >>> counts.nearest
    array([110., 112., 112., 116.])
    """
    pitch = fitted.pitch * (1 + np.asarray(elongation, float))
    here = fitted.centre_distance
    # Just clear of touching teeth, where the adjuster would let the axle come even closer.
    closest = chain.touching_distance(pitch, front, rear) * (1 + 1e-12)

    def links_within(forward: float, back: float) -> list[FloatArray]:
        ends = np.maximum(here - forward, closest), here + back
        return [chain.links_for(end, pitch, front, rear) for end in ends]

    shortest, longest = links_within(fitted.room_forward, fitted.room_back)
    low, high = _even_between(shortest, longest)
    sure_low, sure_high = _even_between(*links_within(fitted.sure_forward, fitted.sure_back))
    with np.errstate(invalid="ignore"):
        some_even = low <= high
        some_sure = sure_low <= sure_high
        odd = low - 1
        some_odd = (low > high) & (odd >= shortest - _ROUNDING) & (odd <= longest + _ROUNDING)
    low, high = np.where(some_sure, sure_low, low), np.where(some_sure, sure_high, high)
    nearest = np.clip(fitted.links, low, np.fmax(low, high))

    def known(some: FloatArray, count: FloatArray) -> FloatArray:
        return np.where(some, count, np.nan)[()]

    even = known(some_even, low), known(some_even, nearest)
    return LinkCounts(shortest, longest, *even, known(some_odd, odd))


def _even_between(shortest: FloatArray, longest: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Smallest and largest even count between two limits; the wrong way round where none is."""
    return 2 * np.ceil((shortest - _ROUNDING) / 2), 2 * np.floor((longest + _ROUNDING) / 2)
