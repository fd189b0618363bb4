"""The public names of the formulas, for a program of one's own: what is listed here stays.

All else in explorer.calc may change from version to version. Every quantity is in SI units and
every function broadcasts over arrays. Ten worked examples stand in README.md beside this file, and
as a notebook in worked_examples.ipynb.
"""

from explorer.calc.atmosphere import air_density, standard_atmosphere
from explorer.calc.chain.chain_slack import extra_length, run_length, slack_from_extra_length
from explorer.calc.chain.chain_wear import elongation, wear_used
from explorer.calc.chain.length import centre_distance_for, links_for, touching_distance, wrap_angle
from explorer.calc.course.course_ride import CourseRide
from explorer.calc.course.fastest import Course, ride_course
from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.hills import gear_for_speed, on_slope
from explorer.calc.drivetrain.speedometer import Pickup, indicated_over_true
from explorer.calc.drivetrain.top_speed import Limit, TopSpeed, top_speed
from explorer.calc.drivetrain.tradeoff import TradeOff, all_pairs, best_compromise
from explorer.calc.engine.power_correction import power_factor
from explorer.calc.example import example_conditions, example_drive, example_vehicle
from explorer.calc.gearing import (
    engine_speed,
    final_ratio,
    gear_steps,
    near_equal_pairs,
    overall_ratio,
    pull_change,
    rear_teeth_per_front_tooth,
    road_speed,
    speed_change,
)
from explorer.calc.motion.measures import (
    roll_on,
    steepest_slope_by_gear,
    time_over_distance,
    time_to_speed,
    walking_pull,
)
from explorer.calc.motion.shift_points import ShiftPoints, shift_points
from explorer.calc.sprockets import outside_diameter, pitch_diameter
from explorer.calc.tyre import circumference, overall_diameter
from explorer.calc.vehicle import STANDARD_GRAVITY, Conditions, Vehicle

__all__ = [
    "STANDARD_GRAVITY",
    "Conditions",
    "Course",
    "CourseRide",
    "Drive",
    "Limit",
    "Pickup",
    "ShiftPoints",
    "TopSpeed",
    "TradeOff",
    "Vehicle",
    "air_density",
    "all_pairs",
    "best_compromise",
    "centre_distance_for",
    "circumference",
    "elongation",
    "engine_speed",
    "example_conditions",
    "example_drive",
    "example_vehicle",
    "extra_length",
    "final_ratio",
    "gear_for_speed",
    "gear_steps",
    "indicated_over_true",
    "links_for",
    "near_equal_pairs",
    "on_slope",
    "outside_diameter",
    "overall_diameter",
    "overall_ratio",
    "pitch_diameter",
    "power_factor",
    "pull_change",
    "rear_teeth_per_front_tooth",
    "ride_course",
    "road_speed",
    "roll_on",
    "run_length",
    "shift_points",
    "slack_from_extra_length",
    "speed_change",
    "standard_atmosphere",
    "steepest_slope_by_gear",
    "time_over_distance",
    "time_to_speed",
    "top_speed",
    "touching_distance",
    "walking_pull",
    "wear_used",
    "wrap_angle",
]
