"""The speed of first gear at 1.2 times idle."""

from tests.study.wants.oracles import speed


def margin(want, pair, measured):
    return want.si("speed") - pair.road_speed(0, 1.2 * pair.idle)


def tolerance(want, limiter):
    return want.si("speed") / 10


def texts(rng, gears):
    return {"speed": speed(rng, 4, 12)}
