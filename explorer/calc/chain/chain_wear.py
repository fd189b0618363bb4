"""Wear of a chain: how much longer it has become over a counted number of pitches.

Pins and bushes wear, plates do not stretch. The limit to hold a chain against is the one in the
motorcycle's manual, entered by the rider. Published limits differ by a factor of two, so they are
given as a spread with their sources, and none of them is a default.

Args:
    pitch (float or array, positive): Nominal pitch of the chain [m].
    pitches (int or array, positive): Pitches counted [count].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar

_LIMIT_BY_TEETH = 2.0
"""200 % of elongation shared out over the teeth of a large sprocket."""


def elongation(measured_length: Scalar, pitches: Scalar, pitch: Scalar) -> FloatArray:
    r"""Elongation of the chain from a length measured over a number of pitches.

    .. math:: e = \frac{L - n p}{n p}

    Measure pin centre to pin centre with the run pulled taut, engine off, at several places.

    Args:
        measured_length (float or array, positive): Length over the counted pitches, pin centre to
            pin centre [m].
        pitches (int or array, positive): Pitches counted: one fewer than the pins, the first and
            the last included [count].

    Returns: Elongation, 0.01 for 1 %; negative points to a miscount [-].

    References: Definition.

    >>> round(float(elongation(0.32385, 20, 0.015875)), 4)
    0.02
    """
    new_length = np.asarray(pitches, float) * pitch
    return np.asarray(measured_length, float) / new_length - 1


def length_at_elongation(share: Scalar, pitches: Scalar, pitch: Scalar) -> FloatArray:
    r"""Length over a number of pitches at a given elongation, to look for with a rule.

    .. math:: L = n p (1 + e)

    Args:
        share: Elongation, 0.01 for 1 % [-].

    Returns: Length, pin centre to pin centre [m].

    References: Definition.

    >>> (length_at_elongation(np.array([0.01, 0.02, 0.03]), 20, 0.015875) * 1000).round(2)
    array([320.68, 323.85, 327.03])
    """
    return np.asarray(pitches, float) * pitch * (1 + np.asarray(share, float))


def elongation_uncertainty(
    length_uncertainty: Scalar, pitches: Scalar, pitch: Scalar
) -> FloatArray:
    r"""How far off the elongation may be for a length that may be off.

    .. math:: u_e = u_L / (n p)

    Args:
        length_uncertainty (float or array, non-negative): How far off the measured length may be
            [m].

    Returns: Uncertainty of the elongation, 0.001 for 0.1 percentage points [-].

    References: First-order propagation.

    >>> round(float(elongation_uncertainty(0.0003, 16, 0.015875)), 5)
    0.00118
    """
    return np.asarray(length_uncertainty, float) / (np.asarray(pitches, float) * pitch)


def wear_used(share: Scalar, limit: Scalar) -> Scalar:
    """Share of the allowed elongation that is used up.

    Args:
        share: Elongation measured, 0.01 for 1 % [-].
        limit (float or array, positive): Limit from the motorcycle's own manual, entered by the
            rider [-].

    Returns: 1 at the limit, more beyond it [-].

    >>> wear_used(0.01, 0.02)
    0.5
    """
    return share / limit


class WearLimit(NamedTuple):
    """A published limit.

    Attributes:
        lowest, highest: Elongation at which to replace the chain; equal for one figure [-].
        advice, source: What the source says, in a sentence, and where it was read [-].
    """

    lowest: Scalar
    highest: Scalar
    advice: str
    source: str


def published_limits(rear: Scalar) -> tuple[WearLimit, ...]:
    r"""Published limits of elongation, from strict to lenient; a spread, not a recommendation.

    A long chain rides up on the teeth, and sooner on a large sprocket. With more than 66 teeth
    the limit of 3 % becomes

    .. math:: e = 2 / z = (200 / z)\,\%

    Args:
        rear (int or array, positive): Teeth of the rear sprocket [count].

    Returns: tuple of WearLimit: Each with its source.

    References: Each :class:`WearLimit` names its own.

    >>> [round(float(limit.highest), 5) for limit in published_limits(70)]
    [0.015, 0.02, 0.03, 0.02857]
    """
    teeth = np.asarray(rear)
    by_teeth = np.where(teeth > 66, np.minimum(0.03, _LIMIT_BY_TEETH / teeth), 0.03)[()]
    return (
        WearLimit(
            0.015,
            0.015,
            "Replace at 1.5 %, never run past 3 % (fixed centres).",
            "a chain maker's maintenance page (name withheld)",
        ),
        WearLimit(
            0.015,
            0.02,
            "Replace at 1.5 to 2 % at most (chains of small off-road machines).",
            "common practice, no source",
        ),
        WearLimit(
            0.025,
            0.03,
            "Replace at 2.5 to 3 %.",
            "a bearing supplier's page of technical questions (name withheld)",
        ),
        WearLimit(
            by_teeth,
            by_teeth,
            "Replace at 3 %, or at 200 % divided by the teeth of a sprocket of more than 66.",
            "a chain maker's page of technical questions citing ANSI B29.1 and B29.3 (name "
            "withheld)",
        ),
    )
