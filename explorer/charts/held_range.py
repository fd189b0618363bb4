"""Axis ranges that stay where they are while a slider moves by a tooth or two."""

import math
from collections.abc import Iterator
from contextlib import contextmanager

from bokeh.models import Range1d

_LEAST_FILL = 0.6
"""An axis is drawn anew when the data fill less of it than this."""

_HEADROOM = 0.06
"""Free share at each end of a new axis, so that the next tooth still fits."""


_anew = 0


@contextmanager
def axes_anew() -> Iterator[None]:
    """Within it nothing is held, for no number moves: a page follows a link, maybe to another bike.

    >>> axis = Range1d()
    >>> held = HeldRange(axis)
    >>> held.show(0.0, 90.0, "km/h"); axis.end
    100.0
    >>> with axes_anew():
    ...     held.show(0.0, 75.0, "km/h"); axis.end
    80.0
    """
    global _anew
    _anew += 1
    try:
        yield
    finally:
        _anew -= 1


class HeldRange:
    """Keeps one axis steady: it moves only when the data leave it or shrink inside it.

    Args:
        axis_range: The range of the figure's axis.

    >>> axis = Range1d()
    >>> held = HeldRange(axis)
    >>> held.show(0.0, 90.0, "km/h"); axis.end
    100.0
    >>> held.show(0.0, 97.0, "km/h"); axis.end
    100.0
    >>> held.show(0.0, 101.0, "km/h"); axis.end
    110.0
    """

    def __init__(self, axis_range: Range1d) -> None:
        self._range = axis_range
        self._quantity = ""
        self.start, self.end = 0.0, 0.0

    def show(self, low: float, high: float, quantity: str) -> None:
        """Make the axis hold what lies between two values.

        Args:
            low, high: Smallest and largest value to be seen; zero as an end gets no headroom [axis
                unit].
            quantity: What the axis shows and in which unit; another quantity always gets a new
                axis.
        """
        inside = self.start <= low and high <= self.end
        filled = high - low >= _LEAST_FILL * (self.end - self.start)
        if quantity == self._quantity and inside and filled and not _anew:
            return
        self._quantity = quantity
        self.start, self.end = _round_range(low, high)
        # The reset values too, or the reset button would bring back the first axis ever drawn.
        ends = {"start": self.start, "end": self.end}
        self._range.update(**ends, reset_start=self.start, reset_end=self.end)


def _round_range(low: float, high: float) -> tuple[float, float]:
    """Ends on round numbers, with at most one step and the headroom added at each."""
    if high - low < 1e-6 * max(abs(low), abs(high), 1e-6):
        margin = max(abs(high) * 0.1, 0.5)
        low, high = low - margin, high + margin
    span = high - low
    step = _round_step(span / 8)
    start = low if low == 0 else math.floor((low - _HEADROOM * span) / step) * step
    if low > 0:
        start = max(start, 0.0)
    end = high if high == 0 else math.ceil((high + _HEADROOM * span) / step) * step
    return float(f"{start:.9g}"), float(f"{end:.9g}")


def _round_step(largest: float) -> float:
    """Largest of 1, 2, 2.5 and 5 times a power of ten that is not above a number."""
    power = 10.0 ** math.floor(math.log10(largest))
    return max(step * power for step in (1.0, 2.0, 2.5, 5.0) if step * power <= largest * 1.0001)
