"""The same below the rider's limit and well below the rev limit."""

from tests.study.wants.oracles import revs, speed


def margin(want, pair, measured):
    limit = min(want.si("engine_speed"), (1 - want.si("reserve")) * pair.limiter)
    return limit - pair.cruise(want.si("speed"))


def tolerance(want, limiter):
    return want.si("engine_speed") / 20


def texts(rng, gears):
    return {
        "speed": speed(rng, 45, 95),
        "engine_speed": revs(rng),
        "reserve": f"{rng.uniform(0, 30):.1f} %",
    }
