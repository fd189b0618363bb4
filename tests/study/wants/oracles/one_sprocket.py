"""One sprocket less those that change."""


def margin(want, pair, measured):
    return 1.0 - sum(pair.changed)


def tolerance(want, limiter):
    return 0.5


def texts(rng, gears):
    return {}
