"""What handbooks advise for chain drives, held against a motorcycle's: information, never an error.

The advice comes from industrial drives that run for years at steady load. Off-road motorcycles
stay below it on purpose, with 12 to 15 front teeth; the reader shall know, and no more.
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.chain import length as chain
from explorer.calc.vehicle import FloatArray, Scalar

_MOTT = "R. L. Mott, Machine Elements in Mechanical Design, 4th ed., p. 295"
_KHURMI = "text after R. S. Khurmi and J. K. Gupta, A Textbook of Machine Design, chain drives"
_CHAIN_MAKER = "a chain maker's page of technical questions (name withheld)"
_WIKI = "German vocational engineering wiki bs-wiki.de, article on chain drives"
_NOTES = "mechanical-design-handbook notes on chain drives"

_SMALL_FACTOR = 2
"""The notes say "small" without a number; with an even chain, even teeth share at least 2."""


class Guide(NamedTuple):
    """One piece of advice.

    Attributes:
        advice, source: What is advised, in a sentence, and where it was read [-].
        value: The drive's own number [unit of the drive's number, in `unit`].
        unit: Unit of `value`: "rad", "pitches", "teeth", "links", or "" for a ratio or a yes (1) or
            no (0) [-].
        followed (array of bool): Whether the drive follows the advice [-].
    """

    advice: str
    source: str
    value: FloatArray
    unit: str
    followed: FloatArray


_ADVICE = {
    "wrap": (
        "The chain should wrap the smaller sprocket by at least 120 degrees; at a ratio up to "
        "3:1 it always does.",
        _MOTT,
    ),
    "wrap_least": (
        "Below 120 degrees the chain can jump teeth; 90 degrees is the least, with good "
        "adjustment.",
        _CHAIN_MAKER,
    ),
    "centre_distance": ("The centre distance should be 30 to 50 pitches.", f"{_MOTT}; {_NOTES}"),
    "ratio": ("One step should not exceed a ratio of 7:1.", f"{_NOTES}, second-hand"),
    "teeth_smooth": (
        "The smaller sprocket should have 17 teeth to run smoothly at moderate speed, "
        "21 at high speed.",
        _KHURMI,
    ),
    "teeth_by_speed": (
        "The smaller sprocket should have at least 12 teeth at slow speed, 17 at medium, "
        "25 at high speed.",
        _CHAIN_MAKER,
    ),
    "teeth_quiet": (
        "From 19 teeth on, the unevenness of the chain's polygon is negligible.",
        _WIKI,
    ),
    "teeth_slow_drives": ("Fewer than 17 teeth are for hand or slow drives.", _WIKI),
    "odd_teeth": (
        "An odd number of front teeth with an even number of links spreads the wear.",
        _NOTES,
    ),
    "shared_factor": ("Front teeth and links should share no factor, or a small one.", _NOTES),
    "rear_teeth": (
        "The larger sprocket should not have more than 120 teeth.",
        "several handbooks, second-hand",
    ),
    "even_links": (
        "An even number of links: an odd one needs an offset link, which weakens the chain.",
        "a chain maker's technical page (name withheld)",
    ),
}
"""What is advised, in a sentence, and where it was read."""


def guidance(
    front: Scalar, rear: Scalar, links: Scalar, pitch: Scalar, centre_distance: Scalar
) -> dict[str, Guide]:
    """Hold a drive against the handbooks' advice.

    Returns: By a short key, in a fixed order, with the source of each.

    >>> advice = guidance(13, 50, 112, 0.015875, 0.632)
    >>> [key for key, guide in advice.items() if not guide.followed]
    ['teeth_smooth', 'teeth_quiet', 'teeth_slow_drives']
    """
    front, rear, links = (np.asarray(value) for value in (front, rear, links))
    smaller, larger = np.minimum(front, rear), np.maximum(front, rear)
    wrap = chain.wrap_angle(centre_distance, pitch, front, rear)
    pitches = np.asarray(centre_distance, float) / pitch
    odd_with_even = ((front % 2 == 1) & (links % 2 == 0)).astype(float)
    shared = np.gcd(front, links)
    numbers: dict[str, tuple[FloatArray, str, FloatArray]] = {
        # Rounding: exactly 120 degrees follows the advice.
        "wrap": (wrap, "rad", wrap >= np.radians(120) - 1e-9),
        "wrap_least": (wrap, "rad", wrap >= np.radians(90) - 1e-9),
        "centre_distance": (pitches, "pitches", (pitches >= 30) & (pitches <= 50)),
        "ratio": (larger / smaller, "", larger / smaller <= 7),
        "teeth_smooth": (smaller, "teeth", smaller >= 17),
        "teeth_by_speed": (smaller, "teeth", smaller >= 12),
        "teeth_quiet": (smaller, "teeth", smaller >= 19),
        "teeth_slow_drives": (smaller, "teeth", smaller >= 17),
        "odd_teeth": (odd_with_even, "", odd_with_even == 1),
        "shared_factor": (shared, "", shared <= _SMALL_FACTOR),
        "rear_teeth": (larger, "teeth", larger <= 120),
        "even_links": (links, "links", links % 2 == 0),
    }
    return {key: Guide(advice, source, *numbers[key]) for key, (advice, source) in _ADVICE.items()}
