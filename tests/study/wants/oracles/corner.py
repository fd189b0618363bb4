"""The best gear's distance to the nearer end of the power band."""

from tests.study.wants.oracles import speed


def margin(want, pair, measured):
    low, high = pair.band(0.9)
    turns = [pair.engine_speed(gear, want.si("speed")) for gear in pair.gears]
    return max(min(each - low, min(high, pair.limiter) - each) for each in turns)


def tolerance(want, limiter):
    return limiter / 20


def texts(rng, gears):
    return {"speed": speed(rng, 15, 70)}
