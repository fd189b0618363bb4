"""Diameter and circumference of a tyre from its size. A measured roll-out beats both."""

import numpy as np

from explorer.calc.vehicle import Scalar

_LARGEST_ASPECT_RATIO = 3.0
"""No tyre is three times as tall as wide; a larger number was surely meant as per cent."""


def overall_diameter(section_width: Scalar, aspect_ratio: Scalar, rim_diameter: Scalar) -> Scalar:
    r"""Nominal diameter of a new, unloaded tyre.

    The sidewall is the section width times the aspect ratio tall, and is there twice:

    .. math:: D = d + 2\,S\,a

    Args:
        section_width (float or array, positive): Width of the tyre by its size [m].
        aspect_ratio (float or array, above 0 and at most 3): Section height over section width, as
            a plain ratio: 0.90 for a size "120/90-18" [-].
        rim_diameter (float or array, positive): Nominal diameter of the rim [m].

    Returns: Overall diameter [m]. A real tyre can differ by several per cent, a knobbly one most.

    Raises: ValueError: If the aspect ratio is above 3, as when it was given in per cent.

    References:
        Tyre maker's technical page on sidewall markings (name withheld); the sizes are defined in
        UN Regulation No. 75, whose tables were not at hand.

    A tyre of size 120/90-18, on a rim of 18 inches:

    >>> round(overall_diameter(0.120, 0.90, 18 * 0.0254), 4)
    0.6732
    """
    if np.any(np.asarray(aspect_ratio) > _LARGEST_ASPECT_RATIO):
        raise ValueError(
            f"An aspect ratio of {np.max(aspect_ratio):g} looks like per cent. "
            "Give it as a plain ratio of at most 3, for example 0.90 for a 90 in the tyre size."
        )
    return rim_diameter + 2 * section_width * aspect_ratio


def circumference(diameter: Scalar, rolling_factor: Scalar = 1.0) -> Scalar:
    r"""Circumference of a tyre, or an estimate of its roll-out.

    .. math:: U = \pi D k

    Args:
        diameter (float or array, positive): Overall diameter [m].
        rolling_factor (float or array, positive): Roll-out over circumference of the unloaded tyre;
            1 unless measured, as no published figure for motorcycles was found. A loaded tyre rolls
            a little less than 1 [-].

    Returns: Circumference, or roll-out [m].

    >>> round(circumference(0.6732), 4)
    2.1149
    """
    return np.pi * diameter * rolling_factor
