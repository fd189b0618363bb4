"""An oracle for each step of the lesson, one file each, found by itself.

An oracle says what its step may state, as patterns of whole sentences in the order in which they
are tried, each with the check that works the statement out once more for a bike: `STEP`, the number
of the step, and `CLAIMS`, its pairs of pattern and check(facts, match).
"""

from importlib import import_module
from pkgutil import iter_modules

ORACLES = [import_module(f"{__name__}.{each.name}") for each in iter_modules(__path__)]
CLAIMS = {oracle.STEP: oracle.CLAIMS for oracle in ORACLES}
"""By the number of the step."""
