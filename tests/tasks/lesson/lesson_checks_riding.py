"""Checks of what the lesson states of riding: shifts, speeds, slack, the trade-off, the rest."""

import math
import re

import numpy as np
import pytest

from explorer.calc.drivetrain.top_speed import Limit
from explorer.study.study import CHOSEN, FITTED
from explorer.study.table import RUN_TIMES
from explorer.tasks.lesson.link import CHALLENGE, RUN
from explorer.tasks.lesson.steps import STEPS
from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    near,
    overall,
    ratio,
    rear_for_front,
    turn,
    value,
)

# --- 6: one speed


def most_power(facts, said):
    here = facts.at_one_speed
    turning = overall(facts.bike, ratio(facts, CHOSEN)) / turn(facts) * 2 * math.pi * here.speed
    torque = np.ravel(facts.result.drive.torque(turning))
    runs = here.gears - 1
    best = runs[np.argmax((torque * turning)[runs])]
    assert int(said[1]) == best + 1 and near(said[2], (torque * turning)[best] / 1000)
    assert int(said[3]) == runs[np.argmax(torque[runs])] + 1


def power_wins(facts, _):
    here = facts.at_one_speed
    if here.gears.size:
        assert np.argmax(here.pull) == np.argmax(here.power)
        assert here.power == pytest.approx(here.torque * here.engine_speed)
        losses = here.pull * here.speed / here.power
        assert losses == pytest.approx(np.full(losses.size, losses[0])) and losses[0] <= 1


# --- 7: shift


def as_hard(facts, said):
    """a = (pull − resistance) ÷ (mass with what turns), in both gears where the change is."""
    shift, drive = facts.shift, facts.result.drive
    assert shift.taken and not shift.at_limit and near(said[1], shift.before * 30 / math.pi)
    assert near(said[2], shift.after * 30 / math.pi)
    masses = np.broadcast_to(drive.effective_mass(drive.overall, True), drive.overall.shape)
    resistance = np.ravel(drive.resistance(shift.road_speed))[-1]
    pulls, found = [], []
    for gear in (shift.gear - 1, shift.gear):
        curve = facts.result.road_speed[CHOSEN, gear], facts.result.engine_pull[CHOSEN, gear]
        pulls.append(float(np.interp(shift.road_speed, *curve)))
        found.append((pulls[-1] - resistance) / masses[CHOSEN, gear, 0])
    # The ground, or the front wheel, holds both back alike.
    found = np.minimum(found, np.ravel(drive.largest_acceleration(np.array(shift.road_speed)))[-1])
    assert pulls[1] < pulls[0] * 1.001
    assert found[0] == pytest.approx(found[1], rel=0.03, abs=0.02)


def clutch_slips(facts, said):
    launch = facts.result.drive.launch_speed.item() * 30 / math.pi
    assert value(said[2]) == pytest.approx(launch, rel=0.002)
    assert int(said[3][0]) == facts.shift.gear + 1


def at_the_limit(facts, said):
    shift = facts.shift
    assert shift.taken and shift.at_limit and near(said[1], shift.before * 30 / math.pi)
    assert value(said[1]) == pytest.approx(
        facts.result.drive.limiter_speed.item() * 30 / math.pi, rel=0.006
    )


def rule_of_shifting(facts, _):
    shift = facts.shift
    assert shift is not None and shift.taken


# --- 8: top speed


def limit_said(facts, said):
    top = facts.result.top
    limits = {
        "the rev limit": Limit.REV_LIMIT,
        "power against drag, slope and surface": Limit.POWER,
        "the grip of the rear tyre": Limit.GRIP,
        "the front wheel lifting": Limit.FRONT_WHEEL_LIFT,
    }
    assert top.limit[CHOSEN] == limits[said[1]]
    reached = top.speed[CHOSEN] / facts.result.limiter_speeds[CHOSEN].max()
    assert reached <= 1 + 1e-9 and (said[1] == "the rev limit" or reached < 1)


def taller_said(facts, said):
    final, allowed, top = facts.taller
    assert final == pytest.approx(facts.setup.rear / (facts.setup.front + 1))
    assert near(said[1], float(top.speed[0]) * 3.6)
    promised = facts.result.limiter_speeds[CHOSEN, -1] * (facts.setup.front + 1) / facts.setup.front
    assert allowed == pytest.approx(promised)
    if said[2] is not None:
        assert near(said[2], promised * 3.6) and value(said[2]) > value(said[1])
    else:
        assert float(top.speed[0]) == pytest.approx(promised, abs=0.3)


def table_promises(facts, said):
    now = facts.result.limiter_speeds[CHOSEN, -1] * 3.6
    after = now * (facts.setup.front + 1) / facts.setup.front
    assert near(said[2], after) and value(said[1]) == value(said[2]) - round(now)


# --- 9: slack


def tightest_in_line(facts, said):
    fit = facts.measured
    slack = facts.slack
    centres = slack.curves.centre_distance[FITTED]
    there = float(np.interp(value(said[1]) / 1000, slack.heights, centres))
    assert there == pytest.approx(centres.max(), rel=1e-4) and fit is not None
    ends = centres[0], centres[-1]
    assert max(ends) < centres.max()


def tightest_at_an_end(facts, said):
    centres = facts.slack.curves.centre_distance[FITTED]
    assert centres.argmax() in (
        (0, 1) if "hanging" in said[1] else (-1, centres.size - 1, centres.size - 2)
    )


def slack_changes(facts, _):
    if facts.slack is not None:
        assert np.ptp(facts.slack.curves.centre_distance[FITTED]) > 1e-4


# --- 10: trade-off


def pair_said(facts, said):
    pairs = facts.result.pairs.tradeoff
    here = (pairs.front == int(said[1])) & (pairs.rear == int(said[2]))
    assert near(said[3], float(pairs.top_speed[here][0]) * 3.6)


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
    change, even, above, below = said[2], said[3], said[4], said[5]
    return value(change) - value(even or below), value(change) + value(even or above)


def against_fitted(facts, said):
    low, high = _ends(said)
    assert near(said[2], _differences(facts)[said[1]])
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
    assert near(said[2], _differences(facts)[said[1]])
    assert low <= 0 <= high


def difference_is_known_better(facts, _):
    """Than the surer of the two figures, or as well where neither hangs on anything."""
    study = facts.result
    band, levels = study.change("measure").band, study.estimate("measure").band
    widths = levels.below + levels.above
    assert band.below + band.above <= widths[[FITTED, CHOSEN]].min()


def roll_out_share(facts, said):
    assert near(said[1], facts.result.limiter_speeds[CHOSEN, -1] * 3.6 * 0.01)


# --- what stands between


def bend_said(facts, said):
    front = facts.bike.sprockets.front
    assert near(said[1], 360 / front) and near(said[2], 360 / (front - 1))
    assert value(said[2]) > value(said[1])


def no_harder_pull(facts, _):
    """Chain force = moment about the axle ÷ rear pitch radius, whatever the front sprocket is."""
    lever = facts.lever
    moment = lever.pull[CHOSEN] * turn(facts) / 2 / math.pi
    assert lever.tension[CHOSEN] == pytest.approx(moment / lever.rear_radius[CHOSEN])


def ran(facts, said):
    at = np.flatnonzero(np.isclose(RUN_TIMES, value(said[1])))[0]
    for text, way in zip(said.groups()[1:], facts.run["run_distance"][:, at], strict=True):
        assert near(text, float(way))


def who_is_ahead(facts, said):
    fitted, chosen = facts.run["run_distance"][:, (np.isclose(RUN_TIMES, value(said[5]))).argmax()]
    asked = STEPS[RUN - 1].ask(facts)
    if asked.right == "side by side":
        assert abs(fitted - chosen) < 2
    else:
        assert asked.right == asked.options[int(chosen > fitted)] and abs(fitted - chosen) >= 2


def louder_not_faster(facts, _):
    """At one road speed the shorter pair turns more, and is not ahead by that alone."""
    assert (ratio(facts, CHOSEN) > ratio(facts, FITTED)) == (
        facts.result.limiter_speeds[CHOSEN, 0] < facts.result.limiter_speeds[FITTED, 0]
    )


def less_at_the_tyre(*_):
    """Chain: weight × crank ÷ chainring radius; tyre: that × rear sprocket ÷ wheel radius."""
    force = [100.0 * 0.17 / 0.09 * rear / 0.34 for rear in (0.03, 0.05)]
    way = [0.34 * 0.09 / rear for rear in (0.03, 0.05)]
    assert force[0] < force[1] and way[0] > way[1]


def enough(facts, said):
    """Engine speed = overall ratio × road speed ÷ roll-out."""
    found = re.findall(rf"(\d+)/(\d+), {NUMBER} rpm", said[1])
    for front, rear, rpm in found:
        there = overall(facts.bike, int(rear) / int(front))[-1] / turn(facts) * 70 / 3.6 * 60
        assert near(rpm, there)
    assert found and said[1].count("/") == len(found)


def its_price(facts, said):
    final = int(said[2]) / int(said[1])
    assert near(said[3], (final / ratio(facts, FITTED) - 1) * 100) and value(said[3]) < 0


def own_said(facts, said):
    front, rear = int(said[1]), int(said[2])
    assert (front, rear) == facts.lesson.place.own and near(said[3], rear / front)
    assert near(said[4], (front / (front - 1) - 1) * 100) and near(said[5], rear / (front - 1))
    assert near(said[6], 100 / rear)


def division_rule(facts, _):
    """So many rear teeth more make the ratio of one front tooth fewer."""
    sprockets = facts.bike.sprockets
    more = (sprockets.rear + rear_for_front(facts)) / sprockets.front
    assert more == pytest.approx(sprockets.rear / (sprockets.front - 1))


def same_ratio(*_):
    assert 52 / 13 == 48 / 12


def no_gear_runs(facts, _):
    assert not facts.at_one_speed.gears.size


def one_gear(facts, _):
    assert len(facts.bike.gearbox.ratios) == 1


def never_taken(facts, _):
    assert facts.shift is not None and not facts.shift.taken


def more_rotating_mass(facts, _):
    """The share of the engine's inertia at the wheel grows with the square of the ratio."""
    of_gears = overall(facts.bike, ratio(facts, CHOSEN))
    assert (np.diff(of_gears) < 0).all()


def torque_falls(facts, _):
    """Past its peak: at the limit it is less than there."""
    curve = facts.bike.engine.torque_curve
    limit = facts.result.drive.limiter_speed.item()
    assert np.interp(limit, curve.speeds, curve.torques) <= curve.torques.max()


def runs_at_the_limit(facts, said):
    limit = facts.result.drive.limiter_speed.item() / 2 / math.pi
    assert near(said[3], limit * turn(facts) / overall(facts.bike, ratio(facts, CHOSEN))[-1] * 3.6)


def nothing_holds(facts, _):
    assert facts.result.top.limit[CHOSEN] == Limit.CANNOT_HOLD


def taller_holds_none(facts, _):
    assert facts.taller[2].limit[0] == Limit.CANNOT_HOLD


def power_at_top(facts, _):
    """At one road speed the pull is power ÷ speed: more pull only with more power there."""
    power_wins(facts, None)


def not_measured(facts, _):
    assert facts.slack is None


def speed_needed(facts, said):
    assert value(said[1]) % 5 == 0 and near(said[1], facts.need.speed * 3.6)
    reach = [each for each in facts.need.options if each[2] >= facts.need.speed]
    assert 0 < len(reach) < len(facts.need.options)
    assert min(reach, key=lambda each: each[3]) == facts.need.options[facts.need.right]


def too_close(facts, _):
    assert facts.need is None


def bend_asked(facts, said):
    front = facts.bike.sprockets.front
    assert (int(said[1]), int(said[2])) == (front, front - 1)


def smaller_circle(facts, _):
    front = facts.bike.sprockets.front
    assert 1 / math.sin(math.pi / (front - 1)) < 1 / math.sin(math.pi / front)


def less_even(facts, _):
    """Speed of a chain on a polygon swings between 1 and cos(π ÷ z)."""
    front = facts.bike.sprockets.front
    assert 1 - math.cos(math.pi / (front - 1)) > 1 - math.cos(math.pi / front)


def start_alike(facts, _):
    assert facts.run["run_distance"][:, 0] == pytest.approx([0.0, 0.0], abs=0.1)


def challenge_asked(facts, said):
    sprockets = facts.bike.sprockets
    assert (int(said[1]), int(said[2])) == (sprockets.front, sprockets.rear)
    now, wanted = value(said[3]), value(said[4])
    assert near(said[3], overall(facts.bike, ratio(facts, FITTED))[-1] / turn(facts) * 70 * 50 / 3)
    asked, enough = STEPS[CHALLENGE - 1].ask(facts), []
    for option in asked.options:
        front, rear = map(int, option.split("/"))
        assert (front == sprockets.front) != (rear == sprockets.rear), "one sprocket to buy"
        if rear / front / ratio(facts, FITTED) * now <= wanted * 1.001:
            enough.append(option)
    assert enough == [asked.right] and len(asked.options) >= 2


def no_challenge(facts, _):
    """Top gear does not hold that speed, or no pair that is sold lowers the revs enough."""
    sprockets = facts.bike.sprockets
    lowest = min(sprockets.rear_sold[0] / sprockets.front, sprockets.rear / sprockets.front_sold[1])
    now, least = (
        overall(facts.bike, each)[-1] / turn(facts) * 70 / 3.6 * 60
        for each in (ratio(facts, FITTED), lowest)
    )
    slow = not facts.result.top.speed[FITTED] >= 70 / 3.6
    assert slow or least > now * 0.97 // 500 * 500
