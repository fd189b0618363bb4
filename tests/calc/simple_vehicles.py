"""Vehicles reduced to one law, for cases that have a closed-form answer."""

import numpy as np

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.vehicle import Conditions, Vehicle


def one_gear(
    *,
    engine_speeds,
    torques,
    mass,
    gears=(1.0,),
    overall=1.0,
    rollout=2 * np.pi,
    drag=0.0,
    rolling=0.0,
    slope=0.0,
    launch_speed=None,
    shift_time=0.0,
    engine_inertia=0.0,
    wheel_inertia=0.0,
    efficiency=1.0,
    grip=1e6,
):
    """A drive without wheel or engine inertia unless asked; drag is the c of F = c v² [N·s²/m²]."""
    speeds = np.asarray(engine_speeds, float)
    vehicle = Vehicle(
        torque_speeds=speeds,
        torques=np.asarray(torques, float),
        idle_speed=speeds[0],
        launch_speed=speeds[0] if launch_speed is None else launch_speed,
        limiter_speed=speeds[-1],
        primary=1.0,
        gears=np.asarray(gears, float),
        primary_efficiency=efficiency,
        gearbox_efficiency=1.0,
        chain_efficiency=1.0,
        engine_inertia=engine_inertia,
        front_wheel_inertia=wheel_inertia / 2,
        rear_wheel_inertia=wheel_inertia / 2,
        front_wheel_radius=rollout / (2 * np.pi),
        mass=mass,
        wheelbase=1e3,
        cg_ahead=500.0,
        cg_height=1e-3,
        drag_area=2 * drag,
        shift_time=shift_time,
    )
    conditions = Conditions(
        slope=slope,
        head_wind=0.0,
        air_density=1.0,
        power_factor=1.0,
        rolling_coefficient=rolling,
        grip=grip,
    )
    return Drive(vehicle, conditions, np.array([overall]), rollout)


def constant_power(power, mass, *, slowest=0.02, fastest=60.0, drag=0.0, rolling=0.0):
    """Constant power between two road speeds, wheel radius 1 m, ratio 1: engine speed = speed."""
    speeds = np.geomspace(slowest, fastest, 4000)
    return one_gear(
        engine_speeds=speeds, torques=power / speeds, mass=mass, drag=drag, rolling=rolling
    )


def constant_force(force, mass, *, drag=0.0, fastest=400.0):
    return one_gear(engine_speeds=[1e-6, fastest], torques=[force, force], mass=mass, drag=drag)
