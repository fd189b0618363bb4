"""Engine speed of the highest gear that holds the speed."""

from tests.study.wants.oracles import revs, speed


def margin(want, pair, measured):
    return want.si("engine_speed") - pair.cruise(want.si("speed"))


def tolerance(want, limiter):
    return want.si("engine_speed") / 20


def texts(rng, gears):
    return {"speed": speed(rng, 40, 95), "engine_speed": revs(rng)}
