"""Data and prose of data/*.toml."""

import tomllib
from typing import Any

from explorer.data_folder import DATA


def read_prose(name: str) -> dict[str, Any]:
    """The tables of one file, such as "complaints"."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))
