"""What a class can try with a bicycle, chalk, string and a stopwatch, with the cautions."""

from typing import NamedTuple

HANDS = (
    "Engine off, gearbox in neutral, ignition key out, motorcycle upright on a stand on level "
    "ground, one person holding it.",
    "Turn the wheel by hand at the tyre. Fingers, hair, sleeves and laces stay clear of chain, "
    "sprockets and spokes; nobody touches the chain while anybody turns the wheel.",
)
"""Common practice, no source; as on the fitting sheet."""

RIDING = (
    "Closed, level ground only, never the public road; one rider at a time, helmet and riding kit, "
    "others behind a line to the side.",
    "Walking pace, the stopwatch held by somebody who stands beside the line and not in the path.",
)
"""Common practice, no source."""


class Experiment(NamedTuple):
    """One experiment of the class.

    Attributes
    ----------
    step : int
        Step to which it belongs, from 1.
    title : str
        What it is.
    minutes : int
        How long it takes, beside the minutes of the step.
    need : str
        What to bring.
    how : str
        What to do.
    cautions : tuple of str
        Where it can hurt.
    """

    step: int
    title: str
    minutes: int
    need: str
    how: str
    cautions: tuple[str, ...]


_BICYCLE = (
    "Bicycle upside-down on its saddle, held by one person; keep fingers and sleeves out of chain "
    "and spokes.",
)

EXPERIMENTS = (
    Experiment(
        1,
        "Force against distance on a bicycle",
        5,
        "geared bicycle, spring scale or luggage scale, a known weight, string",
        "Hang the weight on one pedal, crank level, and measure with the scale at the edge of the "
        "rear tyre what holds it. Change gear and measure again: less force, more way.",
        _BICYCLE,
    ),
    Experiment(
        1,
        "Turns of the front sprocket",
        4,
        "motorcycle on a stand, chalk",
        "Chalk a mark on the tyre and one on the front sprocket. Turn the wheel once by hand and "
        "count the turns of the front sprocket: that is the final drive ratio.",
        HANDS,
    ),
    Experiment(
        2,
        "Two pairs on the table",
        4,
        "loose sprockets such as 13/52 and 12/48, a length of chain",
        "Compute both ratios, then lay the chain round each pair: the ratio is the same, wrap and "
        "axle place are not.",
        ("Sprocket teeth are sharp: hold them at the flat, or wear gloves.",),
    ),
    Experiment(
        4,
        "Same hill, two gears",
        6,
        "geared bicycle, a short slope, stopwatch",
        "Ride the slope in two gears, turning the pedals equally fast if you can. Which is "
        "quicker, which is easier on the legs?",
        ("Helmet on, slope free of traffic, brakes tried first.",),
    ),
    Experiment(
        5,
        "Crank turns for one turn of the wheel",
        6,
        "motorcycle on a stand, spark plug out, spanner for the crankshaft, chalk",
        "With the plug out and top gear in, turn the wheel once by hand while a second person "
        "counts the turns of the crankshaft: the overall ratio in top gear.",
        (
            "Engine off, key out, plug lead earthed away from the plug hole: with a gear engaged "
            "the engine turns, so the plug must be out and nobody near the starter.",
            "Hold the tyre, never the sprocket; fingers clear of chain and plug hole.",
        ),
    ),
    Experiment(
        5,
        "Roll-out by chalk",
        6,
        "motorcycle, chalk, tape measure, riding pressure in the tyre",
        "Rider seated, mark tyre and floor, push three turns straight ahead, measure and divide by "
        "three. Once more without the rider: the difference is what a tyre size can't know.",
        (
            "Engine off, in neutral, two helpers pushing; the rider steers and has a hand on the "
            "front brake.",
        ),
    ),
    Experiment(
        6,
        "Walking pace in first gear",
        10,
        "motorcycle, 20 m marked out, stopwatch",
        "Who is slowest over 20 m in first gear with the clutch fully out? Type in the times: the "
        "computed one is 1.2 times idle speed.",
        RIDING,
    ),
    Experiment(
        9,
        "String and three pins",
        5,
        "board, three drawing pins for output shaft, pivot and axle, string",
        "Tie a loop of string over shaft and axle, swing the arm about the pivot: the loop is "
        "tightest where all three are in line.",
        ("On the motorcycle itself nobody reaches between chain and sprocket.",),
    ),
    Experiment(
        10,
        "Complaint and change",
        6,
        "cards with complaints and cards with changes",
        "Match them: “2nd screams and 3rd bogs in the same corner”, “stalls in the hairpins”, "
        "“nothing left on the road link”. Which complaints are no matter of gearing at all?",
        (),
    ),
)
