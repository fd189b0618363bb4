"""What the method page says of wants, ride logs, and prediction against measurement."""

from explorer.calc.ride import (
    calibration,
    gear_inference,
    ratio_cause,
    ride_filter,
    ride_gears,
    ride_replay,
    ride_speed,
    ride_summary,
    ride_way,
    run_stretches,
    simulated_ride,
    speedometer_fit,
)
from explorer.calc.statistics import repeated_runs, verdict
from explorer.calc.wants import dominated, want_measures, wants_score
from explorer.tasks.method.entry import Entry, Group

WANTS = Group(
    "Wants and the short list",
    "Every pair is measured for every want at once. Shape and tolerances of the satisfaction are "
    "our own choice, so a score ranks set-ups for one rider and says nothing between riders.",
    (
        Entry(
            "Satisfaction of a want",
            wants_score.satisfaction,
            {"s": "result", "m": "margin", "τ": "tolerance"},
            (r"s = \frac{1}{1 + (m/\tau)^2}",),
        ),
        Entry(
            "Score",
            wants_score.weighted_score,
            {"S": "result", "w_i": "weights", "s_i": "satisfactions"},
        ),
    ),
    (
        dominated.dominator,
        want_measures.room_in_band,
        want_measures.slope_held,
        want_measures.slope_limit,
        want_measures.cruise_engine_speed,
        want_measures.room_out_of_corner,
        want_measures.widest_speed_range,
        want_measures.engine_speed_change,
    ),
)

RIDES = Group(
    "What a ride log says",
    "A log is cut where it is silent and never bridged; a speed counts when it is held, not when "
    "it flashes up once.",
    (),
    (
        ride_filter.kept_speeds,
        ride_filter.breaks,
        ride_way.in_motion,
        ride_way.shares_of_time,
        ride_way.strays,
        ride_way.speeds_along,
        ride_speed.held_speeds,
        ride_speed.time_at_speed,
        ride_speed.covered,
        ride_speed.roll_ons,
        ride_summary.top_speed_held,
        ride_summary.slopes_along,
        ride_summary.speed_on_slopes,
        ride_gears.steady_moments,
        ride_gears.find_ratios,
        ride_gears.match_gears,
        ride_gears.slip_when_pulling,
        ratio_cause.likely_causes,
        gear_inference.infer_gears,
        ride_replay.replay,
        simulated_ride.simulate_ride,
    ),
)

MEASURED = Group(
    "Prediction against measurement",
    "A difference counts against its uncertainty, that of the prediction and that of the runs "
    "together. A ride that cannot tell two things apart is said not to tell them.",
    (),
    (
        repeated_runs.mean_of_runs,
        repeated_runs.mean_both_ways,
        verdict.compare,
        verdict.change,
        verdict.compare_hill,
        verdict.runs_needed,
        speedometer_fit.fit_line,
        speedometer_fit.reading_at,
        speedometer_fit.true_speed_at,
        run_stretches.coasting_stretches,
        run_stretches.pulling_stretches,
        calibration.usual_prior,
        calibration.calibrate,
    ),
)
