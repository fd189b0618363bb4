"""What people often get wrong about gearing, and what is true; each has its moment in a step."""

from collections.abc import Mapping
from types import MappingProxyType
from typing import NamedTuple


class Misconception(NamedTuple):
    """One thing that is often heard.

    Attributes:
        step: Step of the lesson that clears it up, 1 to 10.
        heard: As it is said.
        true: What is so instead.
    """

    step: int
    heard: str
    true: str


MISCONCEPTIONS: Mapping[int, Misconception] = MappingProxyType(
    {
        1: Misconception(
            1,
            "A bigger rear sprocket gives more power.",
            "The engine's power and torque stay as they are. The pull at the tyre grows and the "
            "speed shrinks by the same factor; their product, the power at the wheel, does not "
            "change at the same engine speed.",
        ),
        2: Misconception(
            6,
            "Power and torque have little to do with each other.",
            "Power is torque times engine speed: know two of them and you know the third.",
        ),
        3: Misconception(
            6,
            "What counts is torque at the crankshaft.",
            "At one road speed the pull follows the power that the engine gives at that moment. "
            "The gear decides at which engine speed it runs, and so which power there is.",
        ),
        4: Misconception(
            3,
            "So much more pull is just as much less speed.",
            "Pull changes by new ratio ÷ old ratio − 1, speed by old ÷ new − 1: never the same "
            "number.",
        ),
        5: Misconception(
            1,
            "13 ÷ 48 is the ratio.",
            "The final drive ratio is rear ÷ front: how many turns the front sprocket makes for "
            "one turn of the wheel. A larger number is shorter gearing.",
        ),
        6: Misconception(
            2,
            "Gearing up means more teeth somewhere.",
            "Gearing up, or taller, is fewer teeth at the rear or more at the front. More at the "
            "rear is gearing down, or shorter.",
        ),
        7: Misconception(
            4,
            "A sprocket closes the gap between two gears.",
            "A sprocket moves every gear by the same factor, so every gap stays. Only other gear "
            "ratios inside the gearbox change a gap.",
        ),
        8: Misconception(
            5,
            "Same sprockets, same gearing.",
            "Primary reduction, gear and tyre count too: two bikes with the same pair can be far "
            "apart. Compare overall ratios, or engine turns for a metre of road.",
        ),
        9: Misconception(
            8,
            "Taller gearing makes a faster bike.",
            "Where power is the limit, only if it lets the engine give more power at that road "
            "speed. At the power peak no gearing is faster; taller still, and top gear is one to "
            "cruise in.",
        ),
        10: Misconception(
            8,
            "The top speed in the table is the top speed.",
            "The table gives the speed at the rev limit. Drag, slope and ground decide whether the "
            "bike ever gets there.",
        ),
        11: Misconception(
            10,
            "Shorter gearing cures stalling.",
            "The clutch comes first: choose the gear before the feature, do not shift on the "
            "slope, feed the clutch in. Shorter gearing helps only after that.",
        ),
        12: Misconception(
            7,
            "A screaming engine is a fast one.",
            "Towards the rev limit torque falls, and at the limit the ignition cuts. Change up "
            "where the next gear pulls as hard, which the calculation finds; noise does not tell.",
        ),
        13: Misconception(
            10,
            "Speeds from a tyre size are right to the decimal.",
            "A size is a name. Load, pressure and wear change the roll-out by a per cent or two, "
            "and every speed with it: measure it with the rider seated.",
        ),
    }
)


def of_step(step: int) -> list[Misconception]:
    """The misconceptions that a step clears up.

    Args:
        step: Number of the step, from 1.

    Returns:
        In the order of their numbers.
    """
    return [each for each in MISCONCEPTIONS.values() if each.step == step]
