"""Formulas of air, forces, their limits and what must be sped up, for the method page."""

from explorer.calc import atmosphere
from explorer.calc.drivetrain import (
    binding_limits,
    chain_losses,
    forces,
    hills,
    rider_position,
    wheel_slip,
)
from explorer.calc.engine import curve as engine
from explorer.calc.engine import part_throttle, power_correction
from explorer.tasks.method.entry import Entry, Group

_RADIUS = "rolling radius of the rear tyre, U/2π [m]"
_WEIGHT = {"m": "mass", "g": "standard gravity, 9.80665 [m/s²]", "θ": "slope"}
_BALANCE = _WEIGHT | {"x": "cg_ahead", "h": "cg_height", "R_roll": "rolling"}

AIR = Group(
    "Air and power",
    "Thin air takes power from the engine and drag from the motorcycle.",
    (
        Entry(
            "Standard atmosphere",
            atmosphere.standard_atmosphere,
            {
                "T": "temperature [K]",
                "T_0": "temperature at sea level, 288.15 [K]",
                "L": "fall of temperature with height, 0.0065 [K/m]",
                "H": "altitude",
                "p": "pressure [Pa]",
                "p_0": "pressure at sea level, 101 325 [Pa]",
                "g": "standard gravity, 9.80665 [m/s²]",
                "R": "gas constant of dry air, 287.05287 [J/(kg·K)]",
                "ρ": "density [kg/m³]",
            },
        ),
        Entry(
            "Density of the air on a warm or cold day",
            atmosphere.air_density,
            {
                "ρ": "result",
                "p": "pressure",
                "T": "temperature",
                "R": "gas constant of dry air, 287.05287 [J/(kg·K)]",
            },
        ),
        Entry(
            "Power correction factor",
            power_correction.correction_factor,
            {
                "c": "together with the f after it: the correction factor, the result [-]",
                "f": "friction_share",
                "p_0": "dry pressure of the reference air, 99 000 [Pa]",
                "p_d": "dry_pressure",
                "T": "temperature",
                "T_0": "temperature of the reference air, 298.15 [K]",
            },
        ),
        Entry(
            "Power factor",
            power_correction.power_factor,
            {
                "P": "power in today's air; over P_c the result [W]",
                "P_c": "power in the air of the torque curve [W]",
                "f": "friction_share",
                "p_d": "dry_pressure",
                "p_c": "dry pressure of the curve's air [Pa]",
                "T_c": "temperature of the curve's air [K]",
                "T": "temperature",
            },
        ),
        Entry(
            "Torque at part throttle",
            part_throttle.torque_share,
            {"z": "resistance", "a": "opening", "s": "result", "f": "friction_share"},
        ),
        Entry("Power", engine.power, {"P": "result", "T": "torque", "ω": "engine_speed"}),
    ),
    (
        power_correction.within_validity,
        part_throttle.intake_resistance,
        part_throttle.throttle_share,
        engine.torque,
        engine.torque_interpolant,
        engine.peak_torque,
        engine.peak_power,
        engine.power_band,
    ),
)

FORCES = Group(
    "Forces",
    "Forward positive, along the ground.",
    (
        Entry(
            "Pull at the tyre",
            forces.pull,
            {
                "F": "result",
                "η": "efficiency",
                "T": "torque",
                "i": "overall_ratio",
                "r": _RADIUS,
                "U": "rollout",
            },
        ),
        Entry(
            "Chain on other sprockets",
            chain_losses.chain_efficiency,
            {
                "η": "result",
                "η_0": "known",
                "z_1": "front",
                "z_2": "rear",
                "z_1,0": "known_front",
                "z_2,0": "known_rear",
            },
        ),
        Entry(
            "Air drag",
            forces.air_drag,
            {
                "D": "result",
                "ρ": "air_density",
                "C_d": "drag coefficient; times A it is the drag area [-]",
                "A": "frontal area [m²]",
                "v": "road_speed",
                "w": "head_wind",
            },
        ),
        Entry(
            "Rolling resistance",
            forces.rolling_resistance,
            {"R_roll": "result", "C": "rolling_coefficient"} | _WEIGHT,
            (r"R_{roll} = C\,m g \cos\theta",),
        ),
        Entry("Slope", forces.slope_force, {"S": "result"} | _WEIGHT, (r"S = m g \sin\theta",)),
    ),
    (chain_losses.with_sprockets,),
)

LIMITS = Group(
    "Limits of grip and balance",
    "Where the rear tyre spins or the front wheel lifts, more pull from shorter gearing gains "
    "nothing.",
    (
        Entry(
            "Thrust that lifts the front wheel", forces.wheelie_thrust, {"X": "result"} | _BALANCE
        ),
        Entry(
            "Thrust that spins the rear tyre",
            forces.grip_thrust,
            {"X": "result", "μ": "grip", "L": "wheelbase"} | _BALANCE,
        ),
        Entry(
            "Steepest slope at steady speed",
            forces.steepest_slope,
            {
                "F": "thrust",
                "D": "drag",
                "m": "mass",
                "g": "standard gravity, 9.80665 [m/s²]",
                "θ": "slope, here what is sought [rad]",
                "C": "rolling_coefficient",
            },
            (r"F - D = m g \sin\theta + C\,m g \cos\theta",),
        ),
        Entry(
            "Where the rider is",
            rider_position.in_position,
            {
                "x": "centre of gravity ahead of the rear axle; Δ is how far it moves [m]",
                "h": "its height, likewise [m]",
                "x_r": "how far the rider's own is moved ahead, with Δ [m]",
                "h_r": "how far it is raised, with Δ [m]",
                "m_r": "rider_mass",
                "m": "motorcycle and rider [kg]",
            },
        ),
        Entry(
            "Grip of lugs in soil",
            wheel_slip.gross_traction,
            {
                "H": "greatest driving force; over W the result [N]",
                "W": "load on the tyre [N]",
                "c": "cohesion",
                "A": "contact patch [m²]",
                "φ": "friction_angle",
                "p": "ground_pressure",
            },
        ),
        Entry(
            "Slip of the driven tyre",
            wheel_slip.shear_share,
            {
                "i": "slip",
                "K": "shear deformation modulus [m]",
                "l": "length of the patch [m]",
                "e": "Euler's number, 2.71828 [-]",
            },
        ),
        Entry(
            "Speed and heat lost to slip",
            wheel_slip.wheel_slip,
            {"v": "road_speed", "i": "slip [-]", "P": "heat and thrown soil [W]", "X": "thrust"},
        ),
    ),
    (
        wheel_slip.slip_for,
        binding_limits.binding_limit,
        binding_limits.stretches,
        binding_limits.held_back,
        hills.on_slope,
        hills.gear_for_speed,
    ),
)

MASS = Group(
    "Effective mass",
    "What turns must be sped up too. In a low gear the engine's own inertia counts most.",
    (
        Entry(
            "Effective mass",
            forces.effective_mass,
            {
                "M_eff": "result",
                "M": "mass",
                "I_wheel": "inertia of each wheel, r being that wheel's rolling radius [kg·m²]",
                "I_engine": "engine_inertia",
                "η": "efficiency",
                "i": "overall_ratio",
                "r": _RADIUS,
            },
        ),
    ),
)
