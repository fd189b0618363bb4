"""What a small front sprocket costs the chain: bend, circle, evenness."""

import math

import pytest

from explorer.study.study import CHOSEN
from explorer.tasks.lesson.steps import lever
from tests.tasks.lesson.lesson_checks import NUMBER, bends_further, near, turn, value

STEP = 11


def bend_said(facts, said):
    front = facts.bike.sprockets.front
    assert near(said[1], 360 / front) and near(said[2], 360 / (front - 1))
    assert value(said[2]) > value(said[1])


def no_harder_pull(facts, _):
    """Chain force = moment about the axle ÷ rear pitch radius, whatever the front sprocket is."""
    found = lever.arms(facts)
    moment = found.pull[CHOSEN] * turn(facts) / 2 / math.pi
    assert found.tension[CHOSEN] == pytest.approx(moment / found.rear_radius[CHOSEN])


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


CLAIMS = [
    (r"From (\d+) to (\d+) front teeth: by how many per cent does each link .*", bend_asked),
    (rf"{NUMBER}° become {NUMBER}°: chain and sprocket wear faster\.", bend_said),
    (r"The chain also runs nearer to its slider and guide\.", smaller_circle),
    (r"A small front sprocket is cheap to buy; the chain pays\.", bends_further),
    (r"A chain lies on a sprocket as a polygon: the fewer teeth, .*", less_even),
    (r"At the same pull of the tyre the chain is pulled no harder, .*", no_harder_pull),
]
