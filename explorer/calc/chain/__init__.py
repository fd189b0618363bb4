"""The chain: its length, path, fit, slack, load and wear."""

from explorer.calc.chain.length import (
    centre_distance_for,
    centre_distance_for_handbook,
    links_for,
    links_for_handbook,
    touching_distance,
    wrap_angle,
)

__all__ = [
    "centre_distance_for",
    "centre_distance_for_handbook",
    "links_for",
    "links_for_handbook",
    "touching_distance",
    "wrap_angle",
]
