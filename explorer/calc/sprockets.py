"""Diameters of a roller-chain sprocket and the unevenness of its drive, from pitch and teeth.

Args:
    roller_diameter (float or array, positive): Diameter of the chain's rollers [m].
"""

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar


def pitch_diameter(pitch: Scalar, teeth: Scalar) -> Scalar:
    r"""Diameter of the circle on which the chain's pins lie.

    .. math:: d = p / \sin(\pi / z)

    Args:
        pitch (float or array, positive): Pitch of the chain, pin to pin [m].

    Returns: Pitch diameter [m].

    References: R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., Example Problem 7-3.

    >>> round(float(pitch_diameter(0.015875, 48)) * 1000, 3)
    242.725
    """
    return pitch / np.sin(np.pi / np.asarray(teeth))


def root_diameter(pitch: Scalar, teeth: Scalar, roller_diameter: Scalar) -> Scalar:
    r"""Diameter at the bottom of the tooth gaps, where the rollers rest.

    .. math:: d_f = d - d_r

    Returns: Root diameter [m].

    References: Sprocket makers' technical notes on the standard tooth form (names withheld).

    >>> round(float(root_diameter(0.015875, 13, 0.01016)) * 1000, 3)
    56.175
    """
    return pitch_diameter(pitch, teeth) - roller_diameter


def caliper_diameter(pitch: Scalar, teeth: Scalar, roller_diameter: Scalar) -> Scalar:
    r"""Diameter that a caliper reads across the bottoms of two opposite tooth gaps.

    With an even number of teeth two gaps face each other and the reading is the root diameter.
    With an odd number they do not, and the reading is smaller:

    .. math:: d_c = d \cos(\pi / 2z) - d_r

    Returns: Caliper diameter [m].

    References: Sprocket makers' technical notes on the standard tooth form (names withheld).

    >>> (caliper_diameter(0.015875, np.array([13, 14]), 0.01016) * 1000).round(3)
    array([55.691, 61.182])
    """
    teeth = np.asarray(teeth)
    across = np.where(teeth % 2 == 0, 1.0, np.cos(np.pi / (2 * teeth)))
    return pitch_diameter(pitch, teeth) * across - roller_diameter


def outside_diameter(pitch: Scalar, teeth: Scalar) -> Scalar:
    r"""Approximate diameter over the tips of the teeth.

    .. math:: d_a = p\,(0.6 + \cot(\pi / z))

    Worn teeth and a maker's own tooth form differ by a millimetre or two; the chain's side plates
    stand out further than the teeth.

    Returns: Outside diameter [m].

    References:
        Sprocket maker's technical note of 2015, "standard sprocket size calculation" (name
        withheld).

    >>> round(float(outside_diameter(0.015875, 13)) * 1000, 1)
    73.9
    """
    return pitch * (0.6 + 1 / np.tan(np.pi / np.asarray(teeth)))


def chordal_speed_variation(teeth: Scalar) -> FloatArray:
    r"""Share by which the chain's speed drops within each tooth at steady sprocket speed.

    The chain lies on the sprocket as a polygon, so its speed swings between
    :math:`\omega r` and :math:`\omega r \cos(\pi/z)`:

    .. math:: (v_{max} - v_{min}) / v_{max} = 1 - \cos(\pi / z)

    The other measure in use divides by the mean speed instead of the greatest; it is larger by
    1 % of itself at 13 teeth. Say which one is meant when comparing.

    Returns: Speed variation, as a share of the greatest speed [-].

    References:
        German vocational engineering wiki bs-wiki.de, article on chain drives, "Polygoneffekt".

    >>> round(float(chordal_speed_variation(16)), 4)
    0.0192
    """
    return 1 - np.cos(np.pi / np.asarray(teeth))
