"""One front tooth against several at the rear: rear ÷ (front − 1)."""

import pytest

from tests.tasks.lesson.lesson_checks import (
    NUMBER,
    bends_further,
    by_definition,
    near,
    no_more_power,
    rear_for_front,
)

STEP = 2


def division(facts, said):
    sprockets = facts.bike.sprockets
    assert (int(said[1]), int(said[2])) == (sprockets.rear, sprockets.front)
    assert near(said[3], sprockets.rear / (sprockets.front - 1))
    # So many rear teeth more do what one front tooth fewer does.
    there = (sprockets.rear + rear_for_front(facts)) / sprockets.front
    assert there == pytest.approx(sprockets.rear / (sprockets.front - 1))


def tooth_by_tooth(facts, said):
    sprockets = facts.bike.sprockets
    assert near(said[1], (sprockets.front / (sprockets.front - 1) - 1) * 100)
    assert near(said[2], 100 / sprockets.rear)


def several(facts, _):
    assert rear_for_front(facts) >= 2


def three_to_five(facts, _):
    """ "On most bikes": not of this one."""
    assert 2 < rear_for_front(facts) < 7


def division_rule(facts, _):
    """So many rear teeth more make the ratio of one front tooth fewer."""
    sprockets = facts.bike.sprockets
    more = (sprockets.rear + rear_for_front(facts)) / sprockets.front
    assert more == pytest.approx(sprockets.rear / (sprockets.front - 1))


def same_ratio(*_):
    assert 52 / 13 == 48 / 12


CLAIMS = [
    (r"Fitted is \d+/\d+\. How many rear teeth more would do as much as .*", by_definition),
    (rf"(\d+) ÷ \((\d+) − 1\) = {NUMBER}\.", division),
    (
        rf"One front tooth fewer: pull {NUMBER} %\. One rear tooth more: {NUMBER} %\.",
        tooth_by_tooth,
    ),
    (r"A small front sprocket bends the chain more sharply: it wears sooner\.", bends_further),
    (r"One tooth in front counts like several at the rear\.", several),
    (r"Rear teeth for one front tooth fewer: rear ÷ \(front − 1\)\.", division_rule),
    (r"The front is coarse and cheap, the rear fine\.", several),
    (r"Fewer in front or more at the rear is shorter\.", no_more_power),
    (
        r"Gearing up, or taller, is fewer teeth at the rear or more at the front\.",
        no_more_power,
    ),
    (r"More at the rear is gearing down, or shorter\.", no_more_power),
    (r"It is rear ÷ \(front − 1\) for one tooth fewer, on most .* five\.", three_to_five),
    (r"Each link bends further on it and the chain runs less evenly, .*", bends_further),
    (r"The ratio is the same for 13/52 and 12/48; wrap and axle place are not\.", same_ratio),
]
