"""The ride itself, one pair at a time; its own reference is in calc."""


def margin(want, pair, measured):
    return want.shifts - pair.shifts(want.course)


def tolerance(want, limiter):
    return max(1, want.shifts / 10)


def texts(rng, gears):
    return {
        "course": rng.choice(["woods-loop", "hill-climb", "sand-track", "gravel-road"]),
        "shifts": str(rng.integers(4, 40)),
    }
