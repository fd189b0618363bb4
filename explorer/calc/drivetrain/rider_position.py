"""Where the rider is on the motorcycle, and what that does to the centre of gravity."""

from dataclasses import replace

from explorer.calc.vehicle import Scalar, Vehicle

POSITIONS: dict[str, tuple[float, float]] = {
    "seated": (0.0, 0.0),
    "standing": (0.05, 0.25),
    "forward": (0.20, 0.05),
    "back": (-0.25, 0.10),
}
"""How far the rider's own centre of gravity lies ahead of and above where it is when seated [m]:
upright on the footpegs, sat against the tank and leaning over it, hips behind the seat. Our
choice, for a rider of middle size; riders differ by a third of it and more."""


def in_position(vehicle: Vehicle, rider_mass: Scalar, ahead: Scalar, above: Scalar) -> Vehicle:
    r"""The same motorcycle with the rider moved from where he sits.

    .. math:: \Delta x = \frac{m_r}{m}\,\Delta x_r, \qquad \Delta h = \frac{m_r}{m}\,\Delta h_r

    Args:
        vehicle: The motorcycle with its rider seated [SI].
        rider_mass (float or array, non-negative): Rider with kit, part of the vehicle's mass [kg].
        ahead, above (float or array): How far the rider's own centre of gravity is moved; a pair of
            `POSITIONS`, or any [m].

    Returns: Its centre of gravity moved, within the wheelbase [SI].

    References: Centre of mass of two bodies.

    >>> moved = in_position(example_vehicle(), 80.0, *POSITIONS["standing"])
    >>> round(moved.cg_ahead, 3), round(moved.cg_height, 3)
    (0.652, 0.888)
    """
    share = rider_mass / vehicle.mass
    return replace(
        vehicle,
        cg_ahead=vehicle.cg_ahead + share * ahead,
        cg_height=vehicle.cg_height + share * above,
    )
