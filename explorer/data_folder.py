"""Where the explorer's data and pages stand: beside the package in a checkout, in it elsewhere."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped(name: str) -> Path:
    """The project's "data" or "notebooks", inside an installed package (pyproject.toml)."""
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


DATA = shipped("data")
"""Tables with their sources, demo bikes, courses."""
