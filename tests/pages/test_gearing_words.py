"""What the page says: the truths it must keep, and the false statements it must never make."""

import pytest

from explorer.pages import gearing_words as words
from explorer.pages.gearing_result import compute
from explorer.records.bike_library import demo_bikes
from explorer.records.setup import Setup

BIKES = dict(demo_bikes())


def result_of(bike_id="bracken-125", bike=None, **changes):
    bike = bike or BIKES[bike_id]
    return compute(bike, Setup.for_bike(bike_id, bike).changed(**changes))


def everything(result):
    return " ".join(
        [
            words.pair_sentence(result),
            *words.comparison(result),
            *words.top_speed_sentences(result),
            *words.ground_sentences(result),
            *words.tooth_sentences(result),
            words.speedometer_sentence(result),
            *words.rollout_sentences(result),
            words.air_sentence(result),
        ]
    )


def test_pull_and_speed_are_never_the_same_number():
    """Truth: pull changes by R2/R1 - 1, speed by R1/R2 - 1 (definition): 13/50 to 12/50."""
    text = " ".join(words.comparison(result_of(front=12)))
    assert "Shorter" in text and "+8.3 %" in text and "−7.7 %" in text
    assert "no more power" in text


@pytest.mark.parametrize(
    ("change", "word"),
    [({"front": 14}, "Taller"), ({"front": 12}, "Shorter"), ({"rear": 48}, "Taller"),
     ({"rear": 53}, "Shorter")],
)  # fmt: skip
def test_taller_and_shorter(change, word):
    """Fewer front or more rear teeth is shorter: trade vocabulary, common practice, no source."""
    assert words.comparison(result_of(**change))[0].startswith(word)


def test_a_smaller_tyre_is_shorter_gearing():
    assert words.comparison(result_of(rollout=1.9))[0].startswith("Shorter")


def test_nothing_changed_is_said():
    assert "do not change" in words.comparison(result_of())[0]


def test_a_power_limited_bike_is_not_sold_taller_gearing():
    """Truth: a geared speed is not a top speed."""
    text = " ".join(words.top_speed_sentences(result_of(front=16)))
    assert "limited by power" in text and "would not make it faster" in text
    assert "The fastest gear is 4th" in text or "The fastest gear is 3rd" in text


def test_a_short_gearing_runs_into_the_rev_limit():
    text = " ".join(words.top_speed_sentences(result_of(front=10, rear=60)))
    assert "limited by the rev limit" in text and "would not" not in text


def test_front_tooth_in_rear_teeth_is_this_bikes_own():
    """Rear/(front - 1): 50/12 = 4.2, and 50/14 = 3.6 (definition)."""
    text = " ".join(words.tooth_sentences(result_of()))
    assert "4.2 rear teeth more" in text and "3.6 rear teeth fewer" in text


@pytest.mark.parametrize(
    ("pickup", "front", "said"),
    [
        ("gearbox", 14, "under-reads"),
        ("gearbox", 12, "over-reads"),
        ("front wheel", 12, "don't alter it"),
        ("unknown", 12, "where is its pickup?"),
    ],
)
def test_speedometer(pickup, front, said):
    bike = BIKES["bracken-125"].with_changes({"speedometer.pickup": pickup})
    assert said in words.speedometer_sentence(result_of(bike=bike, front=front))


def test_under_reading_points_to_the_law():
    assert "check the law" in words.speedometer_sentence(result_of(front=14))


def test_the_roll_out_in_use_is_named():
    assert "computed from the size" in " ".join(words.rollout_sentences(result_of()))
    assert "measured" in " ".join(words.rollout_sentences(result_of(rollout=2.01)))


def test_thin_air_outside_the_rule_is_said():
    assert "rough guide" in words.air_sentence(result_of(altitude=2500.0))


FALSE_STATEMENTS = (
    "more rear teeth raise top speed",
    "smaller front or larger rear boosts speed",
    "larger front or smaller rear shortens",
    "adds power",
    "more power to the wheel",
)
"""Statements found in print that are wrong; own wording."""


@pytest.mark.parametrize("change", [{"front": 10}, {"front": 17}, {"rear": 38}, {"rear": 68}])
def test_no_false_statement_is_made(change):
    text = everything(result_of(**change)).lower()
    assert not any(statement in text for statement in FALSE_STATEMENTS)
    if change in ({"front": 10}, {"rear": 68}):
        assert "taller gearing:" not in text
    else:
        assert "shorter gearing:" not in text
