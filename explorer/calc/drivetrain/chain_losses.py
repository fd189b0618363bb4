"""What the chain loses on sprockets of other sizes: small ones bend each link further."""

from dataclasses import replace

import numpy as np

from explorer.calc.vehicle import FloatArray, Scalar, Vehicle


def chain_efficiency(
    known: Scalar, known_front: Scalar, known_rear: Scalar, front: Scalar, rear: Scalar
) -> FloatArray:
    r"""Efficiency of the chain on one pair of sprockets, from that on another.

    A link bends by 2π/z on each sprocket, under the tension of the upper strand, and rubs in
    proportion. The whole loss is taken to follow the sum of both bends:

    .. math:: 1 - \eta = (1 - \eta_0)\,\frac{1/z_1 + 1/z_2}{1/z_{1,0} + 1/z_{2,0}}

    Args:
        known (float or array, 0 to 1): Efficiency on the pair for which it is known [-].
        known_front (float or array, positive): Front teeth of that pair; NaN where the efficiency
            holds for any [count].
        known_rear (float or array, positive): Rear teeth of that pair, likewise [count].
        front (float or array, positive): Front teeth of the pair asked for [count].
        rear (float or array, positive): Its rear teeth [count].

    Returns: Efficiency [-].

    References:
        S. Burgess and C. Lodge, "Optimisation of the chain drive system on sports motorcycles",
        Sports Engineering 7 (2004), pp. 65-73, abstract: 96 to 99 % below 75 mile/h, large
        sprockets better at low speeds. The proportion is that of link articulation, as in
        published bicycle chain models (loss ~ 1/z1 + 1/z2); the loss by the chain's own inertia,
        which grows with road speed and favours small sprockets, is left out.

    >>> chain_efficiency(0.97, 13, 50, np.array([13, 10, 17]), 50).round(4).tolist()
    [0.97, 0.9629, 0.9756]
    """
    bend = 1 / np.asarray(front, float) + 1 / np.asarray(rear, float)
    known_bend = 1 / np.asarray(known_front, float) + 1 / np.asarray(known_rear, float)
    share = np.where(np.isnan(known_bend), 1.0, bend / known_bend)
    return np.clip(1 - (1 - known) * share, 0.0, 1.0)


def with_sprockets(vehicle: Vehicle, front: Scalar, rear: Scalar) -> Vehicle:
    """The same motorcycle with other sprockets, as far as the chain's efficiency goes.

    Returns: With one chain efficiency for each case [SI].

    >>> float(with_sprockets(example_vehicle(), 12, 48).chain_efficiency)
    0.97
    """
    efficiency = chain_efficiency(
        vehicle.chain_efficiency, vehicle.chain_front, vehicle.chain_rear, front, rear
    )
    return replace(vehicle, chain_efficiency=efficiency, chain_front=front, chain_rear=rear)
