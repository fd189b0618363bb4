"""What a gain costs: the pairs on the line, and differences with their bands."""

import numpy as np

from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.lesson.steps import tradeoff
from tests.printed_bands import Printed, banded
from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    PAIR,
    WHERE,
    by_definition,
    near,
    no_more_power,
    value,
)

STEP = 10


def pair_said(facts, said):
    pairs = facts.result.pairs.tradeoff
    here = (pairs.front == int(said[1])) & (pairs.rear == int(said[2]))
    assert near(said[3], float(pairs.top_speed[here][0]) * 3.6)


def fewer_in_front(facts, _):
    front, *_ = tradeoff.need(facts).options[tradeoff.need(facts).right]
    assert front < facts.bike.sprockets.front


def chosen_and_fitted(facts, said):
    fitted, chosen = facts.bike.sprockets, facts.setup
    pairs = [(int(said[1]), int(said[2])), (int(said[3]), int(said[4]))]
    assert pairs == [(each.front, each.rear) for each in (chosen, fitted)]


def each_gain_costs(facts, _):
    """Along the line: faster is never also better in the measure."""
    pairs = facts.result.pairs.tradeoff
    line = pairs.best_compromise & np.isfinite(pairs.value)
    order = np.argsort(pairs.top_speed[line], kind="stable")
    speeds, values = pairs.top_speed[line][order], pairs.value[line][order]
    assert speeds.size >= 2 and (np.diff(values)[np.diff(speeds) > 0] >= 0).all()


def so_many_compromises(facts, said):
    pairs = facts.result.pairs.tradeoff
    assert int(said[1]) == int(np.sum(pairs.best_compromise)) and int(said[2]) == pairs.front.size


def _differences(facts):
    """Chosen less fitted [km/h]: top speed; slowest speed with the clutch out, at 1.2 times idle
    (common practice, no source)."""
    drive, top = facts.result.drive, facts.result.top.speed
    both = drive.overall, drive.radius
    overalls, radii = (np.broadcast_to(each, both[0].shape)[:, 0, 0] for each in both)
    slowest = 1.2 * np.ravel(drive.idle_speed)[0] * radii / overalls
    found = {"Top speed": top, "Slowest with the clutch out in 1st": slowest}
    return {name: 3.6 * (speed[CHOSEN] - speed[FITTED]) for name, speed in found.items()}


def _ends(said):
    """Both ends of the interval that is printed behind a difference."""
    printed = Printed.read(said[2])
    return printed.low, printed.high


def against_fitted(facts, said):
    low, high = _ends(said)
    assert near(Printed.read(said[2]).value, _differences(facts)[said[1]])
    # As printed the band may touch zero, never hold it: it is rounded up.
    assert low > -1e-9 or high < 1e-9, "a sign that its band does not carry"


def one_way_only(facts, said):
    """Some draw reaches about there, and 97 % or more go that way or nowhere."""
    name = "top" if said[1] == "Top speed" else "measure"
    draws = facts.result.estimate(name).draws
    apart = (draws[:, CHOSEN] - draws[:, FITTED]) * 3.6 * np.sign(value(said[2]))
    assert np.mean(apart >= -1e-6) >= 0.97
    assert abs(np.quantile(apart, 0.975) - abs(value(said[2]))) < 0.1 * apart.max()


def no_real_change(facts, said):
    low, high = _ends(said)
    assert near(Printed.read(said[2]).value, _differences(facts)[said[1]])
    assert low <= 0 <= high


def difference_is_known_better(facts, _):
    """Than the surer of the two figures, or as well where neither hangs on anything."""
    study = facts.result
    band, levels = study.change("measure").band, study.estimate("measure").band
    widths = levels.below + levels.above
    assert band.below + band.above <= widths[[FITTED, CHOSEN]].min()


def roll_out_share(facts, said):
    assert near(said[1], facts.result.limiter_speeds[CHOSEN, -1] * 3.6 * 0.01)


def speed_needed(facts, said):
    need = tradeoff.need(facts)
    assert value(said[1]) % 5 == 0 and near(said[1], need.speed * 3.6)
    reach = [each for each in need.options if each[2] >= need.speed]
    assert 0 < len(reach) < len(need.options)
    assert min(reach, key=lambda each: each[3]) == need.options[need.right]


def too_close(facts, _):
    assert tradeoff.need(facts) is None


CLAIMS = [
    (rf"You need a top speed of {NUMBER} km/h \({WHERE}\)\. Which pair .*", speed_needed),
    (r"The best pairs are too close together .*", too_close),
    (r"Top speed, then the measure:", by_definition),
    (r"Keep to the maker's fewest front teeth\.", fewer_in_front),
    (rf"{PAIR}: {NUMBER} km/h, .*", pair_said),
    (rf"{PAIR} against {PAIR}, fitted:", chosen_and_fitted),
    (r"Say what you need first: each gain costs something\.", each_gain_costs),
    (r"Let two pupils with different needs choose: both can be right\.", each_gain_costs),
    (r"Before any sprocket come clutch, tyre pressure and technique\.", by_definition),
    (r"Best compromises, on the line: (\d+) of (\d+) pairs\.", so_many_compromises),
    (r"What one of them gains in one it pays for in the other\.", each_gain_costs),
    (rf"(.+): ({banded('km/h')}) against fitted\.", against_fitted),
    (rf"(.+): 0 to {NUMBER} km/h against fitted\.", one_way_only),
    (rf"(.+): no real change, ({banded('km/h')})\.", no_real_change),
    (r"Both gearings are on the same bike, so the difference .*", difference_is_known_better),
    (r"Which is right depends on what you need\.", by_definition),
    (
        rf"One per cent of roll-out is one per cent of speed at a given rpm: {NUMBER} km/h .*",
        roll_out_share,
    ),
    (r"A tyre size tells the roll-out no better than that\.", by_definition),
    (r"The clutch comes first: .*", by_definition),
    (r"Shorter gearing helps only after that\.", by_definition),
    (r"A size is a name\.|Load, pressure and wear change the roll-out by .*", by_definition),
    (r"Each step shorter costs speed at the rev limit\.", no_more_power),
    (r"“.*” is (?:a gap|a matter|taller) .*", by_definition),
]
