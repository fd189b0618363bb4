r"""The gear at each moment of a ride without an engine speed: the most plausible one.

A hidden Markov chain whose states are the gears. A gear is plausible at a speed if the engine would
turn between where a rider changes down and where he changes up; outside it becomes less plausible
with the square of :math:`\ln\omega` beyond, and beyond the rev limit it is impossible. Between two
moments the gear stays, or changes with a chance that grows with the time, by one step rather than
by several. Forward and backward passes give each gear's share of the plausibility; the likeliest
gear is the result and its share the confidence.

This is an inference from shift habits, never a measurement: it can't see a gear held on purpose.

References:
    L. R. Rabiner, "A tutorial on hidden Markov models and selected applications in speech
    recognition", Proceedings of the IEEE 77 (1989) 257-286, section III.A (from memory).
"""

from typing import NamedTuple

import numpy as np

from explorer.calc.vehicle import FloatArray

DWELL = 5.0
"""Mean time in a gear that the chance of a change rests on; ours [s]."""
_SOFTNESS = 0.08
_NEVER = 1e-12
_SKIP = 0.15


class InferredGears(NamedTuple):
    """Index of the most plausible gear at each moment, its share of plausibility, 0 to 1 [-]."""

    gear: FloatArray
    confidence: FloatArray


def infer_gears(
    time: FloatArray, speed: FloatArray, quotient: FloatArray, shift_up: float, limiter: float
) -> InferredGears:
    """Infer the gears of a stretch from its speeds and where the rider changes up.

    Returns: Gear [-] and confidence [-] at each moment.

    At 30 m/s only the taller of two gears is left:

    >>> found = infer_gears(np.arange(3.0), np.array([28.0, 30.0, 30.0]), np.array([40.0, 25.0]),
    ...                     800.0, 900.0)
    >>> found.gear, found.confidence.round(2)
    (array([1, 1, 1]), array([1., 1., 1.]))
    """
    gears = len(quotient)
    plausible = _plausibility(speed, quotient, shift_up, limiter)
    step = np.abs(np.subtract.outer(np.arange(gears), np.arange(gears)))
    moves = np.where(step == 0, 0.0, np.where(step == 1, 1.0, _SKIP ** (step - 1.0)))
    moves /= np.maximum(moves.sum(axis=1, keepdims=True), _NEVER)
    change = 1 - np.exp(-np.diff(time) / DWELL)
    count = len(time)
    forward = np.empty((count, gears))
    forward[0] = plausible[0] / plausible[0].sum()
    for row in range(1, count):
        share = change[row - 1]
        ahead = (1 - share) * forward[row - 1] + share * (forward[row - 1] @ moves)
        ahead = (ahead + _NEVER) * plausible[row]
        forward[row] = ahead / ahead.sum()
    backward = np.ones(gears)
    for row in range(count - 2, -1, -1):
        share = change[row]
        seen = plausible[row + 1] * backward
        backward = (1 - share) * seen + share * (moves @ seen) + _NEVER
        backward /= backward.sum()
        forward[row] *= backward
        forward[row] /= forward[row].sum()
    gear = np.argmax(forward, axis=1)
    return InferredGears(gear, forward[np.arange(count), gear])


def _plausibility(
    speed: FloatArray, quotient: FloatArray, shift_up: float, limiter: float
) -> FloatArray:
    """How plausible each gear is at each speed, by its engine speed alone, shape (n, gears)."""
    engine = np.log(np.maximum(speed[:, np.newaxis] * quotient, 1e-3))
    # Changing down before the lower gear would have to be left again.
    steps = np.log(quotient[:-1] / quotient[1:])
    lowest = np.log(shift_up) - 1.25 * np.concatenate((steps[:1], steps)) if len(steps) else -np.inf
    lowest = np.broadcast_to(lowest, quotient.shape).copy()
    lowest[0] = -np.inf  # first gear goes down to a standstill, on the clutch
    above = np.maximum(engine - np.log(shift_up), 0.0)
    below = np.maximum(lowest - engine, 0.0)
    score = -0.5 * ((above / _SOFTNESS) ** 2 + (below / (2 * _SOFTNESS)) ** 2)
    impossible = engine > np.log(limiter * 1.03)
    score = np.where(impossible, -50.0, np.maximum(score, -40.0))
    return np.exp(score - score.max(axis=1, keepdims=True))
