"""An independent reckoning of every kind of want, one file each, found by itself like the kinds.

Each has `margin(want, pair, measured)` for one pair of sprockets in SI, NaN where it is not
reached; `tolerance(want, limiter)` as the page states it; and `texts(rng, gears)`, values that some
bikes meet and some miss.
"""

from importlib import import_module
from pkgutil import iter_modules


def speed(rng, low, high):
    return f"{rng.uniform(low, high):.2f} km/h"


def revs(rng):
    return f"{rng.integers(4500, 9500)} rpm"


ORACLES = {
    each.name.replace("_", "-"): import_module(f"{__name__}.{each.name}")
    for each in iter_modules(__path__)
}
"""By the short name of the kind."""
