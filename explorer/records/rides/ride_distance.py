r"""Distances and directions between positions on the WGS 84 ellipsoid.

Steps of a log are short and many. Below `SHORT` the two radii of curvature at the middle latitude,

.. math:: s^2 = (M\,\Delta\varphi)^2 + (N \cos\varphi\,\Delta\lambda)^2,

give the geodesic within a few parts in 10⁸, for all steps at once; a longer step, and any near a
pole, is left to geographiclib, whose own figures the tests hold the short ones against.

References:
    C. F. F. Karney, "Algorithms for geodesics", Journal of Geodesy 87 (2013) 43-55, which is what
    geographiclib computes; the ellipsoid's constants are taken from that package. Radii of
    curvature: any textbook of geodesy (from memory).
"""

import numpy as np
from geographiclib.geodesic import Geodesic
from numpy.typing import NDArray

FloatArray = NDArray[np.float64]

SHORT = 2000.0
"""Longest step that the radii of curvature are used for [m]."""
_FURTHEST_NORTH = np.deg2rad(80.0)
"""Beyond it meridians converge too fast for the middle latitude [rad]."""

_EARTH = Geodesic.WGS84
_ECCENTRICITY_SQUARED = _EARTH.f * (2 - _EARTH.f)


def steps_between(latitude: FloatArray, longitude: FloatArray) -> tuple[FloatArray, FloatArray]:
    """Geodesic distance and direction from each position to the next.

    Args:
        latitude (array (n,), -90 to 90): Positions in their order, WGS 84 [deg].
        longitude (array (n,), -180 to 180): The same [deg].

    Returns: Two arrays (n - 1,): distance [m] and direction at the start of the step, clockwise
        from north, 0 to 2π [rad].

    A thousandth of a degree northward at 45° N, with geographiclib 111.132 m:

    >>> step, course = steps_between(np.array([45.0, 45.001]), np.array([14.0, 14.0]))
    >>> step.round(3), course
    (array([111.132]), array([0.]))
    """
    phi, lam = np.deg2rad(latitude), np.deg2rad(longitude)
    middle = 0.5 * (phi[1:] + phi[:-1])
    turn = np.remainder(np.diff(lam) + np.pi, 2 * np.pi) - np.pi
    squared = 1 - _ECCENTRICITY_SQUARED * np.sin(middle) ** 2
    across = _EARTH.a / np.sqrt(squared)
    along = across * (1 - _ECCENTRICITY_SQUARED) / squared
    north, east = along * np.diff(phi), across * np.cos(middle) * turn
    distance = np.hypot(north, east)
    # Half the convergence of the meridians turns the direction at the middle to that at the start.
    course = np.arctan2(east, north) - 0.5 * turn * np.sin(middle)
    for row in np.flatnonzero((distance > SHORT) | (np.abs(middle) > _FURTHEST_NORTH)):
        found = _EARTH.Inverse(latitude[row], longitude[row], latitude[row + 1], longitude[row + 1])
        distance[row], course[row] = found["s12"], np.deg2rad(found["azi1"])
    return distance, np.remainder(course, 2 * np.pi)


def plane(
    latitude: FloatArray, longitude: FloatArray, origin: tuple[float, float]
) -> tuple[FloatArray, FloatArray]:
    """Positions in a plane that touches the earth at the origin, for a few kilometres about it.

    Args:
        latitude, longitude (array (n,)): Positions, WGS 84 [deg].
        origin (tuple of two float): Latitude and longitude of the plane's zero [deg].

    Returns: Eastward and northward [m].

    >>> east, north = plane(np.array([45.001]), np.array([14.0]), (45.0, 14.0))
    >>> east, north.round(1)
    (array([0.]), array([111.1]))
    """
    squared = 1 - _ECCENTRICITY_SQUARED * np.sin(np.deg2rad(origin[0])) ** 2
    across = _EARTH.a / np.sqrt(squared)
    along = across * (1 - _ECCENTRICITY_SQUARED) / squared
    turn = np.deg2rad(np.remainder(longitude - origin[1] + 180, 360) - 180)
    east = across * np.cos(np.deg2rad(origin[0])) * turn
    return east, along * np.deg2rad(latitude - origin[0])
