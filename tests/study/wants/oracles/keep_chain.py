"""Room left in the adjuster with the chain as it is; on the fitted pair it is on."""


def margin(want, pair, measured):
    rooms = measured.si("room_forward"), measured.si("room_back")
    kept = pair.chain_margin(measured.links, *rooms)
    return kept if any(pair.changed) else max(kept, 0.002)


def tolerance(want, limiter):
    return 0.002


def texts(rng, gears):
    return {}
