"""What the calculation needs to know: the vehicle, the conditions and the set-up, in SI.

Every scalar field may also be an array of shape ``(cases,)``; the functions of this package
broadcast over it. That is how all sprocket pairs, or a sample of uncertain inputs, are computed
at once.
"""

import math
from dataclasses import dataclass
from typing import Any

from numpy.typing import NDArray

STANDARD_GRAVITY = 9.80665
"""Standard acceleration of free fall [m/s²] (CGPM 1901)."""

IDLE_FACTOR = 1.2
"""Engine speed that still runs smoothly, over idle speed (common practice, no source) [-]."""

FloatArray = NDArray[Any]
"""An array of floats, or of whole numbers or truth values where the text says so."""

Scalar = float | FloatArray


@dataclass(frozen=True, eq=False)
class Vehicle:
    """A motorcycle with its rider.

    Attributes:
        torque_speeds (array (k,), increasing): Engine speeds of the torque curve's points, at full
            throttle [rad/s].
        torques (array (k,), non-negative): Engine torque at those speeds, at the crankshaft [N·m].
        idle_speed, launch_speed, limiter_speed: Engine speed at idle, held by the clutch while
            pulling away, and at the rev limit [rad/s].
        primary: Primary reduction, crankshaft to clutch [-].
        gears (array (g,), decreasing): Gear ratios of the gearbox, first gear first [-].
        primary_efficiency, gearbox_efficiency, chain_efficiency: Efficiency of each stage, 0 to 1
            [-].
        engine_inertia: Crankshaft, flywheel and clutch, at crankshaft speed [kg·m²].
        front_wheel_inertia, rear_wheel_inertia: Each wheel with its tyre, about its axle [kg·m²].
        front_wheel_radius: Rolling radius of the front wheel [m].
        mass: Motorcycle and rider, ready to ride [kg].
        wheelbase: Distance between the axles [m].
        cg_ahead: Centre of gravity ahead of the rear axle, the rider where he is now [m].
        cg_height: Centre of gravity above the ground, likewise [m].
        drag_area: Drag coefficient times frontal area [m²].
        shift_time: Time without drive at each upshift [s].
        chain_front, chain_rear: Sprockets for which the chain's efficiency holds; NaN where it
            holds for any [teeth].
    """

    torque_speeds: FloatArray
    torques: FloatArray
    idle_speed: Scalar
    launch_speed: Scalar
    limiter_speed: Scalar
    primary: Scalar
    gears: FloatArray
    primary_efficiency: Scalar
    gearbox_efficiency: Scalar
    chain_efficiency: Scalar
    engine_inertia: Scalar
    front_wheel_inertia: Scalar
    rear_wheel_inertia: Scalar
    front_wheel_radius: Scalar
    mass: Scalar
    wheelbase: Scalar
    cg_ahead: Scalar
    cg_height: Scalar
    drag_area: Scalar
    shift_time: Scalar
    chain_front: Scalar = math.nan
    chain_rear: Scalar = math.nan


@dataclass(frozen=True, eq=False)
class Conditions:
    """Where and in what weather the motorcycle runs.

    Attributes:
        slope: Angle of the ground, uphill positive [rad].
        head_wind: Wind against the direction of travel; a tail wind is negative [m/s].
        air_density: Density of the air [kg/m³].
        power_factor: Engine torque here over that in the reference air of SAE J1349, from today's
            air [-].
        rolling_coefficient: Rolling resistance over normal load [-].
        grip: Greatest driving force of the rear tyre on the ground over its normal load, gross: its
            own rolling resistance has not been taken off yet [-].
    """

    slope: Scalar
    head_wind: Scalar
    air_density: Scalar
    power_factor: Scalar
    rolling_coefficient: Scalar
    grip: Scalar
