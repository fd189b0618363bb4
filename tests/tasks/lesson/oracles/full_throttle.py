"""Two pairs from rest at full throttle: the ways of both after the same time."""

import numpy as np
import pytest

from explorer.study.study import CHOSEN, FITTED
from explorer.study.table import RUN_TIMES
from explorer.tasks.lesson.steps import full_throttle
from tests.tasks.lesson.lesson_checks import NUMBER, PAIR, WHERE, by_definition, near, ratio, value
from tests.tasks.lesson.lesson_facts import asked

STEP = 12


def ran(facts, said):
    at = np.flatnonzero(np.isclose(RUN_TIMES, value(said[1])))[0]
    ways = full_throttle.run(facts)["run_distance"][:, at]
    for text, way in zip(said.groups()[1:], ways, strict=True):
        assert near(text, float(way))


def who_is_ahead(facts, said):
    at = np.isclose(RUN_TIMES, value(said[5])).argmax()
    fitted, chosen = full_throttle.run(facts)["run_distance"][:, at]
    question = asked(facts, STEP)
    if question.right == "less than 2 m apart":
        assert abs(fitted - chosen) < 2
    else:
        assert question.right == question.options[int(chosen > fitted)]
        assert abs(fitted - chosen) >= 2


def louder_not_faster(facts, _):
    """At one road speed the shorter pair turns more, and is not ahead by that alone."""
    assert (ratio(facts, CHOSEN) > ratio(facts, FITTED)) == (
        facts.result.limiter_speeds[CHOSEN, 0] < facts.result.limiter_speeds[FITTED, 0]
    )


def start_alike(facts, _):
    assert full_throttle.run(facts)["run_distance"][:, 0] == pytest.approx([0.0, 0.0], abs=0.1)


CLAIMS = [
    (
        rf"{PAIR} and {PAIR} from rest, full throttle \({WHERE}\)\. Who is ahead after {NUMBER}"
        r" s\?",
        who_is_ahead,
    ),
    (rf"After {NUMBER} s: \d+/\d+ {NUMBER} m, \d+/\d+ {NUMBER} m\.", ran),
    (r"The louder run is not always the faster one\.", louder_not_faster),
    (r"Both start alike and change up at their own best points\.", start_alike),
    (r"Shorter gearing gains only where the engine is the limit, .*", by_definition),
]
