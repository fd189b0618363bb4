"""The facts of a lesson about a demo bike."""

from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.lesson import Lesson, Place, starting_pair
from explorer.tasks.lesson.steps import STEPS

BIKES = dict(demo_bikes())


STEP = {step.number: step for step in STEPS}


def facts_of(bike_id, bike=None, **changes):
    bike = bike or BIKES[bike_id]
    fields = {**starting_pair(bike), **changes}
    place = Place(road_speed=fields.pop("road_speed", 40 / 3.6))
    measured = Measurements.for_bike(bike).changed(fields.pop("measured", {}))
    setup = Setup.for_bike(bike_id, bike).changed(**fields)
    return Facts(Lesson(bike, setup, place), BIKES, measured)


def asked(facts, number):
    return STEP[number].ask(facts)
