"""Formulas of air, forces, their limits and what must be sped up, for the method page."""

from explorer.calc import atmosphere
from explorer.calc.drivetrain import binding_limits, forces, hills
from explorer.calc.engine import curve as engine
from explorer.calc.engine import power_correction
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
            {"k": "result", "c": "the correction factor [-]"},
            (r"k = 1/c",),
        ),
        Entry("Power", engine.power, {"P": "result", "T": "torque", "ω": "engine_speed"}),
    ),
    (
        power_correction.within_validity,
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
        Entry(
            "Slope",
            forces.slope_force,
            {"S": "result"} | _WEIGHT,
            (r"S = m g \sin\theta",),
        ),
    ),
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
    ),
    (
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
