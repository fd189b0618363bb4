"""The chain is tightest where output shaft and axle are farthest apart."""

import numpy as np
import pytest

from explorer.study.study import FITTED
from explorer.tasks.lesson.steps import slack_over_travel
from tests.tasks.lesson.lesson_checks import NUMBER, by_definition, value

STEP = 9


def tightest_in_line(facts, said):
    fit = facts.measured
    slack = slack_over_travel.slack(facts)
    centres = slack.curves.centre_distance[FITTED]
    there = float(np.interp(value(said[1]) / 1000, slack.heights, centres))
    assert there == pytest.approx(centres.max(), rel=1e-4) and fit is not None
    ends = centres[0], centres[-1]
    assert max(ends) < centres.max()


def tightest_at_an_end(facts, said):
    centres = slack_over_travel.slack(facts).curves.centre_distance[FITTED]
    assert centres.argmax() in (
        (0, 1) if "hanging" in said[1] else (-1, centres.size - 1, centres.size - 2)
    )


def slack_changes(facts, _):
    slack = slack_over_travel.slack(facts)
    if slack is not None:
        assert np.ptp(slack.curves.centre_distance[FITTED]) > 1e-4


def not_measured(facts, _):
    assert slack_over_travel.slack(facts) is None


CLAIMS = [
    (r"The rear wheel moves up, from hanging to fully compressed\. .*", by_definition),
    (rf"Tightest after {NUMBER} mm of travel: .*in line\.", tightest_in_line),
    (r"Tightest (with the wheel hanging|fully compressed)\.", tightest_at_an_end),
    (r"The swingarm of this bike has not been measured\.", not_measured),
    (r"Slack changes with travel: set it as your manual says\.", slack_changes),
    (r"The chain is tightest where output shaft, pivot and axle are nearest .*", slack_changes),
    (r"Slack is set by the bike's own manual, .*", by_definition),
    (r"No figure of this lesson is a setting\.", by_definition),
    (
        r"Slack without its place and the state of the suspension says nothing: .*",
        slack_changes,
    ),
    (r"The loop is tightest where all three pins are in line\.", by_definition),
]
