"""Formulas of motion, shifting, top speed and a course, for the method page."""

from explorer.calc.course import course_braking, course_ground, course_ride, course_shifting
from explorer.calc.course import fastest as course
from explorer.calc.drivetrain import launch, top_speed
from explorer.calc.engine import engine_braking
from explorer.calc.motion import measures, shift_points, shift_strategy
from explorer.calc.motion import run as motion
from explorer.tasks.method.entry import Entry, Group

_RADIUS = "rolling radius of the rear tyre, U/2π [m]"

_SHIFTING = {
    "v": "road speed [m/s]",
    "w": "speed after coasting through the shift [m/s]",
    "w′": "change of w with v [-]",
    "a_1": "acceleration in this gear [m/s²]",
    "a_2": "acceleration in the next gear [m/s²]",
    "R": "resistance while coasting [N]",
}

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
        measures.best_time_to_speed,
        measures.best_time_over_distance,
        measures.time_over_target,
        measures.roll_on,
        measures.revs_above_idle,
        measures.throttle_to_hold,
        measures.throttle_at_grip,
        motion.segment,
        measures.steepest_slope_by_gear,
        measures.walking_pull,
    ),
)

SHIFTS = Group(
    "Shift points",
    "Best is where the next gear, after the speed lost in the shift, wins more than this one. A "
    "gear is kept to the goal where the shift before it would cost time. Within 0.1 % no search "
    "over other schedules was faster in the project's tests, in sand too; skipping a gear and "
    "pulling away in second were left out of that search.",
    (
        Entry("Where to change up", shift_points.shift_points, _SHIFTING),
        Entry(
            "Where to change up over a distance",
            shift_points.shift_points_over_distance,
            _SHIFTING
            | {
                "V": "final_speed",
                "x_s′": "change with v of the way covered in the shift [s]",
                "m": "motorcycle, rider and wheels [kg]",
            },
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
    ),
    (
        course_ground.course_grounds,
        course_ground.shift_speeds,
        shift_points.best_leaving,
        course_ground.cut_course,
        course_ride.full_throttle_between_brakes,
        course_shifting.hardest_pulling_gear,
        course_shifting.hardest_pulling_lower_gear,
        course_shifting.distance_to_brakes,
    ),
)
