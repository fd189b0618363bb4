"""Data and prose of data/*.toml, and the rows of data/*.csv."""

import csv
import tomllib
from typing import Any

from explorer.data_folder import DATA


def read_prose(name: str) -> dict[str, Any]:
    """The tables of one file, such as "complaints"."""
    return tomllib.loads((DATA / f"{name}.toml").read_text(encoding="utf-8"))


def read_table(name: str) -> list[dict[str, str]]:
    """The rows of one file, such as "chains", each by the names of its columns."""
    with (DATA / f"{name}.csv").open(encoding="utf-8", newline="") as file:
        return list(csv.DictReader(file))
