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
    value,
)

STEP = 6


def most_power(facts, said):
    most_at(facts, one_road_speed.at_one_speed(facts).speed, *said.groups())


def they_part(facts, said):
    """At a round speed, and at none nearer."""
    speed = value(said[1])
    assert speed % 5 == 0 and said[2] != said[4]
    most_at(facts, speed / 3.6, *said.groups()[1:])
    here = one_road_speed.at_one_speed(facts)
    assert np.argmax(here.power) == np.argmax(here.torque)


def beyond(facts, said):
    """Grip and balance of the drive, and a gear that pulls harder than the smaller of them."""
    drive = facts.result.drive
    spins, lifts = (float(np.ravel(each)[0]) for each in (drive.grip_thrust, drive.wheelie_thrust))
    assert (said[1] == "rear tyre spins") == (spins <= lifts) and near(said[2], min(spins, lifts))
    assert one_road_speed.at_one_speed(facts).pull.max() > value(said[2]) * 0.99


def most_at(facts, speed, best_gear, most, torque_gear):
    drive = facts.result.drive
    turning = overall(facts.bike, ratio(facts, CHOSEN)) / turn(facts) * 2 * math.pi * speed
    torque = np.ravel(drive.torque(turning))
    runs = np.flatnonzero(
        (turning >= drive.idle_speed.item()) & (turning <= drive.limiter_speed.item() * 1.000001)
    )
    best = runs[np.argmax((torque * turning)[runs])]
    assert int(best_gear) == best + 1 and near(most, (torque * turning)[best] / 1000)
    assert int(torque_gear) == runs[np.argmax(torque[runs])] + 1


def no_gear_runs(facts, _):
    assert not one_road_speed.at_one_speed(facts).gears.size


CLAIMS = [
    (rf"{ASKED}, .+ km/h, full throttle \({WHERE}\)\. In which gear .*", by_definition),
    (
        rf"Most power there: (\d)\w\w, {NUMBER} kW\. Most torque at the crankshaft: (\d)\w\w\.",
        most_power,
    ),
    (
        rf"They part at {NUMBER} km/h\. Most power there: (\d)\w\w, {NUMBER} kW\. Most torque at "
        r"the crankshaft: (\d)\w\w\.",
        they_part,
    ),
    (rf"The (rear tyre spins|front wheel lifts) beyond {NUMBER} N\.", beyond),
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
