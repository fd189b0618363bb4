"""The pair of the bike itself, and what one tooth does there."""

from tests.tasks.lesson.lesson_checks import NUMBER, PAIR, by_definition, near

STEP = 15


def own_said(facts, said):
    front, rear = int(said[1]), int(said[2])
    assert (front, rear) == facts.lesson.place.own and near(said[3], rear / front)
    assert near(said[4], (front / (front - 1) - 1) * 100) and near(said[5], rear / (front - 1))
    assert near(said[6], 100 / rear)


CLAIMS = [
    (r"On paper: one thing to remember, one change for your bike, its price\.", by_definition),
    (
        rf"{PAIR}: {NUMBER}\. One front tooth fewer: {NUMBER} % pull, as much as {NUMBER} rear "
        rf"teeth more\. One rear tooth more: {NUMBER} %\.",
        own_said,
    ),
    (r"Change one thing at a time, then measure\.", by_definition),
]
