"""Bikes on which the lesson's statements are checked: those of the demo, fifty drawn, one own."""

import random

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.setups.link import MINE
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.lesson import starting_pair
from tests.records.bikes.test_own_bike import MEADOW

BIKES = dict(demo_bikes())


def drawn(seed):
    """A demo bike with other gears, primary reduction, sprockets and ground."""
    chance = random.Random(seed)
    bike_id = chance.choice(list(BIKES))
    gears = [chance.uniform(2.0, 3.2)]
    gears += [gears[0] * 0.75**each for each in range(1, chance.randint(1, 6))]
    bike = BIKES[bike_id].with_changes(
        {
            "gearbox.ratios": ", ".join(f"{each:.2f}" for each in gears),
            "gearbox.primary": f"{chance.uniform(2.4, 3.6):.2f}",
        }
    )
    changes = starting_pair(bike) | {"slope": chance.choice((0.0, 0.0, 0.1)), "roll_gear": 1}
    return bike, Setup.for_bike(bike_id, bike).changed(**changes)


def known(bike_id):
    """A bike of the demo, or the own one, with the pair with which the lesson begins."""
    bike = read_own_bike(MEADOW).bike if bike_id == MINE else BIKES[bike_id]
    return bike, Setup.for_bike(bike_id, bike).changed(**starting_pair(bike))
