"""What the stage says, as claims checked over the demo bikes and fifty drawn ones.

Each claim is worked out by definition (moments about an axle, ratios, P = F·v) or compared with the
computed curves; a definition needs no outside source.
"""

import random
import re

import numpy as np
import pytest

from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.setup import Setup
from explorer.study.study import CHOSEN
from explorer.tasks.lesson.facts import Facts
from explorer.tasks.lesson.link import CHALLENGE, RUN, SMALL_FRONT
from explorer.tasks.lesson.state import Lesson, LessonState, starting_pair
from explorer.tasks.lesson.steps import STEPS

BIKES = dict(demo_bikes())


def drawn(seed):
    """A demo bike with other gears, primary reduction, sprockets and ground."""
    chance = random.Random(seed)
    bike_id = chance.choice(list(BIKES))
    gears = [chance.uniform(2.0, 3.2)]
    gears += [gears[0] * 0.75**each for each in range(1, chance.randint(1, 6))]
    bike = BIKES[bike_id].with_changes(
        {
            "gearbox.ratios": ", ".join(f"{each:.2f}" for each in gears),
            "gearbox.primary": f"{chance.uniform(2.4, 3.6):.2f}",
        }
    )
    changes = starting_pair(bike) | {"slope": chance.choice((0.0, 0.0, 0.1)), "roll_gear": 1}
    return Facts(
        Lesson(bike, Setup.for_bike(bike_id, bike).changed(**changes)),
        BIKES,
        Measurements.for_bike(bike),
    )


def demo(bike_id):
    bike = BIKES[bike_id]
    setup = Setup.for_bike(bike_id, bike).changed(**starting_pair(bike))
    return Facts(Lesson(bike, setup), BIKES, Measurements.for_bike(bike))


@pytest.fixture(params=[*BIKES, *range(50)], scope="module")
def facts(request):
    return demo(request.param) if isinstance(request.param, str) else drawn(request.param)


def seen(facts, number):
    return " ".join(STEPS[number - 1].seen(facts))


def printed(text):
    return [float(each) for each in re.findall(r"(?<![\w.])\d+(?:\.\d+)?", text)]


def test_every_step_asks_and_answers(facts):
    for step in STEPS:
        asked = step.ask(facts)
        assert asked.text and all(step.seen(facts)) and all(step.answer(facts))
        assert not asked.options or asked.right in (*asked.options, "")
        said = f"{asked.text} {asked.right} {seen(facts, step.number)}"
        assert not re.search(r"\b(?:nan|inf)\b", said)


def test_the_moments_about_the_axle_are_equal(facts):
    tension, arm, pull, radius = printed(seen(facts, 1))
    assert tension * arm == pytest.approx(pull * radius, rel=0.02)
    assert STEPS[0].ask(facts).right == "less hard than the chain" and pull < tension


def test_one_front_tooth_counts_like_several(facts):
    sprockets = facts.bike.sprockets
    assert printed(seen(facts, 2))[2] == round(sprockets.rear / (sprockets.front - 1), 1) >= 2


def test_pull_and_speed_are_never_the_same_percentage(facts):
    pull, speed = printed(seen(facts, 3))[-2:]
    assert (
        pull != speed and (1 + pull / 100) * (1 - speed / 100) == pytest.approx(1, abs=2e-3)
    ) or ((1 - pull / 100) * (1 + speed / 100) == pytest.approx(1, abs=2e-3))


def test_the_gear_with_most_power_pulls_hardest(facts):
    here = facts.at_one_speed
    if here.gears.size:
        assert np.argmax(here.pull) == np.argmax(here.power)


def test_at_the_shift_the_next_gear_pulls_less_and_accelerates_as_hard(facts):
    """Said only where it is so: not at the rev limit, and where there is a next gear."""
    shift = facts.shift
    if shift is None or not shift.taken or shift.at_limit:
        assert "accelerates as hard" not in seen(facts, 7)
        return
    curves = zip(facts.result.road_speed[CHOSEN], facts.result.engine_pull[CHOSEN], strict=True)
    pulls = [np.interp(shift.road_speed, speed, pull) for speed, pull in curves]
    assert "accelerates as hard" in seen(facts, 7)
    assert pulls[shift.gear] < pulls[shift.gear - 1] * 1.001


def test_the_top_speed_is_within_what_the_rev_limit_allows(facts):
    top = facts.result.top
    if top.limit[CHOSEN] == Limit.CANNOT_HOLD:
        return
    assert top.speed[CHOSEN] <= facts.limiter_speeds[CHOSEN].max() * (1 + 1e-9)
    assert "The limit is" in seen(facts, 8) or "no gear holds" in seen(facts, 8)


def test_a_trade_off_is_asked_about_only_where_one_pair_alone_is_right(facts):
    asked = STEPS[9].ask(facts)
    if facts.need is None:
        assert asked.options == ("none",) and "too close together" in seen(facts, 10)
        return
    reach = [each for each in facts.need.options if each[2] >= facts.need.speed]
    assert len(reach) < len(facts.need.options)
    assert min(reach, key=lambda each: each[3]) == facts.need.options[facts.need.right]
    speeds = [each[2] for each in facts.need.options]
    assert max(speeds) > 1.05 * min(speeds) and len(asked.options) == len(speeds) >= 3


def test_every_idea_shows_on_the_bike_that_the_lesson_begins_with():
    """Chosen for teaching: the page opens with it, and says that it is invented."""
    state, slips = LessonState.from_link("", BIKES)
    assert not slips and state.bike.provenance == "invented"
    facts = Facts(state.lesson, BIKES, state.lesson.measurements)
    sprockets = state.bike.sprockets
    assert (state.setup.front, state.setup.rear) == (sprockets.front, sprockets.rear + 4)
    here, shift, slack = facts.at_one_speed, facts.shift, facts.slack
    assert len(here.gears) >= 4 and np.argmax(here.power) != np.argmax(here.torque)
    assert shift.taken and not shift.at_limit and len(STEPS[6].ask(facts).options) >= 3
    # Power is the limit, and one front tooth more gains less than 2 of the promised 8 %.
    assert facts.result.top.limit[CHOSEN] == Limit.POWER
    assert facts.result.top.speed[CHOSEN] < 0.96 * facts.fastest_geared
    assert facts.taller[2].speed[0] < 1.02 * facts.result.top.speed[CHOSEN]
    assert slack.lowest < slack.tightest < slack.highest
    values = [each[3] for each in facts.need.options]
    assert len(values) == 4 and max(values) > 1.5 * min(values)


def test_one_sprocket_of_the_challenge_is_enough(facts):
    """By definition: engine speed at one road speed goes with the ratio."""
    asked = STEPS[CHALLENGE - 1].ask(facts)
    if not asked.options:
        assert "take another" in asked.text
        return
    now, wanted = (
        float(each.replace("\u202f", "")) for each in re.findall(r"([\d\u202f]+) rpm", asked.text)
    )
    sprockets = facts.bike.sprockets
    fitted = sprockets.rear / sprockets.front
    enough = []
    for option in asked.options:
        front, rear = map(int, option.split("/"))
        assert (front == sprockets.front) != (rear == sprockets.rear), "one sprocket to buy"
        if rear / front / fitted * now <= wanted * 1.001:
            enough.append(option)
    assert enough == [asked.right] and len(asked.options) >= 2
    assert asked.right in seen(facts, CHALLENGE)


def test_the_run_names_who_is_ahead(facts):
    asked = STEPS[RUN - 1].ask(facts)
    here, fitted, chosen = (printed(seen(facts, RUN).split(".")[0])[each] for each in (0, 3, 6))
    assert here == 5
    if asked.right != "side by side":
        assert asked.right == asked.options[int(chosen > fitted)]
    else:
        assert abs(chosen - fitted) <= 3


def test_fewer_front_teeth_bend_the_chain_further(facts):
    front = facts.bike.sprockets.front
    before, after = printed(seen(facts, SMALL_FRONT))[:2]
    assert after > before == pytest.approx(360 / front, abs=0.06)
    assert STEPS[SMALL_FRONT - 1].ask(facts).value == pytest.approx((front / (front - 1) - 1) * 100)
