"""What a class can try with a bicycle, chalk, string and a stopwatch, with the cautions."""

from typing import NamedTuple

_UPRIGHT = "ignition key out, motorcycle upright on a stand on level ground, one person holding it."

_CLEAR = (
    "Turn the wheel by hand at the tyre. Fingers, hair, sleeves and laces stay clear of chain, "
    "sprockets and spokes; nobody touches the chain while anybody turns the wheel."
)

_PUT_BACK = (
    "Whatever was taken off goes back on, tight as the manual says and looked over by somebody who "
    "knows it, before the motorcycle is pushed or its engine started."
)

HANDS = (f"Engine off, gearbox in neutral, {_UPRIGHT}", _CLEAR)
"""Common practice, no source; as on the fitting sheet."""

_GEAR_IN = (
    f"Engine off and cold, {_UPRIGHT}",
    "Spark plug out before a gear goes in, its lead earthed away from the plug hole, no flame "
    "near; nobody at the starter or the kickstarter.",
    "Nothing stays on the crankshaft: a spanner left there whirls round with it. Whoever counts "
    "looks and does not touch.",
    _CLEAR,
    _PUT_BACK,
)
"""For a wheel that turns the engine along. Common practice, no source."""

RIDING = (
    "Closed, level ground outdoors only, never the public road; only who can ride this motorcycle "
    "and may; one rider at a time, helmet and riding kit, others behind a line to the side.",
    "Only with every cover in its place. No faster than first gear pulls by itself: throttle shut, "
    "one hand's fingers over the brake, room to stop beyond the line.",
    "The stopwatch is held by somebody who stands beside the line and not in the path.",
)
"""Common practice, no source."""


class Experiment(NamedTuple):
    """One experiment of the class.

    Attributes:
        step: Step to which it belongs, from 1.
        title: What it is.
        minutes: How long it takes, beside the minutes of the step.
        need: What to bring.
        how: What to do.
        cautions: Where it can hurt.
        found: What comes of it; told with the answer of the step and on the coach's sheet, for it
            may give that answer away. Empty where nothing is to be told.
    """

    step: int
    title: str
    minutes: int
    need: str
    how: str
    cautions: tuple[str, ...]
    found: str = ""


_BICYCLE = (
    "Bicycle upside-down on its saddle, held by one person; keep fingers, hair and sleeves out of "
    "chain and spokes.",
    "Let the pedal with the weight down by hand, heads and feet away from below it; take the "
    "weight off before you change gear.",
)

EXPERIMENTS = (
    Experiment(
        1,
        "Force against distance on a bicycle",
        5,
        "bicycle with several rear sprockets, spring scale or luggage scale, a known weight, "
        "string",
        "Turn the crank level and hang the weight on the pedal that points to the rear wheel: on "
        "the other one the freewheel only slips. Measure with the scale at the edge of the rear "
        "tyre what holds it. Take the weight off, change to a smaller rear sprocket, turning the "
        "pedals by hand, and measure again.",
        _BICYCLE,
        "With the smaller rear sprocket less force at the tyre, and more way of it for one turn of "
        "the pedals. A larger rear sprocket does the reverse.",
    ),
    Experiment(
        1,
        "Turns of the front sprocket",
        4,
        "motorcycle on a stand, its rear wheel off the ground, chalk, its own manual",
        "Take the cover of the front sprocket off as the manual says. Chalk a mark on the tyre and "
        "one on the front sprocket while everything stands still. Turn the wheel once by hand and "
        "count the turns of the front sprocket.",
        (*HANDS, _PUT_BACK),
        "The count is the final drive ratio, rear ÷ front.",
    ),
    Experiment(
        2,
        "Two pairs on the table",
        4,
        "loose sprockets such as 13/52 and 12/48, a length of chain",
        "Compute both ratios, then lay the chain round each pair. What is the same, what is not?",
        ("Sprocket teeth are sharp: hold them at the flat, or wear gloves.",),
        "The ratio is the same for 13/52 and 12/48; wrap and axle place are not.",
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
        "motorcycle on a stand, its rear wheel off the ground, plug spanner, chalk, its own manual",
        "Only where the manual says how the plug comes out and which cap shows the end of the "
        "crankshaft; otherwise leave it to a mechanic. Take out plug and cap as the manual says. "
        "Chalk the end of the crankshaft and the tyre. Then put top gear in and turn "
        "the wheel once by hand, forwards and slowly, while a second person counts the turns of "
        "the crankshaft. Neutral again before anything is put back.",
        _GEAR_IN,
        "The count is the overall ratio in top gear.",
    ),
    Experiment(
        5,
        "Roll-out by chalk",
        6,
        "motorcycle, chalk, tape measure, riding pressure in the tyre",
        "Rider seated, mark tyre and floor, push three turns straight ahead, measure and divide by "
        "three. Once more without the rider.",
        (
            "Engine off, in neutral, on level ground, two helpers pushing, their feet and hands "
            "clear of wheels and chain; the rider steers and has a hand on the front brake.",
        ),
        "The difference between the two is what a tyre size can't know.",
    ),
    Experiment(
        6,
        "Slowest in first gear",
        10,
        "motorcycle, 20 m marked out, stopwatch",
        "Who is slowest over 20 m in first gear with the clutch fully out? Type in the times. With "
        "some gearing that is faster than anybody walks: under “Class results” stands how fast it "
        "is with this one. Look there before anybody rides.",
        RIDING,
    ),
    Experiment(
        9,
        "String and three pins",
        5,
        "board, strip of stiff card as the swingarm, three drawing pins for output shaft, pivot "
        "and axle, a bit of cork, string",
        "Pin one end of the strip of card to the board: that pin is the pivot. Push the second pin "
        "from below through the other end and put the cork on its point: that is the axle. The "
        "third pin, in the board a little beyond the pivot and beside the line of the card, is the "
        "output shaft. Tie a loop of string round shaft and axle with a finger's room, and swing "
        "the card up and down. Where is the loop tightest?",
        (
            "A drawing pin's point goes into the board or into the cork.",
            "On the motorcycle itself nobody reaches between chain and sprocket.",
        ),
        "The loop is tightest where all three pins are in line.",
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
