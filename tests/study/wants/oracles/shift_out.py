"""Room at the corner and, so many gears higher, at the exit."""

import math


def margin(want, pair, measured):
    pulls, best = pair.band(0.5)[0], -math.inf
    for gear in pair.gears:
        last = min(gear + want.shifts, len(pair.gears) - 1)
        at_corner = pair.engine_speed(gear, want.si("corner_speed")) - pulls
        at_exit = pair.limiter - pair.engine_speed(last, want.si("exit_speed"))
        best = max(best, min(at_corner, at_exit))
    return best


def tolerance(want, limiter):
    return limiter / 20


def texts(rng, gears):
    corner = rng.uniform(10, 40)
    return {
        "corner_speed": f"{corner:.2f} km/h",
        "exit_speed": f"{corner * rng.uniform(1.2, 3):.2f} km/h",
        "shifts": str(rng.integers(0, 3)),
    }
