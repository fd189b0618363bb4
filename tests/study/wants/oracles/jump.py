"""Engine speed at the take-off over that of the fitted pair."""

from tests.study.wants.oracles import speed


def margin(want, pair, measured):
    gear, at = want.gear - 1, want.si("speed")
    before = pair.fitted().engine_speed(gear, at)
    return want.si("change") - abs(pair.engine_speed(gear, at) / before - 1)


def tolerance(want, limiter):
    return max(0.01, want.si("change") / 2)


def texts(rng, gears):
    return {
        "speed": speed(rng, 20, 60),
        "gear": str(rng.integers(1, gears + 1)),
        "change": f"{rng.uniform(0, 15):.2f} %",
    }
