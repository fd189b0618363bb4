"""The path of the chain in side view, to scale: straight runs, outline, hanging slack run.

Coordinates as in :mod:`explorer.calc.chain.swingarm`: origin at the pivot, x to the rear, y up.
Lengths are those of the pitch line, through the centres of the pins.

Args:
    shaft: Position of the output shaft [m].
    axle: Position of the rear axle, see :func:`explorer.calc.chain.swingarm.axle_position` [m].
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.chain.swingarm import Point
from explorer.calc.sprockets import pitch_diameter
from explorer.calc.vehicle import FloatArray, Scalar


class Runs(NamedTuple):
    """The two straight runs, each from its tangent point on the front sprocket to the rear one.

    Attributes:
        upper, lower (Point of arrays (..., 2)): Front and rear end of the run, along the last axis
            [m].
        upper_normal, lower_normal (Point of arrays (...)): Unit vector at right angles to the run,
            away from the other run [-].
    """

    upper: Point
    lower: Point
    upper_normal: Point
    lower_normal: Point


def straight_runs(shaft: Point, axle: Point, pitch: Scalar, front: Scalar, rear: Scalar) -> Runs:
    r"""Tangent points of the taut chain on both sprockets.

    With u the direction from shaft to axle and n at right angles to it, the tangent points lie
    from each centre along :math:`m = \pm\cos a\,n - \sin a\,u`, where
    :math:`\sin a = (r_2 - r_1)/C`.

    Returns: End points and normals; NaN where one pitch circle would lie inside the other.

    References: Common tangents of two circles.

    >>> runs = straight_runs(Point(-0.080, 0.0), Point(0.560, 0.0), 0.015875, 13, 48)
    >>> (runs.upper.x * 1000).round(1), (runs.upper.y * 1000).round(1)
    (array([-84.6, 543.3]), array([ 32.9, 120.2]))
    """
    front_radius, rear_radius = pitch_diameter(pitch, front) / 2, pitch_diameter(pitch, rear) / 2
    across = np.asarray(axle.x, float) - shaft.x
    along_y = np.asarray(axle.y, float) - shaft.y
    distance = np.hypot(across, along_y)
    with np.errstate(invalid="ignore", divide="ignore"):
        ux, uy = across / distance, along_y / distance
        sine = (rear_radius - front_radius) / distance
        cosine = np.sqrt(np.where(np.abs(sine) < 1, 1 - sine**2, np.nan))
    upper_normal = Point(-cosine * uy - sine * ux, cosine * ux - sine * uy)
    lower_normal = Point(cosine * uy - sine * ux, -cosine * ux - sine * uy)

    def run(normal: Point) -> Point:
        return Point(
            _ends(shaft.x + front_radius * normal.x, axle.x + rear_radius * normal.x),
            _ends(shaft.y + front_radius * normal.y, axle.y + rear_radius * normal.y),
        )

    return Runs(run(upper_normal), run(lower_normal), upper_normal, lower_normal)


def run_clearance(
    run: Point, normal: Point, centre: Point, radius: Scalar, plate_height: Scalar
) -> FloatArray:
    r"""Gap between a straight run of chain and a round part between the two runs.

    The part may be the swingarm at its pivot with its slider, or a roller. It is

    .. math:: g = m\cdot(T - P) - R - h_p / 2

    with T a point of the run, m its outward normal, P and R centre and radius of the part and
    :math:`h_p` the height of the chain's plates. The line of the run is taken as endless.

    Args:
        run (Point of arrays (..., 2)): The run, `upper` or `lower` of :func:`straight_runs` [m].
        normal: Its normal, from the same result [-].
        centre: Centre of the part; ``Point(0.0, 0.0)`` is the swingarm pivot [m].
        radius (float or array, non-negative): Radius of the part on that side [m].

    Returns:
        Gap; negative by how far the part pushes the run out of its line, the chain lying on it [m].

    References: Distance of a point from a line.

    >>> shaft, axle, pivot = Point(-0.080, 0.0), Point(0.560, 0.0), Point(0.0, 0.0)
    >>> runs = straight_runs(shaft, axle, 0.015875, np.array([12, 15]), 48)
    >>> gap = run_clearance(runs.upper, runs.upper_normal, pivot, 0.030, 0.015)
    >>> (gap * 1000).round(1)
    array([ 4.5, 11.1])
    """
    beyond = normal.x * (run.x[..., 0] - centre.x) + normal.y * (run.y[..., 0] - centre.y)
    return beyond - radius - np.asarray(plate_height, float) / 2


def hanging_sag(span: Scalar, extra: Scalar) -> FloatArray:
    r"""How far the slack run hangs below its straight line at mid-run.

    .. math:: f = \sqrt{3\,S\,\Delta L / 8}

    Args:
        span (float or array, positive): Length of the straight run [m].
        extra: Extra length, see :func:`explorer.calc.chain.chain_slack.extra_length` [m].

    Returns: Sag; zero where the chain is drawn tight [m].

    References: Length of a shallow parabola, first term of its series.

    >>> round(float(hanging_sag(0.600, 0.00102)) * 1000, 1)
    15.1
    """
    return np.sqrt(3 / 8 * np.asarray(span, float) * np.fmax(extra, 0.0))


def outline(
    shaft: Point,
    axle: Point,
    pitch: Scalar,
    front: Scalar,
    rear: Scalar,
    sag: Scalar = 0.0,
    points: int = 40,
) -> Point:
    """The whole chain as a closed line for a drawing to scale.

    Args:
        sag (float, non-negative): As of :func:`hanging_sag`, at right angles to the run [m].
        points (int, 2 or more): Points on each arc and on the lower run [count].

    Returns: The line, arrays (3 × points + 1,): front sprocket, upper run, rear sprocket, lower
        run, back to the start [m].

    References: Geometry of an open two-sprocket drive; the lower run is a parabola.

    >>> line = outline(Point(-0.080, 0.0), Point(0.560, 0.0), 0.015875, 13, 48)
    >>> length = float(np.hypot(np.diff(line.x), np.diff(line.y)).sum())
    >>> round(length / 0.015875, 1)
    112.0
    """
    runs = straight_runs(shaft, axle, pitch, front, rear)
    start = np.arctan2(runs.lower_normal.y, runs.lower_normal.x)
    end = np.arctan2(runs.upper_normal.y, runs.upper_normal.x)
    # Clockwise: round the front of the front sprocket, then round the back of the rear one.
    front_arc = start - np.linspace(0.0, 1.0, points) * ((start - end) % (2 * np.pi))
    rear_arc = end - np.linspace(0.0, 1.0, points) * ((end - start) % (2 * np.pi))
    share = np.linspace(0.0, 1.0, points)
    hang = 4 * share * (1 - share) * sag
    lower = (
        ends[1] + share * (ends[0] - ends[1]) + hang * normal
        for ends, normal in zip(runs.lower, runs.lower_normal, strict=True)
    )
    arcs = (
        _arc(shaft, pitch_diameter(pitch, front) / 2, front_arc),
        _arc(axle, pitch_diameter(pitch, rear) / 2, rear_arc),
    )
    x, y = (np.concatenate(parts) for parts in zip(*arcs, lower, strict=True))
    return Point(np.append(x, x[0]), np.append(y, y[0]))


def _ends(front: Scalar, rear: Scalar) -> FloatArray:
    """Front and rear end of a run along a new last axis."""
    return np.stack(np.broadcast_arrays(front, rear), axis=-1)


def _arc(centre: Point, radius: Scalar, angles: FloatArray) -> Point:
    return Point(centre.x + radius * np.cos(angles), centre.y + radius * np.sin(angles))
