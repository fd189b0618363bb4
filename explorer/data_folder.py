"""Where the explorer's data and pages stand: beside the package in a checkout, in it elsewhere."""

from pathlib import Path

_PACKAGE = Path(__file__).resolve().parent


def shipped(name: str) -> Path:
    """A folder of the project that an installed package has inside itself (pyproject.toml).

    Args:
        name: "data" or "notebooks".
    """
    inside = _PACKAGE / name
    return inside if inside.is_dir() else _PACKAGE.parent / name


DATA = shipped("data")
"""Tables with their sources, demo bikes, courses."""
