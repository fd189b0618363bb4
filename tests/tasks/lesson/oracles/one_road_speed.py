"""At one road speed the pull is power ÷ speed, and a gear chooses the power."""

import math

import numpy as np

from explorer.study.study import CHOSEN
from explorer.tasks.lesson.steps import one_road_speed
from tests.tasks.lesson.lesson_checks import (
    ASKED,
    NUMBER,
    WHERE,
    by_definition,
    near,
    overall,
    power_wins,
    ratio,
    turn,
)

STEP = 6


def most_power(facts, said):
    here = one_road_speed.at_one_speed(facts)
    turning = overall(facts.bike, ratio(facts, CHOSEN)) / turn(facts) * 2 * math.pi * here.speed
    torque = np.ravel(facts.result.drive.torque(turning))
    runs = here.gears - 1
    best = runs[np.argmax((torque * turning)[runs])]
    assert int(said[1]) == best + 1 and near(said[2], (torque * turning)[best] / 1000)
    assert int(said[3]) == runs[np.argmax(torque[runs])] + 1


def no_gear_runs(facts, _):
    assert not one_road_speed.at_one_speed(facts).gears.size


CLAIMS = [
    (rf"{ASKED}, .+ km/h, full throttle \({WHERE}\)\. In which gear .*", by_definition),
    (
        rf"Most power there: (\d)\w\w, {NUMBER} kW\. Most torque at the crankshaft: (\d)\w\w\.",
        most_power,
    ),
    (r"No gear runs at this speed\.", no_gear_runs),
    (r"At one speed, the most power pulls hardest\.", power_wins),
    (r"Pull is power at the wheel ÷ road speed, so at one speed .*", power_wins),
    (r"Where the ground or the front wheel holds less than the engine has, .*", by_definition),
    (r"Power is torque times engine speed: .*", power_wins),
    (r"At one road speed the pull follows the power .*", power_wins),
    (r"The gear decides at which engine speed it runs, .*", power_wins),
    (r"Nobody rides slower with the clutch out than .*", by_definition),
    (r"The computed time stands under .*", by_definition),
]
