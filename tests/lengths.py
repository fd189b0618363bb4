"""How many cases of a parametrised test a quick run has."""

from collections.abc import Iterable
from typing import Any

import pytest


def quick_first(quick: int, cases: Iterable[Any]) -> list[Any]:
    """The first cases as they are; the others only with ``--long``."""
    return [
        pytest.param(case, marks=pytest.mark.long if place >= quick else ())
        for place, case in enumerate(cases)
    ]
