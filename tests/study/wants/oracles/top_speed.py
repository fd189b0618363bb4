"""The fastest steady speed of all gears."""

from tests.study.wants.oracles import speed


def margin(want, pair, measured):
    return pair.top_speed() - want.si("speed")


def tolerance(want, limiter):
    return want.si("speed") / 20


def texts(rng, gears):
    return {"speed": speed(rng, 60, 110)}
