"""Formulas of gearing, air, forces and motion, in the order of the method page."""

from explorer.calc import (
    atmosphere,
    binding_limits,
    course,
    course_braking,
    course_ground,
    course_ride,
    course_shifting,
    energy_balance,
    engine,
    engine_braking,
    forces,
    gearing,
    hills,
    launch,
    measures,
    motion,
    pair_bands,
    power_correction,
    sensitivity,
    shift_points,
    shift_strategy,
    speedometer,
    spreads,
    top_speed,
    tradeoff,
    tyre,
    uncertainty,
)
from explorer.pages.method_entry import Entry, Group

_RADIUS = "rolling radius of the rear tyre, U/2π [m]"
_WEIGHT = {"m": "mass", "g": "standard gravity, 9.80665 [m/s²]", "θ": "slope"}
_BALANCE = _WEIGHT | {"x": "cg_ahead", "h": "cg_height", "R_roll": "rolling"}

GEARING = Group(
    "Gearing",
    "Gearing moves every gear by the same factor. It adds no power and changes no step between "
    "two gears.",
    (
        Entry(
            "Final drive ratio",
            gearing.final_ratio,
            {"R": "result", "z_r": "rear", "z_f": "front"},
            (r"R = z_r / z_f",),
        ),
        Entry(
            "Overall ratio",
            gearing.overall_ratio,
            {"i": "result", "i_p": "primary", "i_g": "gear", "z_r": "rear", "z_f": "front"},
            (r"i = i_p\,i_g\,\frac{z_r}{z_f}",),
        ),
        Entry(
            "Road speed at an engine speed",
            gearing.road_speed,
            {"v": "result", "ω": "engine_speed", "i": "overall_ratio", "U": "rollout"},
        ),
        Entry(
            "Engine speed at a road speed",
            gearing.engine_speed,
            {"ω": "result", "v": "road_speed", "i": "overall_ratio", "U": "rollout"},
        ),
        Entry(
            "Change of pull",
            gearing.pull_change,
            {"R_1": "old_ratio", "R_2": "new_ratio"},
            (r"R_2 / R_1 - 1",),
        ),
        Entry(
            "Change of speed at the same engine speed",
            gearing.speed_change,
            {"R_1": "old_ratio", "R_2": "new_ratio"},
            (r"R_1 / R_2 - 1",),
        ),
        Entry(
            "Rear teeth that one front tooth is worth",
            gearing.rear_teeth_per_front_tooth,
            {"z_r": "rear", "z_f": "front"},
        ),
        Entry(
            "Step between two gears",
            gearing.gear_steps,
            {"s_n": "result", "i_n": "gears", "i_n+1": "ratio of the next gear [-]"},
            (r"s_n = i_n / i_{n+1}",),
        ),
    ),
    (gearing.near_equal_pairs,),
)

TYRE = Group(
    "Tyre",
    "A tyre's size is not its roll-out. A measured roll-out beats the computed one, and every page "
    "says which it used.",
    (
        Entry(
            "Diameter from the size",
            tyre.overall_diameter,
            {"D": "result", "d": "rim_diameter", "S": "section_width", "a": "aspect_ratio"},
        ),
        Entry(
            "Circumference, an estimate of the roll-out",
            tyre.circumference,
            {"U": "result", "D": "diameter", "k": "rolling_factor"},
        ),
    ),
)

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
        binding_limits.held_back_to,
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

MOTION = Group(
    "Motion at full throttle",
    "Acceleration depends on speed alone, so time and distance are integrals over speed: no time "
    "step is chosen, and nothing drifts. They are taken gear by gear with a Chebyshev quadrature "
    "whose nodes crowd towards the top speed as fast as the acceleration falls. An independent "
    "solver agrees to 0.1 % in the project's tests.",
    (
        Entry(
            "Time and distance to a speed",
            motion.full_throttle,
            {
                "t": "time [s]",
                "x": "distance [m]",
                "v": "road speed [m/s]",
                "a": "acceleration at that speed, at the limits where they bind [m/s²]",
                "d": "small step, as in dv [-]",
                "F": "pull at the tyre [N]",
                "R": "rolling resistance, slope and air drag [N]",
                "M_eff": "effective mass [kg]",
            },
            (
                r"t = \int \frac{dv}{a(v)}, \qquad x = \int \frac{v\,dv}{a(v)}",
                r"a = \frac{F - R}{M_{eff}}",
            ),
        ),
        Entry(
            "Launch: heat in the clutch",
            launch.launch,
            {
                "E": "heat put into the clutch [J]",
                "η_p": "efficiency of the primary reduction [-]",
                "T": "engine torque that passes the clutch [N·m]",
                "ω_launch": "engine speed held while the clutch slips [rad/s]",
                "i": "overall ratio [-]",
                "v": "road speed [m/s]",
                "r": _RADIUS,
                "d": "small step, as in dt [-]",
                "t": "time [s]",
                "a": "acceleration [m/s²]",
            },
        ),
        Entry(
            "Engine braking",
            engine_braking.engine_braking,
            {
                "d": "deceleration [m/s²]",
                "R": "rolling resistance, slope and air drag [N]",
                "T_m": "motoring_torques",
                "i": "overall ratio [-]",
                "η": "efficiency from crankshaft to rear wheel [-]",
                "r": _RADIUS,
                "M": "motorcycle and rider [kg]",
                "I_wheel": "inertia of each wheel [kg·m²]",
                "I_engine": "inertia of the engine at crankshaft speed [kg·m²]",
            },
        ),
    ),
    (
        launch.slowest_clutch_out_speed,
        engine_braking.coasting_deceleration,
        motion.time_to_distance,
        measures.time_to_speed,
        measures.time_over_distance,
        measures.roll_on,
        measures.steepest_slope_by_gear,
        measures.walking_pull,
        energy_balance.energy_balance,
    ),
)

SHIFTS = Group(
    "Shift points",
    "Best is where the next gear accelerates harder, which is a little before the engine speed at "
    "which the pulls are equal, since the engine's own inertia counts less in the next gear.",
    (
        Entry(
            "Where to change up",
            shift_points.shift_points,
            {
                "a_n": "acceleration in this gear [m/s²]",
                "a_n+1": "acceleration in the next gear [m/s²]",
                "v": "road speed [m/s]",
            },
            (r"a_n(v) = a_{n+1}(v)",),
        ),
        Entry(
            "What a shift is worth",
            shift_strategy.worth_of_each_shift,
            {"t": "time to the goal [s]", "n": "number of the gear [-]"},
        ),
    ),
    (shift_strategy.compare_strategies,),
)

TOP_SPEED = Group(
    "Top speed",
    "A geared speed is no top speed: the rev limit ends it, or drag and slope do, or the grip. The "
    "page says which, and in which gear.",
    (
        Entry(
            "Top speed in a gear",
            top_speed.top_speed,
            {
                "v": "road speed [m/s]",
                "F": "pull at the tyre [N]",
                "R": "rolling resistance, slope and air drag [N]",
            },
            (r"F(v) = R(v)",),
        ),
    ),
)

TRADE_OFF = Group(
    "Trade-off of all pairs",
    "Every pair of sprockets is computed in one array, by the same formulas as the chosen one.",
    (),
    (tradeoff.all_pairs, tradeoff.best_compromise),
)

UNCERTAINTY = Group(
    "Uncertainty",
    "Inputs are not exact, so neither are results. Two set-ups of one motorcycle share their "
    "errors: their difference is much surer than either level, and a difference smaller than its "
    "spread is said to be so. Bands show two standard uncertainties on either side, about 95 %.",
    (
        Entry(
            "Standard uncertainty from bounds",
            spreads.standard_uncertainty,
            {"u": "result", "a": "low", "b": "high"},
        ),
        Entry(
            "Propagation to a result",
            uncertainty.propagate,
            {
                "f": "the result with the inputs as given [unit of the result]",
                "f_+": "the result with one input moved up to its bound [unit of the result]",
                "f_-": "the result with that input moved down to its bound [unit of the result]",
                "Z_i": "contribution of input i [unit of the result]",
                "Z_j": "contribution of input j [unit of the result]",
                "Q_i": "what input i adds by curvature [unit of the result]",
                "r_ij": "correlation of inputs i and j [-]",
                "u": "standard uncertainty of the result [unit of the result]",
            },
        ),
        Entry(
            "Which input matters most",
            sensitivity.shares_of_variance,
            {
                "s_i": "share of input i [-]",
                "Z_i": "contributions",
                "Z_j": "contribution of input j [any unit]",
                "Q_i": "curvatures",
                "r_ij": "correlation",
                "u": "standard uncertainty of the result [any unit]",
            },
        ),
    ),
    (
        spreads.surface_spreads,
        spreads.rollout_spreads,
        spreads.varied,
        uncertainty.estimate,
        uncertainty.combined,
        uncertainty.variance_terms,
        uncertainty.difference,
        uncertainty.distinguishable,
        pair_bands.ratio_nodes,
        pair_bands.interpolated_uncertainty,
        pair_bands.top_speed_estimate,
    ),
)

COURSE = Group(
    "A course",
    "Two passes, as in quasi-steady lap simulation: backward, how fast one may be at each place "
    "and still brake for the corner ahead; forward, full throttle until that speed is met. The "
    "line and the corner speeds are given, not sought.",
    (
        Entry(
            "Riding a course",
            course.ride_course,
            {
                "E": "energy per mass [m²/s²]",
                "v": "road speed [m/s]",
                "x": "distance [m]",
                "a": "acceleration [m/s²]",
                "d": "small step, as in dx [-]",
            },
            (r"E = v^2/2, \qquad \frac{dE}{dx} = a",),
        ),
        Entry(
            "Braking for a corner",
            course_braking.fastest_to_brake,
            {
                "d": "deceleration [m/s²]",
                "k": "braking_share",
                "μ": "grip of the ground [-]",
                "m": "motorcycle and rider [kg]",
                "g": "standard gravity, 9.80665 [m/s²]",
                "θ": "slope of the ground [rad]",
                "F_lift": "braking force that lifts the rear wheel [N]",
                "R": "rolling resistance, slope and air drag [N]",
                "v": "road speed [m/s]",
            },
        ),
        Entry(
            "Whether a shift is worth it before the brakes",
            course_shifting.shift_is_worth_it,
            {
                "a_c": "deceleration while coasting through the shift [m/s²]",
                "a_n": "acceleration in the other gear [m/s²]",
                "t": "time_left",
                "τ": "shift_time",
            },
        ),
        Entry(
            "Shift speeds on each ground",
            course_ground.shift_speeds,
            {
                "F_1": "pull in this gear [N]",
                "F_2": "pull in the next gear [N]",
                "M_1": "effective mass in this gear [kg]",
                "M_2": "effective mass in the next gear [kg]",
                "R": "rolling resistance, slope and air drag [N]",
            },
        ),
    ),
    (
        course_ground.course_grounds,
        course_ground.cut_course,
        course_ride.full_throttle_between_brakes,
        course_shifting.hardest_pulling_gear,
        course_shifting.hardest_pulling_lower_gear,
        course_shifting.distance_to_brakes,
    ),
)

SPEEDOMETER = Group(
    "Speedometer",
    "Where the instrument takes its speed from decides; the page asks and does not guess. The law "
    "where you ride decides what is allowed.",
    (
        Entry(
            "Indicated over true speed",
            speedometer.indicated_over_true,
            {
                "k_gearbox": "indicated over true speed, pickup on the gearbox [-]",
                "k_wheel": "indicated over true speed, pickup on a wheel [-]",
                "k_0": "before",
                "R": "ratio_before",
                "R′": "ratio_after",
                "U": "rollout_before",
                "U′": "rollout_after",
            },
        ),
        Entry(
            "Largest indicated speed by the type-approval inequality",
            speedometer.largest_indicated,
            {"V_1": "indicated speed [m/s]", "V_2": "true_speed"},
        ),
    ),
    (
        speedometer.indicated_speed,
        speedometer.true_speed,
        speedometer.correction_factor,
        speedometer.may_under_read,
        speedometer.within_r39,
    ),
)
