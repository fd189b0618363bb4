"""What the calculation leaves out, and what that does to the numbers."""

from typing import NamedTuple


class Assumption(NamedTuple):
    """Something left out or taken as simpler than it is.

    Attributes:
        what: What is assumed.
        effect: What it does to the numbers, and in which direction.
    """

    what: str
    effect: str


ASSUMPTIONS = (
    Assumption(
        "The driven tyre rolls without slip up to the limit of grip.",
        "A real tyre slips a little whenever it pulls, and much on loose ground: at the same "
        "engine speed the motorcycle is slower than computed.",
    ),
    Assumption(
        "The roll-out does not change with speed, load, pressure or wear.",
        "Geared speeds are off by as many per cent as the roll-out. Measure yours.",
    ),
    Assumption(
        "Grip and rolling resistance are published for car tyres, and constant.",
        "A knobbly tyre on soft ground can grip more and roll harder; the limits of grip, slopes "
        "and times off the road are the least sure numbers of all. Sideways force in a bend, which "
        "uses up grip, is left out.",
    ),
    Assumption(
        "Rider and motorcycle are rigid: no squat, no rider moving, one centre of gravity.",
        "The limit at which the front wheel lifts is a guide. A rider who leans forward moves it "
        "further than a tooth does.",
    ),
    Assumption(
        "Speeding up the wheels and the crankshaft takes no part in the pitch balance.",
        "The wheels lift the front a little sooner than computed: by about 2 % of the thrust for a "
        "light bike with its rider (computed). A crankshaft turning forward adds to it, one "
        "turning backward takes from it.",
    ),
    Assumption(
        "Air drag acts at the height of the centre of gravity, without lift.",
        "Matters for the limits of grip and balance at high speed only, where they seldom bind.",
    ),
    Assumption(
        "The wheelbase is the same for all pairs of sprockets.",
        "Moving the axle back by 10 mm raises the thrust that lifts the front wheel by 1 to 2 % "
        "(computed). The fit page says what it does to the stance.",
    ),
    Assumption(
        "The efficiency of each stage is constant.",
        "At small loads real losses weigh more: part-throttle cruising costs more than computed. "
        "Mud on the chain costs extra.",
    ),
    Assumption(
        "The inertia of gearbox shafts is left out, or counted in the engine's.",
        "Acceleration in the low gears comes out very slightly too high.",
    ),
    Assumption(
        "The torque curve is that of a warm, sound engine at steady full throttle.",
        "A cold engine, a worn one, a wrong mixture or a two-stroke off its pipe gives less. "
        "Response to the throttle is not modelled.",
    ),
    Assumption(
        "The air is dry.",
        "Damp air makes less power: about 5 % less in saturated air of 30 °C (computed), much less "
        "than that on a cool day. Its density falls by less than 2 %.",
    ),
    Assumption(
        "The power correction is used on mountains too, beyond the range that it is meant for.",
        "The page says where it is stretched. A carburettor set for sea level loses more.",
    ),
    Assumption(
        "From rest the clutch holds the engine at its launch speed, throttle fully open.",
        "Riders feed a clutch in differently: launch times and clutch heat compare set-ups, they "
        "do not predict your start.",
    ),
    Assumption(
        "Each shift takes the same time, without drive, and at the best moment.",
        "A slower or later shift costs more. Where shorter gearing needs one shift more, the real "
        "loss depends on the rider.",
    ),
    Assumption(
        "Slope and wind are steady, the wind from ahead or behind.",
        "Gusts and side wind change a top speed more than a tooth does.",
    ),
    Assumption(
        "On a course the line and the corner speeds are given; no lean, jumps or bumps.",
        "Lap times compare set-ups on the same course; they are no forecast.",
    ),
    Assumption(
        "Chain runs are straight between the sprockets, and the chain is evenly worn.",
        "A slider or roller that pushes the run aside takes up slack; measure at the tightest "
        "place. Stretch under load is left out.",
    ),
    Assumption(
        "Gravity is 9.80665 m/s² everywhere.",
        "The true value differs by at most 0.3 % on the ground, much less than the other inputs.",
    ),
)
