"""The steepest slope of one gear or of all."""


def margin(want, pair, measured):
    tried = pair.gears if want.gear == 0 else [want.gear - 1]
    return max(pair.slope(gear) for gear in tried) - want.si("slope")


def tolerance(want, limiter):
    return 0.02


def texts(rng, gears):
    return {
        "slope": f"{rng.uniform(5, 50):.2f} %",
        "gear": rng.choice(["any", *map(str, range(1, gears + 1))]),
    }
