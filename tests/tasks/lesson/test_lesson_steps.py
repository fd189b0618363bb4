"""Every answer of the lesson comes from the computation: recomputed here by other ways, each bike.

The checks use definitions (ratios, P = T·ω, equal moments about an axle, the law of cosines),
written out in this file, not the functions under test. A definition needs no outside source.
"""

import math
import re
from dataclasses import replace
from itertools import pairwise

import numpy as np
import pytest

from explorer.calc.drivetrain.drive import Drive
from explorer.calc.drivetrain.top_speed import Limit, top_speed
from explorer.charts.fit import slack_chart
from explorer.charts.lesson import lesson_lever
from explorer.records.bikes.quantity import read_quantity
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.question import conditions_of
from explorer.study.study import CHOSEN, FITTED
from explorer.tasks.lesson.demonstration import Demonstration
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.lesson import Lesson
from explorer.tasks.lesson.misconceptions import MISCONCEPTIONS
from explorer.tasks.lesson.plans import PLANS
from explorer.tasks.lesson.steps import (
    STEPS,
    every_gear,
    lever,
    one_road_speed,
    shift_point,
    slack_over_travel,
)
from explorer.tasks.lesson.steps import top_speed as top_speed_step
from explorer.tasks.lesson.steps.bicycle import Bicycle
from explorer.tasks.lesson.steps.lever import SHAFT_TORQUE
from explorer.tasks.lesson.steps.recap import Recap
from tests.tasks.lesson.lesson_facts import BIKES, STEP, asked, facts_of


def answer(facts, number):
    return " ".join(STEP[number].answer(facts))


def test_the_lesson_has_ten_steps_and_takes_a_lesson():
    assert [step.number for step in STEPS] == list(range(1, len(STEPS) + 1))
    # A step that came later has a name instead of a number, as those between the ten have.
    assert [step.number for step in STEPS if not step.name] == list(range(1, 11))
    assert len({step.place for step in STEPS}) == len(STEPS)
    for whole, plan in PLANS.items():
        assert sum(plan.values()) == whole and set(plan) <= set(STEP)
        assert [*plan][-1] == Recap.number
    assert set(PLANS[90]) == set(STEP) and Bicycle.number in PLANS[40]


def test_lever_and_wheel(facts):
    sprockets = facts.bike.sprockets
    radius = facts.result.rollouts[FITTED].value / (2 * math.pi)
    pull = SHAFT_TORQUE * sprockets.rear / sprockets.front / radius
    # Equal moments about the axle.
    arms = lever.arms(facts)
    arm = arms.rear_radius[FITTED]
    tension = pull * radius / arm
    assert arms.pull[FITTED] == pytest.approx(pull, rel=1e-12)
    assert arms.tension[FITTED] == pytest.approx(tension, rel=1e-12)
    assert asked(facts, 1).right == "less hard than the chain"
    # The question, the picture and the answer are about the same pair, the chosen one.
    text, view = answer(facts, 1), STEP[1].figure.view(facts)
    chosen = pull * facts.setup.rear / facts.setup.front * sprockets.front / sprockets.rear
    assert f"{float(f'{chosen:.3g}'):.0f} N" in text and view.pull == pytest.approx(chosen)
    assert asked(facts, 1).text.startswith(f"{view.front}/{view.rear} instead of ")


@pytest.mark.parametrize("turned", [0.25, 1.0, 2.0])
def test_turns_of_the_wheel_are_counted_against_the_front_sprockets(facts, turned):
    view = replace(STEP[1].figure.view(facts), turned=turned)
    turns = turned * facts.setup.rear / facts.setup.front
    chart = lesson_lever.LeverChart(view)
    points = chart.layers[1].data
    said = " ".join(map(str, points["text"]))
    assert f"{turns:.1f} turns" in said and f"{turned * facts.setup.rear:.0f} links" in said
    assert f"{turned:.2f} turns of the wheel are {turns:.1f}" in lesson_lever.describe(view)
    # Marks stand where that many turns bring them, from the top over the front.
    marks = [
        (x, y) for x, y, marker in zip(*(points[each] for each in ("x", "y", "marker")),
                                       strict=True) if marker == "square"
    ]  # fmt: skip
    shaft = -1.55 * view.wheel_radius
    for (x, y), centre, count in zip(marks, (0.0, shaft), (turned, turns), strict=True):
        angle = math.atan2(y, x - centre) - math.pi / 2
        assert math.cos(angle - 2 * math.pi * count) == pytest.approx(1.0)


def test_one_front_tooth_against_rear_teeth(facts):
    front, rear = facts.bike.sprockets.front, facts.bike.sprockets.rear
    # Teeth x with (rear + x) / front = rear / (front - 1).
    more = rear * front / (front - 1) - rear
    assert asked(facts, 2).value == pytest.approx(more, rel=1e-12)
    assert f" = {more:.1f}." in answer(facts, 2)


def test_pull_and_speed_are_two_numbers(facts):
    sprockets, setup = facts.bike.sprockets, facts.setup
    old, new = sprockets.rear / sprockets.front, setup.rear / setup.front
    pull, speed = new / old - 1, old / new - 1
    assert asked(facts, 3).value == pytest.approx(abs(speed) * 100, rel=1e-12)
    text = answer(facts, 3)
    for change in (pull, speed):
        assert f"{abs(change) * 100:.1f} %" in text
    assert abs(pull) != abs(speed)


def test_a_pair_as_fitted_changes_nothing():
    facts = facts_of("bracken-125", front=13, rear=50)
    question = asked(facts, 3)
    assert "the same ratio" in question.text and question.value == 0.0
    assert "falls" not in question.text


def test_a_sprocket_moves_every_gear_and_no_gap(facts):
    ratios = [ratio.si for ratio in facts.bike.gearbox.ratios]
    steps = [low / high - 1 for low, high in pairwise(ratios)]
    assert "stay as they are" in answer(facts, 4)
    np.testing.assert_allclose(every_gear.gear_steps(facts), [steps, steps], rtol=1e-12)
    _, *bars = STEP[4].figure.view(facts).bars
    for gear, (step, bar) in enumerate(zip(steps, bars, strict=True), start=1):
        # Down a gear the pull grows by so much.
        assert bar.name.startswith(f"{gear + 1}→{gear},") and bar.said == f"+{step * 100:.0f} %"
    changes = {
        "one rear tooth more": 1 / facts.bike.sprockets.rear,
        "one front tooth fewer": 1 / (facts.bike.sprockets.front - 1),
        "one gear down, from top gear": steps[-1],
    }
    assert asked(facts, 4).right == max(changes, key=changes.get)


def test_overall_ratio_has_primary_gear_and_tyre_in_it(facts):
    ratio = facts.setup.rear / facts.setup.front

    def turns(bike, rollout):
        return bike.gearbox.primary.si * bike.gearbox.ratios[-1].si * ratio / rollout

    other = facts_of(facts.lesson.other_bike(BIKES))
    this = turns(facts.bike, facts.result.rollouts[CHOSEN].value)
    that = turns(facts.other, other.result.rollouts[FITTED].value)
    text = answer(facts, 5)
    assert f"{this:.2f} engine turns" in text and f"{that:.2f} engine turns" in text
    right = asked(facts, 5).right
    assert right.startswith(facts.bike.name if this > that else facts.other.name)


@pytest.mark.parametrize("speed", [5.0, 12.0, 20.0])
def test_the_pull_at_one_speed_is_power_over_speed(facts, speed):
    facts = facts_of(facts.setup.bike_id, road_speed=speed)
    here = one_road_speed.at_one_speed(facts)
    efficiency = float(facts.result.drive.efficiency[CHOSEN, 0, 0])
    np.testing.assert_allclose(here.pull, efficiency * here.power / here.speed, rtol=1e-12)
    assert np.argmax(here.pull) == np.argmax(here.power)
    # Its engine speeds, from the definition.
    rollout = facts.result.rollouts[CHOSEN].value
    for gear, turns in zip(here.gears, here.engine_speed, strict=True):
        wheel = here.speed / rollout * 2 * math.pi
        overall = (
            facts.bike.gearbox.primary.si
            * facts.bike.gearbox.ratios[gear - 1].si
            * facts.setup.rear
            / facts.setup.front
        )
        assert turns == pytest.approx(wheel * overall, rel=1e-12)
    best = int(here.gears[np.argmax(here.power)])
    assert asked(facts, 6).right.startswith(str(best))


@pytest.mark.parametrize("speed", [30, 40, 60])
def test_the_printed_power_and_speed_give_the_printed_pull(facts, speed):
    """As a pupil works it out: each printed number within half a unit of its last digit."""
    facts = facts_of(facts.setup.bike_id, road_speed=speed / 3.6)
    [text] = [bar.said for bar in STEP[6].figure.view(facts).bars if bar.strong]
    power = re.search(r"([\d.]+) kW", text)[1]
    share = 100 * float(facts.result.drive.efficiency[CHOSEN, 0, 0])
    pull = float(re.search(r"(\d+) N$", text)[1])
    worked_out = float(power) * 1000 * share / 100 / (speed / 3.6)
    half_digits = 0.5 * 10.0 ** -len(power.partition(".")[2]) / float(power) + 0.5 / share
    half_digits += 0.5 * 10 ** max(len(f"{pull:.0f}") - 3, 0) / pull
    assert worked_out == pytest.approx(pull, rel=half_digits)


@pytest.mark.parametrize("ratios", [["1.0"], ["2.0", "1.0"]])
def test_few_gears_are_enough_for_every_step(ratios):
    bike = BIKES["bracken-125"].with_changes({"gearbox.ratios": ", ".join(ratios)})
    setup = Setup.for_bike("bracken-125", bike).changed(front=12, roll_gear=1)
    facts = Facts(Lesson(bike, setup), BIKES, Measurements.for_bike(bike))
    for step in STEPS:
        question = step.ask(facts)
        assert question.text and all(step.answer(facts))
        assert step.figure is None or Demonstration(step, facts, False, print).words
        assert not question.options or question.right in question.options
    assert ("single gear" in answer(facts, 7)) == (len(ratios) == 1)


def test_no_gear_runs_that_slowly():
    facts = facts_of("wagtail-85", road_speed=0.3)
    assert "No gear runs" in answer(facts, 6) and asked(facts, 6).right == "none"


def test_the_shift_is_where_the_next_gear_is_as_good(facts):
    """Without the time that the shift takes, where both accelerate alike."""
    no_time = {"shift_time": read_quantity("0 s", "time")}
    bike = facts.bike.model_copy(update={"gearbox": facts.bike.gearbox.model_copy(update=no_time)})
    facts = facts_of(facts.setup.bike_id, bike)
    shift, drive = shift_point.shift(facts), facts.result.drive
    assert shift.taken
    limit = drive.limiter_speed.item()
    question = asked(facts, 7)
    rpm = [float(re.sub(r"\D", "", each)) for each in question.options]
    assert len(rpm) >= 2 and rpm == sorted(rpm)
    # It can be failed: every other option is at least 2 % off.
    right = rpm[question.options.index(question.right)]
    assert right == pytest.approx(shift.before * 30 / math.pi, rel=1e-3)
    assert all(abs(each / right - 1) > 0.019 for each in rpm if each != right)

    def acceleration(gear, speed):
        overall = drive.overall[CHOSEN : CHOSEN + 1, gear : gear + 1]
        turns = speed * overall / drive.radius[CHOSEN].item()
        value = drive.acceleration(np.array([[[speed]]]), overall, drive.torque(turns), True)
        return float(np.ravel(value)[-1])

    this, following = (acceleration(shift.gear - 1 + more, shift.road_speed) for more in (0, 1))
    if shift.before < limit * (1 - 1e-6):
        assert this == pytest.approx(following, rel=1e-3)
        # Not the pull: the lower gear pulls harder there, for it spins more mass up.
        assert "accelerates as hard" in answer(facts, 7)
    else:
        assert this >= following * (1 - 1e-9)
    gears = facts.bike.gearbox.ratios
    drop = gears[shift.gear].si / gears[shift.gear - 1].si
    assert shift.after / shift.before == pytest.approx(drop, rel=1e-12)


def test_the_top_speed_balances_pull_and_resistance_or_says_rev_limit(facts):
    result = facts.result
    speed = float(result.top.speed[CHOSEN])
    limit = Limit(int(result.top.limit[CHOSEN]))
    text = answer(facts, 8)
    if limit is Limit.POWER:
        gear = int(result.top.gear[CHOSEN])
        pull = np.interp(speed, result.road_speed[CHOSEN, gear], result.engine_pull[CHOSEN, gear])
        resistance = float(np.ravel(result.drive.resistance(np.array(speed)))[0])
        assert pull == pytest.approx(resistance, rel=0.01)  # curve of 25 points
        assert "power against drag" in text
        assert asked(facts, 8).value == pytest.approx(speed * 3.6, rel=1e-12)
    elif limit is Limit.REV_LIMIT:
        assert speed == pytest.approx(facts.result.limiter_speeds[CHOSEN].max(), rel=1e-9)
        assert "the rev limit" in text
        # It does what the table says; what is asked is where power holds it back.
        found, question = top_speed_step.looked_at(facts), asked(facts, 8)
        assert question.value == pytest.approx(found.reached * 3.6, rel=1e-12)
        assert question.trap > 1.05 * question.value
    # More front teeth make the table grow by exactly their ratio.
    front = facts.setup.front
    for more in top_speed_step.taller(facts):
        share = (front + more.teeth) / front
        assert more.geared / facts.fastest_geared == pytest.approx(share, rel=1e-12)


def test_a_power_limited_bike_does_not_get_what_the_table_promises():
    facts = facts_of("bracken-125", front=15)
    assert Limit(int(facts.result.top.limit[CHOSEN])) is Limit.POWER
    taller = top_speed_step.looked_at(facts)
    promised = taller.geared - facts.fastest_geared
    gained = float(taller.reached - facts.result.top.speed[CHOSEN])
    assert gained < 0.25 * promised
    said = re.search(r"promises (\d+) km/h more", answer(facts, 8))[1]
    assert float(said) == pytest.approx(promised * 3.6, abs=0.6)


def test_taller_is_faster_where_power_is_the_limit_only_with_more_power_there(facts):
    """What the answer says, over every pair that is sold; on some bikes it is 7 km/h."""
    sold = facts.bike.sprockets
    conditions, _ = conditions_of(facts.setup)
    rollout, vehicle = facts.result.rollouts[CHOSEN].value, facts.bike.vehicle()
    pairs = [
        (front, rear)
        for front in range(sold.front_sold[0], sold.front_sold[1] + 1)
        for rear in range(sold.rear_sold[0], sold.rear_sold[1] + 1)
    ]
    now, taller = (
        Drive(
            vehicle, conditions, np.array([rear / (front + more) for front, rear in pairs]), rollout
        )
        for more in (0, 1)
    )
    top, top_taller = top_speed(now), top_speed(taller)

    def power_at(drive, case, speed):
        """The most power that any gear of a case gives at a road speed."""
        turns = drive.overall[case, :, 0] * speed / (rollout / (2 * math.pi))
        runs = turns <= drive.limiter_speed.item()
        torque = np.ravel(drive.torque(turns[np.newaxis, :, np.newaxis]))
        return np.max(torque * turns, where=runs, initial=0.0)

    for case in np.flatnonzero(top.limit == Limit.POWER):
        speed = top.speed[case]
        gain = top_taller.speed[case] - speed
        more = power_at(taller, case, speed) - power_at(now, case, speed)
        assert abs(gain) < 1e-3 or (gain > 0) == (more > 0), pairs[case]
    text = answer(facts, 8) + MISCONCEPTIONS[9].true
    assert "more power at that road speed" in text and "little or nothing" not in text


def test_ground_on_which_nothing_goes_is_said():
    facts = facts_of("wagtail-85", slope=0.6, surface="loose-sand")
    assert "No gear holds" in answer(facts, 8) and asked(facts, 8).right == "no"
    assert asked(facts, 7).right == "no" and "never accelerates" in answer(facts, 7)
    assert asked(facts, 10).right == "none" and "too close together" in answer(facts, 10)


def test_slack_is_least_where_the_three_centres_are_in_line(facts):
    slack = slack_over_travel.slack(facts)
    fit = facts.bike.fit
    # Law of cosines: the distance of the sprockets is greatest in line.
    a = math.hypot(fit.shaft_ahead.si, fit.shaft_above.si)
    b = fit.swingarm_length.si
    in_line = math.atan2(-fit.shaft_above.si, fit.shaft_ahead.si)
    assert slack.lowest < in_line < slack.highest
    height = b * (math.sin(in_line) - math.sin(slack.lowest))
    assert slack.tight_height == pytest.approx(height, rel=1e-9)
    assert slack.curves.centre_distance[0].max() == pytest.approx(a + b, rel=1e-9)
    assert asked(facts, 9).right == "it shrinks, then grows"
    said = re.search(r"after (\d+) mm", answer(facts, 9))[1]
    assert float(said) == pytest.approx(height * 1000, abs=0.501)
    assert "bike's own manual" in answer(facts, 9)
    assert "No figure of this lesson is a setting" in answer(facts, 9)


@pytest.mark.parametrize(
    ("measured", "right", "end"),
    [
        ({"axle_below": "0 mm"}, "it grows all the way", "wheel hanging"),
        ({"wheel_travel": "40 mm"}, "it shrinks all the way", "fully compressed"),
    ],
)
def test_nothing_is_in_line_where_the_travel_ends_before(measured, right, end):
    facts = facts_of("bracken-125", measured=measured)
    assert asked(facts, 9).right == right
    text = answer(facts, 9)
    assert end in text.split(",")[0] and "are in line" not in text
    assert STEP[9].figure.view(facts).tightest_label == f"tightest: {end}"
    within = facts_of("bracken-125")
    assert "are in line" in answer(within, 9)
    assert STEP[9].figure.view(within).tightest_label == "tightest: in line"


def test_the_picture_says_measured_only_of_what_was(facts):
    view = STEP[9].figure.view(facts)
    labels = " ".join(map(str, slack_chart.SlackChart(view).layers[1].data["text"]))
    basis = slack_over_travel.slack(facts).basis
    assert basis == "taut" and not view.measured and "measure" not in labels
    told = replace(view, measured=True)
    assert "measure here" in slack_chart.SlackChart(told).layers[1].data["text"]


def test_slack_without_a_swingarm_asks_for_it():
    bike = BIKES["bracken-125"]
    setup = Setup.for_bike("bracken-125", bike).changed(front=12)
    facts = Facts(Lesson(bike, setup), BIKES, Measurements({}))
    assert "has not been measured" in asked(facts, 9).text and "has not been" in answer(facts, 9)
    assert Demonstration(STEP[9], facts, False, print).figure is None


@pytest.mark.parametrize("measure", ["clutch_out", "walking_revs"])
def test_one_option_of_the_trade_off_reaches_the_speed_and_is_best(facts, measure):
    """Chosen by brute force over the table; the options differ clearly in both."""
    facts = facts_of(facts.setup.bike_id, measure=measure)
    pairs, question = facts.result.pairs.tradeoff, asked(facts, 10)
    columns = (pairs.front, pairs.rear, pairs.top_speed * 3.6, pairs.value)
    rows = {
        f"{front}/{rear}": (speed, value)
        for front, rear, speed, value in zip(*map(np.ravel, columns), strict=True)
    }
    [needed] = map(float, re.findall(r"You need a top speed of (\d+) km/h", question.text))
    assert needed % 5 == 0 and 3 <= len(question.options) <= 4
    reach = {each: rows[each] for each in question.options if rows[each][0] >= needed}
    best = max if measure != "clutch_out" else min
    assert question.right == best(reach, key=lambda each: reach[each][1])
    assert len(reach) < len(question.options) and len(reach) >= 2
    speeds = [rows[each][0] for each in question.options]
    assert max(speeds) > 1.05 * min(speeds)
    assert all(abs(speed / needed - 1) > 0.01 for speed in speeds)
    for each in question.options:
        assert f"{each}: {rows[each][0]:.0f} km/h" in answer(facts, 10)


def test_printed_sums_come_out_on_a_pocket_calculator(facts):
    product = r"([\d.]+) \(primary\) × ([\d.]+) \(gear\) × ([\d.]+) \(final\) = ([\d.]+) overall"
    found = re.findall(product, answer(facts, 5))
    assert len(found) == 2
    for *factors, overall in found:
        assert math.prod(map(float, factors)) == pytest.approx(float(overall), abs=0.06)
    before = round(facts.fastest_geared * 3.6)
    [(more, after)] = re.findall(
        r"promises (\d+) km/h more, (\d+) km/h at the rev limit", answer(facts, 8)
    )
    assert before + int(more) == int(after)
    if facts.result.top.limit[CHOSEN] == Limit.POWER:
        assert f"runs {before} km/h" in asked(facts, 8).text
