"""Prose that is data: the texts of data/*.toml that no number decides."""

import tomllib
from functools import cache
from typing import Any

from explorer.records.data_folder import DATA


@cache
def texts(name: str) -> dict[str, Any]:
    """What stands in a file of texts, by its name without the ending.

    >>> len(texts("misconceptions")["misconception"])
    13
    """
    return tomllib.loads((DATA / f"{name}.toml").read_text("utf-8"))
