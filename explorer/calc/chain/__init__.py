"""The chain: its length, path, fit, slack, load and wear.

Args:
    centre_distance (float or array, positive): Centre of the front sprocket to centre of the rear
        sprocket [m].
    plate_height (float or array, non-negative): Height of the chain's side plates, as measured on
        the chain [m].
    fitted: What is on the bike now [SI].
    arm_length (float or array, positive): Pivot to rear axle [m].
    shaft_x: Output shaft to the rear of the pivot, negative where it is ahead [m].
    shaft_y: Output shaft above the pivot [m].
    arm_angle: Angle of the swingarm, positive where the axle is above the pivot [rad].
"""

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
