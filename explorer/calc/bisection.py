"""Finding where a condition stops to hold, for many cases at once."""

from collections.abc import Callable

import numpy as np

from explorer.calc.vehicle import FloatArray

_HALVINGS = 11
"""Eleven halvings of a step of a grid of 48 points leave one part in 100 000 of the range."""


def last_holding(
    grid: FloatArray, holds: FloatArray, condition: Callable[[FloatArray], FloatArray]
) -> FloatArray:
    """Largest value at which a condition holds, refined between two points of a grid.

    Args:
        grid (array (..., points), increasing along the last axis): Values at which the condition
            was looked at [any unit].
        holds (array of bool (..., points)): Whether the condition holds there [-].
        condition: Takes an array (..., 1) of values, returns whether the condition holds there [-].

    Returns: array (..., 1): The value; the last grid point where the condition holds there, NaN
        where it never holds [unit of grid].

    >>> grid = np.linspace(0.0, 2.0, 5)[np.newaxis]
    >>> root = last_holding(grid, grid**2 <= 2.0, lambda x: x**2 <= 2.0)
    >>> round(float(root[0, 0]), 3)
    1.414
    """
    points = grid.shape[-1]
    grid, holds = np.broadcast_arrays(grid, holds)
    last = points - 1 - np.argmax(holds[..., ::-1], axis=-1, keepdims=True)
    low = np.take_along_axis(grid, last, axis=-1)
    high = np.take_along_axis(grid, np.minimum(last + 1, points - 1), axis=-1)
    for _ in range(_HALVINGS):
        middle = 0.5 * (low + high)
        inside = condition(middle)
        low, high = np.where(inside, middle, low), np.where(inside, high, middle)
    return np.where(holds.any(axis=-1, keepdims=True), low, np.nan)
