"""Length of a roller chain round two sprockets: links from centre distance, and back.

One rule for input that no chain can meet: the result is NaN, for a scalar as inside an array.
That covers sprockets that would touch, too few links, fewer than 3 teeth, and a pitch that is not
positive. A map over all pairs keeps its shape, and whoever shows the number says in a sentence
why there is none.

Args:
    links (float or array, positive): Links of the chain [count].
"""

from typing import Any

import numpy as np

from explorer.calc.sprockets import outside_diameter, pitch_diameter
from explorer.calc.vehicle import FloatArray, Scalar

_NEWTON_STEPS = 6
"""From the handbook form, three steps reach double precision on motorcycle sizes."""


def touching_distance(pitch: Scalar, front: Scalar, rear: Scalar) -> FloatArray:
    r"""Centre distance at which the teeth of the two sprockets would touch.

    .. math:: C_0 = (d_{a1} + d_{a2}) / 2

    Returns: Half the sum of the outside diameters; a drive needs more than this [m].

    References: Geometry; outside diameter as in :func:`explorer.calc.sprockets.outside_diameter`.

    >>> round(float(touching_distance(0.015875, 13, 48)) * 1000, 1)
    162.8
    """
    pitch, front, rear = _usable(pitch, front, rear)
    both = outside_diameter(pitch, front) + outside_diameter(pitch, rear)
    return np.asarray(0.5 * both)[()]


def links_for(centre_distance: Scalar, pitch: Scalar, front: Scalar, rear: Scalar) -> FloatArray:
    r"""Links of a taut chain at a centre distance, as a real number.

    Exact for two sprockets whose chain lies on teeth × pitch. With the pitch radii
    :math:`r_i = p / (2 \sin(\pi/z_i))`:

    .. math::

        \sin a = (r_2 - r_1)/C, \qquad
        L = \frac{2 C \cos a}{p} + z_1 \frac{\pi - 2a}{2\pi} + z_2 \frac{\pi + 2a}{2\pi}

    Using the arc of the pitch circle in place of teeth × pitch would add 0.05 to 0.1 links.

    Returns: Links; a chain has a whole, even number of them. NaN where the sprockets would touch
        [count].

    References:
        Geometry of an open two-sprocket drive; R. L. Mott, *Machine Elements in Mechanical Design*,
        4th ed., Example Problem 7-3, has the approximate form, see :func:`links_for_handbook`.

    >>> round(float(links_for(0.632043, 0.015875, 13, 50)), 4)
    112.0
    >>> float(links_for(0.100, 0.015875, 13, 50))
    nan
    """
    pitch, front, rear = _usable(pitch, front, rear)
    ratio = np.asarray(centre_distance, float) / pitch
    with np.errstate(invalid="ignore"):
        apart = ratio * pitch > touching_distance(pitch, front, rear)
        links, _ = _links_and_slope(np.where(apart, ratio, np.nan), front, rear)
    return links[()]


def centre_distance_for(links: Scalar, pitch: Scalar, front: Scalar, rear: Scalar) -> FloatArray:
    """Centre distance at which a chain of so many links is taut; the inverse of `links_for`.

    Newton's method from the handbook form, for all pairs at once, to double precision.

    Args:
        pitch (float or array, positive): Pitch of the chain, measured over the worn chain if wear
            is to count [m].

    Returns: Centre distance of the taut chain; NaN where the links are too few to keep the
        sprockets apart [m].

    References: Inverse of :func:`links_for`.

    >>> round(float(centre_distance_for(112, 0.015875, 13, 50)) * 1000, 3)
    632.043
    """
    pitch, front, rear = _usable(pitch, front, rear)
    links = np.asarray(links, float)
    with np.errstate(invalid="ignore", over="ignore"):
        closest = _radius(front) + _radius(rear)
        ratio = np.fmax(_handbook_ratio(links, front, rear), closest)
        for _ in range(_NEWTON_STEPS):
            # Links grow with the distance, ever faster (convex): Newton cannot run away. `fmax`
            # stops at touching pitch circles where so few links have no solution.
            found, slope = _links_and_slope(ratio, front, rear)
            ratio = np.fmax(ratio - (found - links) / slope, closest)
        distance = ratio * pitch
        exists = np.isfinite(links) & (distance > touching_distance(pitch, front, rear))
    return np.where(exists, distance, np.nan)[()]


def wrap_angle(centre_distance: Scalar, pitch: Scalar, front: Scalar, rear: Scalar) -> FloatArray:
    r"""Angle over which the chain lies on the smaller sprocket.

    .. math:: \theta = \pi - 2 \arcsin\frac{|d_2 - d_1|}{2 C}

    The larger sprocket has :math:`2\pi - \theta`.

    Returns: Wrap angle; NaN where one pitch circle would lie inside the other [rad].

    References: R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., eqs 7-12 and 7-13.

    >>> round(float(np.degrees(wrap_angle(0.632, 0.015875, 13, 50))), 1)
    163.0
    """
    pitch, front, rear = _usable(pitch, front, rear)
    difference = np.abs(pitch_diameter(pitch, rear) - pitch_diameter(pitch, front))
    with np.errstate(invalid="ignore", divide="ignore"):
        sine = difference / (2 * np.asarray(centre_distance, float))
        inside = (sine >= 0) & (sine < 1)
    return (np.pi - 2 * np.arcsin(np.where(inside, sine, np.nan)))[()]


def links_for_handbook(
    centre_distance: Scalar, pitch: Scalar, front: Scalar, rear: Scalar
) -> FloatArray:
    r"""Links at a centre distance by the approximate form of the handbooks.

    .. math:: L = 2C + \frac{z_1 + z_2}{2} + \frac{(z_2 - z_1)^2}{4\pi^2 C}

    with C and L in pitches. For comparison: it falls short of :func:`links_for` by about
    :math:`((z_2 - z_1)/2\pi)^4 / 12 C^3`, which is 0.002 links at 13/50 teeth 40 pitches apart.

    Returns: Links, as a real number [count].

    References:
        R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., Example Problem 7-3, p. 295.

    >>> round(float(links_for_handbook(30 * 0.0127, 0.0127, 17, 65)), 4)
    102.9454
    """
    pitch, front, rear = _usable(pitch, front, rear)
    ratio = np.asarray(centre_distance, float) / pitch
    ratio = np.where(ratio > 0, ratio, np.nan)
    return (2 * ratio + (front + rear) / 2 + (rear - front) ** 2 / (4 * np.pi**2 * ratio))[()]


def centre_distance_for_handbook(
    links: Scalar, pitch: Scalar, front: Scalar, rear: Scalar
) -> FloatArray:
    r"""Centre distance of a chain by the approximate form of the handbooks.

    .. math::

        C = \tfrac14 \left[ m + \sqrt{m^2 - 8\,(z_2 - z_1)^2 / 4\pi^2} \right],
        \qquad m = L - \frac{z_1 + z_2}{2}

    with C and L in pitches. For comparison: it exceeds :func:`centre_distance_for` by 0.012 mm
    at 13/50 teeth, 112 links of 15.875 mm.

    Returns: Centre distance; NaN where the root has no real value [m].

    References:
        R. L. Mott, *Machine Elements in Mechanical Design*, 4th ed., Example Problem 7-3, p. 295.

    >>> round(float(centre_distance_for_handbook(112, 0.015875, 13, 50)) * 1000, 3)
    632.055
    """
    pitch, front, rear = _usable(pitch, front, rear)
    return (_handbook_ratio(np.asarray(links, float), front, rear) * pitch)[()]


def _usable(
    pitch: Scalar, front: Scalar, rear: Scalar
) -> tuple[FloatArray, FloatArray, FloatArray]:
    """Pitch and teeth as arrays, NaN where they cannot be a sprocket's."""
    pitch, front, rear = (np.asarray(value, float) for value in (pitch, front, rear))
    with np.errstate(invalid="ignore"):
        return (
            np.where(pitch > 0, pitch, np.nan),
            np.where(front >= 3, front, np.nan),
            np.where(rear >= 3, rear, np.nan),
        )


def _radius(teeth: FloatArray) -> Any:
    """Pitch radius in pitches."""
    return pitch_diameter(1.0, teeth) / 2


def _links_and_slope(
    ratio: FloatArray, front: FloatArray, rear: FloatArray
) -> tuple[FloatArray, FloatArray]:
    """Links, and their derivative with respect to the centre distance, both in pitches."""
    difference = _radius(rear) - _radius(front)
    sine = difference / ratio
    angle = np.arcsin(sine)
    cosine = np.cos(angle)
    share = angle / np.pi
    links = 2 * ratio * cosine + front * (0.5 - share) + rear * (0.5 + share)
    # d(angle)/dC = -tan(angle)/C; radii of teeth/(2 pi) would leave 2 cos(angle) alone.
    leftover = 2 * difference - (rear - front) / np.pi
    return links, 2 * cosine + sine / cosine * leftover / ratio


def _handbook_ratio(links: FloatArray, front: FloatArray, rear: FloatArray) -> FloatArray:
    """Centre distance in pitches, by the handbook form."""
    straight = links - (front + rear) / 2
    with np.errstate(invalid="ignore", over="ignore"):
        square = straight**2 - 8 * (rear - front) ** 2 / (4 * np.pi**2)
        real = (straight > 0) & (square >= 0)
        return np.where(real, 0.25 * (straight + np.sqrt(np.where(real, square, 0.0))), np.nan)
