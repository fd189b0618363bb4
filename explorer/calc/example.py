"""One invented motorcycle for the examples in the docstrings and for trying the functions out."""

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.vehicle import Conditions, Vehicle

_RPM = np.pi / 30


def example_vehicle() -> Vehicle:
    """An invented 125-class trail bike with its rider, in SI.

    Returns: Five gears, about 9 kW, 185 kg with the rider [SI].

    >>> example_vehicle().gears.size
    5
    """
    return Vehicle(
        torque_speeds=np.array([1500.0, 3000.0, 5000.0, 6500.0, 8000.0, 9000.0, 10000.0]) * _RPM,
        torques=np.array([6.5, 8.6, 10.2, 10.8, 10.4, 9.4, 7.6]),
        idle_speed=1500.0 * _RPM,
        launch_speed=4000.0 * _RPM,
        limiter_speed=10000.0 * _RPM,
        primary=3.30,
        gears=np.array([2.90, 1.94, 1.45, 1.17, 0.96]),
        primary_efficiency=0.98,
        gearbox_efficiency=0.97,
        chain_efficiency=0.97,
        engine_inertia=0.008,
        front_wheel_inertia=0.45,
        rear_wheel_inertia=0.55,
        front_wheel_radius=0.345,
        mass=185.0,
        wheelbase=1.34,
        cg_ahead=0.63,
        cg_height=0.78,
        drag_area=0.60,
        shift_time=0.25,
    )


def example_conditions() -> Conditions:
    """Level hard-packed gravel in still air at the reference condition of the engine's curve.

    Returns: Ground and air [SI].

    >>> example_conditions().slope
    0.0
    """
    return Conditions(
        slope=0.0,
        head_wind=0.0,
        air_density=1.157,
        power_factor=1.0,
        rolling_coefficient=0.03,
        grip=0.6,
    )


def example_drive() -> tuple[Drive, ShiftPoints]:
    """The example motorcycle with 14/48 sprockets and its best shift points.

    Returns: What most functions of this package take first [SI].

    >>> drive, shifts = example_drive()
    >>> drive.cases, drive.gears
    (1, 5)
    """
    drive = Drive(example_vehicle(), example_conditions(), np.array([48 / 14]), 2.0)
    return drive, shift_points(drive, top_speed(drive))
