"""Fewer revs at one speed with one sprocket: overall ratio × speed ÷ roll-out."""

import re

from explorer.study.study import FITTED
from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    PAIR,
    by_definition,
    near,
    overall,
    ratio,
    turn,
    value,
)
from tests.tasks.lesson.lesson_facts import asked

STEP = 14


def now_and_wanted(facts):
    """Engine speeds of the question [rpm]."""
    text = asked(facts, STEP).text
    return tuple(map(value, re.findall(rf"{NUMBER} rpm", text)))


def enough(facts, said):
    """Engine speed = overall ratio × road speed ÷ roll-out."""
    found = re.findall(rf"(\d+)/(\d+), {NUMBER} rpm", said[1])
    for front, rear, rpm in found:
        there = overall(facts.bike, int(rear) / int(front))[-1] / turn(facts) * 70 / 3.6 * 60
        assert near(rpm, there)
        assert value(rpm) < now_and_wanted(facts)[1]
    assert found and said[1].count("/") == len(found)


def its_price(facts, said):
    final = int(said[2]) / int(said[1])
    assert near(said[3], (final / ratio(facts, FITTED) - 1) * 100) and value(said[3]) < 0


def challenge_asked(facts, said):
    sprockets = facts.bike.sprockets
    assert (int(said[1]), int(said[2])) == (sprockets.front, sprockets.rear)
    now, wanted = value(said[3]), value(said[4])
    assert near(said[3], overall(facts.bike, ratio(facts, FITTED))[-1] / turn(facts) * 70 * 50 / 3)
    question, enough = asked(facts, STEP), []
    for option in question.options:
        front, rear = map(int, option.split("/"))
        assert (front == sprockets.front) != (rear == sprockets.rear), "one sprocket to buy"
        rpm = rear / front / ratio(facts, FITTED) * now
        assert abs(rpm / wanted - 1) > 0.009, "as good as the limit itself"
        if rpm < wanted:
            enough.append(option)
    assert enough == [question.right] and len(question.options) >= 2


def no_challenge(facts, _):
    """Top gear does not hold that speed, or no pair that is sold lowers the revs enough."""
    sprockets = facts.bike.sprockets
    lowest = min(sprockets.rear_sold[0] / sprockets.front, sprockets.rear / sprockets.front_sold[1])
    now, least = (
        overall(facts.bike, each)[-1] / turn(facts) * 70 / 3.6 * 60
        for each in (ratio(facts, FITTED), lowest)
    )
    slow = not facts.result.top.speed[FITTED] >= 70 / 3.6
    assert slow or least > now * 0.97 // 500 * 500 * 0.99


CLAIMS = [
    (
        rf"{PAIR} at 70 km/h in top gear: {NUMBER} rpm\. You want less than {NUMBER} rpm .*",
        challenge_asked,
    ),
    (r"No single sprocket (?:is a challenge|does it) on this bike.*", no_challenge),
    (r"Enough: (.*)\.", enough),
    (rf"Price of {PAIR}: {NUMBER} % pull at the same rpm\.", its_price),
    (r"Say the speed and the revs: the ratio follows\.", by_definition),
]
