"""Formulas of sprockets, chain and swingarm, in the order of the method page."""

from explorer.calc import sprockets
from explorer.calc.chain import (
    axle_shift,
    chain_choice,
    chain_diagnosis,
    chain_fit,
    chain_guidance,
    chain_load,
    chain_path,
    chain_slack,
    chain_wear,
    clearance,
    swingarm,
)
from explorer.calc.chain import length as chain
from explorer.tasks.method.entry import Entry, Group

_RADII = "pitch radius of the front (1) and of the rear sprocket (2) [m]"

SPROCKETS = Group(
    "Chain and sprockets",
    "A roller chain lies on its sprockets as a polygon; everything follows from its pitch and from "
    "the teeth.",
    (
        Entry(
            "Pitch diameter", sprockets.pitch_diameter, {"d": "result", "p": "pitch", "z": "teeth"}
        ),
        Entry(
            "Outside diameter",
            sprockets.outside_diameter,
            {"d_a": "result", "p": "pitch", "z": "teeth"},
        ),
        Entry(
            "Root diameter",
            sprockets.root_diameter,
            {"d_f": "result", "d": "pitch diameter [m]", "d_r": "roller_diameter"},
        ),
        Entry(
            "Caliper diameter",
            sprockets.caliper_diameter,
            {"d_c": "result", "d": "pitch diameter [m]", "z": "teeth", "d_r": "roller_diameter"},
        ),
        Entry(
            "Unevenness of a sprocket of few teeth (chordal action)",
            sprockets.chordal_speed_variation,
            {
                "v_max": "greatest speed of the chain within a tooth [m/s]",
                "v_min": "smallest speed of the chain within a tooth [m/s]",
                "z": "teeth",
            },
        ),
        Entry(
            "Chain speed",
            chain_load.chain_speed,
            {"v": "result", "ω": "shaft_speed", "z": "teeth", "p": "pitch"},
        ),
        Entry(
            "Chain speed from the road speed",
            chain_load.chain_speed_on_road,
            {"v": "result", "V": "road_speed", "z": "rear", "p": "pitch", "U": "rollout"},
        ),
        Entry(
            "Chain tension",
            chain_load.tension,
            {
                "F": "result",
                "P": "pull",
                "U": "rollout",
                "d": "pitch diameter of the rear sprocket [m]",
            },
        ),
        Entry(
            "Bending of a link on a sprocket",
            chain_load.articulation_angle,
            {"α": "result", "z": "teeth"},
        ),
        Entry(
            "Bending of a joint over a kilometre",
            chain_load.articulation_per_kilometre,
            {
                "Θ": "result",
                "s": "one kilometre [m]",
                "z_1": "front",
                "z_2": "rear",
                "U": "rollout",
                "L": "links",
            },
        ),
        Entry(
            "Turns of the chain before a tooth meets the same link",
            chain_load.chain_turns_before_repeat,
            {"n": "result", "z": "teeth", "L": "links"},
        ),
        Entry(
            "Turns of the sprocket before a tooth meets the same link",
            chain_load.sprocket_turns_before_repeat,
            {"n": "result", "z": "teeth", "L": "links"},
        ),
    ),
    (chain_load.every_tooth_meets_both_plates, chain_guidance.guidance),
)

CHAIN_LENGTH = Group(
    "Chain length and fit",
    "Counts of teeth and links are exact, so they say where the axle sits better than a tape does. "
    "All positions on the fit page are differences of two taut chains computed alike.",
    (
        Entry(
            "Links for a centre distance",
            chain.links_for,
            {
                "L": "result",
                "C": "centre_distance",
                "p": "pitch",
                "z_1": "front",
                "z_2": "rear",
                "r_1": _RADII,
                "r_2": _RADII,
                "a": "angle of the straight runs to the line of centres [rad]",
            },
        ),
        Entry(
            "Links by the form of the handbooks, for comparison",
            chain.links_for_handbook,
            {"L": "result", "C": "centre distance, in pitches [-]", "z_1": "front", "z_2": "rear"},
        ),
        Entry(
            "Centre distance of a taut chain",
            chain.centre_distance_for,
            {"C": "result", "L": "links", "p": "pitch", "z_1": "front", "z_2": "rear"},
            (r"L(C, p, z_1, z_2) = L",),
        ),
        Entry(
            "Centre distance by the form of the handbooks, for comparison",
            chain.centre_distance_for_handbook,
            {
                "C": "centre distance, in pitches [-]",
                "L": "links",
                "m": "links less half the sum of the teeth [-]",
                "z_1": "front",
                "z_2": "rear",
            },
        ),
        Entry(
            "Wrap of the chain on the smaller sprocket",
            chain.wrap_angle,
            {
                "θ": "result",
                "d_1": "pitch diameter of the front sprocket [m]",
                "d_2": "pitch diameter of the rear sprocket [m]",
                "C": "centre_distance",
            },
        ),
        Entry(
            "Centre distance at which the teeth touch",
            chain.touching_distance,
            {
                "C_0": "result",
                "d_a1": "outside diameter of the front sprocket [m]",
                "d_a2": "outside diameter of the rear sprocket [m]",
            },
        ),
    ),
    (
        chain_fit.fit,
        chain_fit.link_counts,
        chain_choice.fit_choice,
        chain_choice.nearest_fitting_pair,
        chain_diagnosis.diagnose,
    ),
)

SLACK = Group(
    "Slack, swingarm and wear",
    "Geometry only. How much slack there shall be, where it is measured and when a chain is worn "
    "out is said by the motorcycle's own manual; no such figure is built in.",
    (
        Entry(
            "Extra length of a run from its slack",
            chain_slack.extra_length,
            {
                "L": "extra length, after Δ: the result [m]",
                "S": "span",
                "h": "half of the slack [m]",
                "q": "place",
            },
        ),
        Entry(
            "Slack from extra length",
            chain_slack.slack_from_extra_length,
            {
                "h": "half of the slack [m]",
                "S": "span",
                "L": "extra length, after Δ [m]",
                "q": "place",
                "A": "half of the length of the run [m]",
                "B": "largest possible h at mid-run [m]",
            },
        ),
        Entry(
            "Straight run between the sprockets",
            chain_slack.run_length,
            {"S": "result", "C": "centre_distance", "r_1": _RADII, "r_2": _RADII},
        ),
        Entry(
            "Hanging slack run",
            chain_path.hanging_sag,
            {"f": "result", "S": "span", "L": "extra length, after Δ [m]"},
        ),
        Entry(
            "Distance of the sprockets through the travel",
            swingarm.sprocket_distance,
            {
                "C": "result",
                "a": "output shaft to pivot [m]",
                "b": "arm_length",
                "φ": "angle by which the three centres are out of line [rad]",
            },
        ),
        Entry(
            "Swingarm angle from the height of the axle",
            swingarm.arm_angle_at_height,
            {"φ": "result", "h": "axle_height", "b": "arm_length"},
        ),
        Entry(
            "Elongation of a worn chain",
            chain_wear.elongation,
            {"e": "result", "L": "measured_length", "n": "pitches", "p": "pitch"},
        ),
        Entry(
            "Length to look for at an elongation",
            chain_wear.length_at_elongation,
            {"L": "result", "n": "pitches", "p": "pitch", "e": "share"},
        ),
        Entry(
            "Uncertainty of the elongation",
            chain_wear.elongation_uncertainty,
            {"u_e": "result", "u_L": "length_uncertainty", "n": "pitches", "p": "pitch"},
        ),
        Entry(
            "Published limits of elongation",
            chain_wear.published_limits,
            {"e": "elongation at which to replace the chain [-]", "z": "rear"},
        ),
    ),
    (
        chain_slack.slack_through_travel,
        chain_slack.axle_movement_for_slack,
        swingarm.axle_position,
        swingarm.arm_angle_after_travel,
        swingarm.tightest_angle,
        chain_path.straight_runs,
        chain_path.outline,
        chain_wear.wear_used,
    ),
)

CLEARANCE = Group(
    "Clearances and stance",
    "What is left of a gap that the rider has measured, and what moving the axle does to the "
    "stance. How much gap is enough is for the manual, a mechanic and the dirt.",
    (
        Entry(
            "Sprocket with the chain on it",
            clearance.outermost_radius,
            {
                "R": "result",
                "d": "pitch diameter [m]",
                "d_a": "outside diameter [m]",
                "h_p": "plate_height",
            },
        ),
        Entry(
            "Gap after a change of teeth",
            clearance.gap_after_teeth,
            {
                "g′": "result",
                "g": "gap_now",
                "d_new": "pitch diameter of the new sprocket [m]",
                "d_now": "pitch diameter of the fitted sprocket [m]",
                "m": "axle_movement",
                "ψ": "direction",
            },
        ),
        Entry(
            "Gap between tyre and swingarm",
            clearance.tyre_gap,
            {
                "g′": "result",
                "g": "gap_now",
                "m": "axle_movement",
                "R": "outside radius of the tyre, after Δ: its growth [m]",
            },
        ),
        Entry(
            "Gap between chain and a round part",
            chain_path.run_clearance,
            {
                "g": "result",
                "m": "normal",
                "T": "run",
                "P": "centre",
                "R": "radius",
                "h_p": "plate_height",
            },
        ),
        Entry(
            "Room to lift a closed chain off",
            clearance.room_to_lift_off,
            {
                "C": "centre distance, after Δ: the result [m]",
                "p": "pitch",
                "d_1": "roller_diameter",
            },
        ),
        Entry(
            "Change of wheelbase",
            axle_shift.wheelbase_change,
            {"w": "wheelbase, after Δ: the result [m]", "m": "movement", "φ": "arm_angle"},
        ),
        Entry(
            "Change of rear height",
            axle_shift.rear_height_change,
            {"h": "height of the rear, after Δ: the result [m]", "m": "movement", "φ": "arm_angle"},
        ),
        Entry(
            "Trail",
            axle_shift.trail,
            {"t": "result", "R": "front_radius", "ε": "rake", "d": "fork_offset"},
        ),
        Entry(
            "Weight on the front wheel",
            axle_shift.front_load_share,
            {"s": "result", "b": "cg_behind_front", "w": "wheelbase, after Δ: its change [m]"},
        ),
    ),
    (clearance.case_gap, axle_shift.trail_change),
)
