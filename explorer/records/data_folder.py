"""Where the data of the explorer stand: tables with their sources, demo bikes, courses."""

from pathlib import Path

DATA = Path(__file__).parents[2] / "data"
