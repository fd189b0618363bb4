"""Formulas of gearing, tyre, all pairs and speedometer, for the method page."""

from explorer.calc import gearing, tyre
from explorer.calc.drivetrain import speedometer, tradeoff
from explorer.tasks.method.entry import Entry, Group

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

TRADE_OFF = Group(
    "Trade-off of all pairs",
    "Every pair of sprockets is computed in one array, by the same formulas as the chosen one.",
    (),
    (tradeoff.all_pairs, tradeoff.best_compromise),
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
