"""Worked examples of textbooks and closed forms, as inputs for the functions of explorer.calc.

Some published answers take more than one formula, or a vehicle reduced to one law. Each function
here builds that case, lets explorer.calc compute it, and hands back the quantity that was printed.
All quantities are SI.
"""

from dataclasses import replace
from typing import NamedTuple

import numpy as np
from scipy.optimize import minimize_scalar

from explorer.calc import gearing
from explorer.calc.chain import length as chain
from explorer.calc.drivetrain import forces
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.rider_position import in_position
from explorer.calc.drivetrain.top_speed import top_speed
from explorer.calc.engine.engine_braking import MOTORING_SHARES, engine_braking
from explorer.calc.engine.power_correction import correction_factor
from explorer.calc.motion.measures import time_over_target
from explorer.calc.motion.run import full_throttle
from explorer.calc.motion.shift_points import shift_points
from explorer.calc.statistics.sampling import Band, drawn, interval
from explorer.calc.statistics.spreads import Spread, standard_uncertainty
from explorer.calc.vehicle import STANDARD_GRAVITY, Conditions, Vehicle
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces
from explorer.units import RPM

_COASTING_STEPS = 200
_SLOWEST_ENGINE = 1e-6
"""An engine that need not idle, so that the clutch never slips [rad/s]."""


class End(NamedTuple):
    """How fast a vehicle is at the end, how long it took and how far it came [m/s, s, m]."""

    speed: float
    time: float
    distance: float


def chain_length(centre_distance: float, pitch: float, front: float, rear: float) -> float:
    """Length of a taut chain [m]."""
    return float(chain.links_for(centre_distance, pitch, front, rear)) * pitch


def centre_distance_in_pitches(links: float, front: float, rear: float) -> float:
    """Centre distance by the form of the handbooks, over the pitch [-]."""
    return float(chain.centre_distance_for_handbook(links, 1.0, front, rear))


def ratio_change_of_teeth(front: float, rear: float, new_front: float, new_rear: float) -> float:
    """Change of pull when both sprockets are changed [-]."""
    old, new = gearing.final_ratio(front, rear), gearing.final_ratio(new_front, new_rear)
    return float(gearing.pull_change(old, new))


def correction_between(
    pressure: float,
    temperature: float,
    reference_pressure: float,
    reference_temperature: float,
    measured: float = 1.0,
) -> float:
    """A reading corrected to another reference air by a rule that leaves friction aside."""
    here = correction_factor(pressure, temperature, friction_share=0.0)
    reference = correction_factor(reference_pressure, reference_temperature, friction_share=0.0)
    return float(measured * here / reference)


def drag_power(road_speed: float, air_density: float, drag_area: float) -> float:
    """Power against air drag in still air [W]."""
    return float(forces.air_drag(road_speed, 0.0, air_density, drag_area) * road_speed)


def resistance_of_steady_descent(weight: float, rise: float, run: float) -> float:
    """Resistance over weight where a vehicle rolls steadily down a slope, rise over run [-]."""
    down = np.arcsin(rise / run)
    return float(-forces.slope_force(weight / STANDARD_GRAVITY, -down) / weight)


def power_up_the_same_slope(weight: float, rise: float, run: float, road_speed: float) -> float:
    """Power to climb the slope down which a vehicle rolls steadily [W]."""
    up = forces.slope_force(weight / STANDARD_GRAVITY, np.arcsin(rise / run))
    resistance = resistance_of_steady_descent(weight, rise, run) * weight
    return float((resistance + up) * road_speed)


def wheelie_acceleration(cg_ahead: float, cg_height: float) -> float:
    """Acceleration on the level at which the front wheel lifts, no drag [m/s²]."""
    return float(forces.wheelie_thrust(1.0, cg_ahead, cg_height, 0.0, 0.0))


def acceleration_in_gear(
    ratio: float,
    torque: float,
    efficiency: float,
    mass: float,
    wheel_radius: float,
    wheel_inertia: float,
    engine_inertia: float,
    resistance: float,
) -> float:
    """Acceleration of a vehicle in one gear [m/s²]."""
    rollout = 2 * np.pi * wheel_radius
    thrust = forces.pull(torque, ratio, efficiency, rollout)
    moved = forces.effective_mass(
        mass, wheel_inertia / wheel_radius**2, engine_inertia, ratio, efficiency, rollout
    )
    return float((thrust - resistance) / moved)


def ratio_of_most_acceleration(**vehicle: float) -> float:
    """Overall ratio that gives a vehicle its greatest acceleration, all else as in a gear [-]."""
    found = minimize_scalar(
        lambda ratio: -acceleration_in_gear(ratio, **vehicle),
        bounds=(1.0, 100.0),
        method="bounded",
        options={"xatol": 1e-9},
    )
    return float(found.x)


def constant_power(power: float, mass: float, speed: float) -> End:
    """From rest to a speed at constant power, no losses."""
    return _run(_constant_power(power, mass), stop_speed=speed)


def power_limited_top_speed(
    power: float, mass: float, drag_area: float, air_density: float, rolling_coefficient: float
) -> float:
    """Top speed at constant power against drag and rolling resistance [m/s]."""
    drag = 0.5 * air_density * drag_area
    drive = _constant_power(power, mass, drag=drag, rolling=rolling_coefficient)
    return float(top_speed(drive).speed[0])


def constant_force_top_speed(force: float, mass: float, drag: float) -> float:
    """Speed at which drag c v² meets a constant force [m/s]."""
    return float(top_speed(_constant_force(force, mass, drag)).speed[0])


def constant_force(force: float, mass: float, drag: float, start_speed: float, speed: float) -> End:
    """Between two speeds under a constant force against drag c v²."""
    drive = _constant_force(force, mass, drag)
    return _run(drive, start_speed=start_speed, stop_speed=speed)


def train_time(mass: float, thrust: float, resistance: float, speed: float) -> float:
    """Time from rest to a speed under a constant thrust and a constant resistance [s]."""
    rolling = resistance / (mass * STANDARD_GRAVITY)
    drive = _one_law([_SLOWEST_ENGINE, 100.0], [thrust, thrust], mass, rolling=rolling)
    return _run(drive, stop_speed=speed).time


def time_past_a_change(
    mass: float, torque: float, first: float, second: float, limiter: float, speed: float
) -> float:
    """Time from rest to a speed that second gear reaches, the change to it taking none [s]."""
    drive = _one_law([_SLOWEST_ENGINE, limiter], [torque, torque], mass, gears=(first, second))
    shifts = shift_points(drive, top_speed(drive))
    return float(time_over_target(drive, shifts, np.array([speed])).time[0, -1])


def coasting(
    mass: float, drag: float, rolling_coefficient: float, speed: float, duration: float
) -> End:
    """What a vehicle does that rolls without drive for a time."""
    drive = _one_law([1.0, 100.0], [0.0, 0.0], mass, drag=drag, rolling=rolling_coefficient)
    now, covered = np.full((1, 1, 1), speed), 0.0
    for _ in range(_COASTING_STEPS):
        now, step = drive.coast_step(now, duration / _COASTING_STEPS)
        covered += step.item()
    return End(now.item(), duration, covered)


def shift_on_a_falling_line(no_load_speed: float, lower_gear: float, next_gear: float) -> float:
    """Engine speed of the best shift where torque falls in a straight line to zero [rad/s].

    The motorcycle's mass is large, so that the engine's inertia does not matter.
    """
    speeds = np.linspace(500 * RPM, no_load_speed - 100 * RPM, 200)
    drive = _one_law(
        speeds, 100 * (1 - speeds / no_load_speed), 1000.0, gears=(lower_gear, next_gear)
    )
    exit_speed = shift_points(drive, top_speed(drive)).exit_speed[0, 0]
    return float(gearing.engine_speed(exit_speed, lower_gear, drive.rollout.item()))


def engine_speed_after_shift(no_load_speed: float, lower_gear: float, next_gear: float) -> float:
    """Engine speed just after that shift [rad/s]."""
    return shift_on_a_falling_line(no_load_speed, lower_gear, next_gear) * next_gear / lower_gear


def step_of_geometric_gears(first: float, last: float, gears: float) -> float:
    """Step between neighbouring gears that are evenly spaced by factor [-]."""
    return float(gearing.gear_steps(np.geomspace(first, last, int(gears)))[0])


def surface_figure(surface: str, figure: str) -> float:
    """A column of the table of surfaces, such as "road_high" or "rolling_low" [-]."""
    kind, _, end = figure.partition("_")
    if kind == "rolling":
        return float(getattr(surfaces()[surface], figure))
    return float(getattr(surfaces(kind)[surface], f"grip_{end}"))


def rider_moved(
    mass: float, rider_mass: float, ahead: float, above: float, cg_ahead: float, cg_height: float
) -> Vehicle:
    """A motorcycle whose rider has moved."""
    vehicle = _one_law([1.0, 2.0], [0.0, 0.0], mass).vehicle
    seated = replace(vehicle, cg_ahead=cg_ahead, cg_height=cg_height)
    return in_position(seated, rider_mass, ahead, above)


def closed_throttle(
    mass: float, rolling: float, torque: float, overall: float, road_speed: float
) -> float:
    """Deceleration on the level, the engine dragged round, 1 m of radius, no losses [m/s²]."""
    drive = _one_law([1.0, 1000.0], [0.0, 0.0], mass, gears=(overall,), rolling=rolling)
    slowing = engine_braking(drive, np.array([1.0, 1000.0]), np.full(2, torque), road_speed)
    return float(slowing.deceleration.ravel()[0])


def estimated_braking(end: int, mass: float, greatest_torque: float, overall: float) -> float:
    """The same without resistance, by the estimate of the engine's braking: 0 low, 2 high."""
    return closed_throttle(mass, 0.0, MOTORING_SHARES[end] * greatest_torque, overall, 10.0)


def coasted_in_gear(
    end: int,
    fastest: float,
    slowest: float,
    mass: float,
    drag: float,
    rolling: float,
    greatest_torque: float,
    overall: float,
) -> float:
    """Mean deceleration between two speeds in one gear, its braking estimated [g]."""
    drive = _one_law([1.0, 2000.0], [0.0, 0.0], mass, (overall,), drag, rolling)
    speeds = np.linspace(slowest, fastest, 97)
    torques = np.full(2, MOTORING_SHARES[end] * greatest_torque)
    slowing = engine_braking(drive, np.array([1.0, 2000.0]), torques, speeds).deceleration.ravel()
    return float((fastest - slowest) / np.trapezoid(1 / slowing, speeds) / STANDARD_GRAVITY)


def crank_over_wheel(primary: float, gearbox: float, chain: float) -> float:
    """Torque taken at the crankshaft over that of a curve measured at the rear wheel [-]."""
    bike = next(iter(demo_bikes().values())).with_changes(
        {
            "efficiency.primary": str(primary),
            "efficiency.gearbox": str(gearbox),
            "efficiency.chain": str(chain),
        }
    )
    at_wheel = bike.with_changes({"engine.torque_at": "rear wheel"})
    return float((at_wheel.vehicle().torques / bike.vehicle().torques)[0])


def band_of_an_even_input(value: float, low: float, high: float) -> Band:
    """95 % interval of an input that is evenly spread between its bounds."""
    drive = _one_law([1.0, 2.0], [0.0, 0.0], value)
    ends = (value - low, high - value)
    spread = Spread("mass", standard_uncertainty(low, high), False, "", ends)
    cases = drawn(drive.vehicle, drive.conditions, np.ones(1), 1.0, [spread])
    mass = np.asarray(cases.vehicle.mass)
    return interval(mass[:1], mass[1:, np.newaxis]).at(0)


def _one_law(
    engine_speeds, torques, mass: float, gears=(1.0,), drag: float = 0.0, rolling: float = 0.0
) -> Drive:
    """A vehicle without inertia in wheels and engine, on wheels of 1 m radius, ratio 1 and endless
    grip: engine speed is road speed and torque is pull; drag is the c of F = c v² [kg/m]."""
    speeds = np.asarray(engine_speeds, float)
    vehicle = Vehicle(
        torque_speeds=speeds,
        torques=np.asarray(torques, float),
        idle_speed=speeds[0],
        launch_speed=speeds[0],
        limiter_speed=speeds[-1],
        primary=1.0,
        gears=np.asarray(gears, float),
        primary_efficiency=1.0,
        gearbox_efficiency=1.0,
        chain_efficiency=1.0,
        engine_inertia=0.0,
        front_wheel_inertia=0.0,
        rear_wheel_inertia=0.0,
        front_wheel_radius=1.0,
        mass=mass,
        wheelbase=1e3,
        cg_ahead=500.0,
        cg_height=1e-3,
        drag_area=2 * drag,
        shift_time=0.0,
    )
    ground = Conditions(
        slope=0.0,
        head_wind=0.0,
        air_density=1.0,
        power_factor=1.0,
        rolling_coefficient=rolling,
        grip=1e6,
    )
    return Drive(vehicle, ground, np.array([1.0]), 2 * np.pi)


def _constant_power(power: float, mass: float, drag: float = 0.0, rolling: float = 0.0) -> Drive:
    speeds = np.geomspace(0.02, 60.0, 4000)
    return _one_law(speeds, power / speeds, mass, drag=drag, rolling=rolling)


def _constant_force(force: float, mass: float, drag: float) -> Drive:
    fastest = 1.3 * np.sqrt(force / drag)
    return _one_law([_SLOWEST_ENGINE, fastest], [force, force], mass, drag=drag)


def _run(drive: Drive, **arguments: float) -> End:
    run = full_throttle(drive, shift_points(drive, top_speed(drive)), **arguments)
    return End(*(float(values[0, -1]) for values in (run.road_speed, run.time, run.distance)))
