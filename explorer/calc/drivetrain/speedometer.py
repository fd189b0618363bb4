"""What the speedometer shows after a change of sprockets or tyre, against the true speed.

Where the instrument takes its speed from decides. Ask the rider; never guess.

Args:
    factor (float or array, positive): Indicated over true speed, see :func:`indicated_over_true`
        [-].
    allowance (float or array, non-negative): Fixed part of the allowed over-reading; 4 km/h as in
        the regulation [m/s].
    true_speed (float or array, non-negative): True road speed [m/s].
    indicated (float or array, non-negative): Indicated speed [m/s].
"""

from enum import Enum

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar

R39_SHARE, R39_ALLOWANCE = 0.1, 4 / 3.6
"""The allowed over-reading: a part that grows with the true speed [-], and 4 km/h [m/s]."""

QUOTED_LOOSER_ALLOWANCE = 8 / 3.6
"""Fixed part that owners' forums quote for motorcycles, 8 km/h [m/s]: not seen in the regulation,
to be shown as a quoted figure only."""

R39_SOURCE_STATUS = (
    "UN Regulation No. 39, paragraph 5.3, read second-hand in texts that quote it; it applies to "
    "the type approval of a new vehicle. The law where you ride decides."
)


class Pickup(Enum):
    """Where the speedometer takes its speed from."""

    GEARBOX = "gearbox"
    """The gearbox, its output shaft or the front sprocket."""
    REAR_WHEEL = "rear wheel"
    FRONT_WHEEL = "front wheel"
    SATELLITE = "satellite"
    """Position by satellite: neither sprockets nor tyres matter."""


def indicated_over_true(
    pickup: Pickup,
    ratio_before: Scalar,
    ratio_after: Scalar,
    rollout_before: Scalar,
    rollout_after: Scalar,
    before: Scalar = 1.0,
) -> FloatArray:
    r"""Indicated over true speed after a change of sprockets or tyre.

    With a pickup on the gearbox the instrument counts turns of the output shaft,
    :math:`v R / U`, on the rear wheel turns of the wheel, :math:`v / U`:

    .. math::

        k_{gearbox} = k_0\,\frac{R'}{R}\,\frac{U}{U'}, \qquad
        k_{wheel} = k_0\,\frac{U}{U'}

    The distance counter, and with it the service intervals, is off by the same factor.

    Args:
        pickup: Where the speedometer takes its speed from [-].
        ratio_before (float or array, positive): Final drive ratio, rear over front teeth, for which
            the instrument is right [-].
        ratio_after (float or array, positive): Final drive ratio after the change [-].
        rollout_before (float or array, positive): Roll-out, before the change, of the tyre on the
            wheel concerned: the front tyre for a pickup on the front wheel, else the rear tyre [m].
        rollout_after (float or array, positive): Roll-out of that tyre after the change; the same
            if the tyre stays [m].
        before (float or array, positive): Indicated over true speed before the change; 1 unless
            measured. Instruments commonly over-read when new [-].

    Returns: Indicated over true speed; below 1 the instrument under-reads [-].

    Raises: ValueError: If the pickup is unknown.

    References: Proportion.

    >>> shorter = indicated_over_true(Pickup.GEARBOX, 48 / 13, 48 / 12, 2.0, 2.0)
    >>> round(float(shorter), 4)
    1.0833
    """
    tyre = np.asarray(rollout_before, float) / rollout_after
    sprockets = np.asarray(ratio_after, float) / ratio_before
    if pickup is Pickup.GEARBOX:
        return before * sprockets * tyre
    if pickup in (Pickup.REAR_WHEEL, Pickup.FRONT_WHEEL):
        return before * tyre * np.ones_like(sprockets)
    if pickup is Pickup.SATELLITE:
        return before * np.ones_like(sprockets * tyre)
    raise ValueError(
        "It is not known where the speedometer takes its speed from. Choose gearbox, rear wheel, "
        "front wheel or satellite."
    )


def indicated_speed(true_speed: Scalar, factor: Scalar) -> Scalar:
    """Speed shown at a true speed.

    Returns: Indicated speed [m/s].

    >>> indicated_speed(20.0, 1.05)
    21.0
    """
    return true_speed * factor


def true_speed(indicated: Scalar, factor: Scalar) -> Scalar:
    """True speed at a speed shown.

    Returns: True road speed [m/s].

    >>> true_speed(21.0, 1.05)
    20.0
    """
    return indicated / factor


def correction_factor(factor: Scalar) -> Scalar:
    """Factor by which to multiply what the speedometer shows.

    Returns: True over indicated speed [-].

    >>> correction_factor(1.25)
    0.8
    """
    return 1 / factor


def may_under_read(factor: Scalar) -> FloatArray:
    """Whether the speedometer shows less than the true speed.

    Returns: True where the rider goes faster than shown [-].

    >>> may_under_read(np.array([0.97, 1.0, 1.03]))
    array([ True, False, False])
    """
    # Rounding of a quotient of equal numbers is no under-reading.
    return np.asarray(factor, float) < 1 - 1e-12


def largest_indicated(true_speed: Scalar, allowance: Scalar = R39_ALLOWANCE) -> FloatArray:
    r"""Largest speed that may be shown at a true speed, by the type-approval inequality.

    .. math:: 0 \le V_1 - V_2 \le 0.1\,V_2 + 4\;\mathrm{km/h}

    with V1 the indicated and V2 the true speed.

    Returns: Indicated speed [m/s].

    References: UN Regulation No. 39, paragraph 5.3; read second-hand, see `R39_SOURCE_STATUS`.

    >>> round(float(largest_indicated(50 / 3.6)) * 3.6, 6)
    59.0
    """
    return np.asarray(true_speed, float) * (1 + R39_SHARE) + allowance


def within_r39(indicated: Scalar, true_speed: Scalar) -> FloatArray:
    """Whether a reading meets the type-approval inequality.

    Returns: True where it neither under-reads nor over-reads by more than allowed [-].

    References: UN Regulation No. 39, paragraph 5.3; read second-hand, see `R39_SOURCE_STATUS`.

    >>> within_r39(np.array([49.0, 50.0, 58.0, 60.0]) / 3.6, 50.0 / 3.6)
    array([False,  True,  True, False])
    """
    indicated = np.asarray(indicated, float)
    # 1e-9 m/s: a reading on the limit stays within it after conversion from km/h.
    not_under = indicated >= np.asarray(true_speed, float) - 1e-9
    return not_under & (indicated <= largest_indicated(true_speed) + 1e-9)
