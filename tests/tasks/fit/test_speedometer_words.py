"""What the fit page says of the speedometer: what the change does, and what was wrong before."""

import pytest

from explorer.tasks.fit import effect_words
from tests.tasks.fit.fit_results import result_of, said


def test_taller_gearing_warns_of_under_reading():
    text = said(effect_words.speedometer_sentences(result_of("&rear=46", pickup="gearbox")))
    assert "you ride faster than it says. Ask your local road authority" in text
    assert "UN Regulation No. 39" in text and "second-hand" in text


@pytest.mark.parametrize(
    ("pair", "units", "said"),
    [
        # 49/13 fitted, so that 53/12 shows 17.2 % more: 82 km/h, against 70 × 1.1 + 4 = 81.
        (
            "front=13&rear=52",
            "metric",
            "70 km/h a new vehicle may show 70 to 81 km/h; yours is within",
        ),
        (
            "front=12&rear=53",
            "metric",
            "70 km/h a new vehicle may show 70 to 81 km/h; yours shows 82",
        ),
        (
            "front=12&rear=53",
            "imperial",
            "43 mph a new vehicle may show 43 to 50 mph; yours shows 51",
        ),
    ],
)
def test_the_range_of_the_approval_rule_is_said_in_speeds(pair, units, said):
    """UN Regulation No. 39, 5.3 (second-hand): 0 ≤ V1 − V2 ≤ 0.1 V2 + 4 km/h."""
    result = result_of(f"&{pair}&units={units}", pickup="gearbox")
    sentences = effect_words.speedometer_sentences(result)
    assert any(each.startswith(f"At a true {said}") for each in sentences), sentences


def speedometer(query, pickup, before):
    result = result_of(query, "bracken-125", pickup=pickup, speedometer_before=before)
    return effect_words.speedometer_sentences(result)


def test_an_error_put_right_by_the_change_is_no_change_of_nothing():
    effect, reading, *more = speedometer("&front=14&rear=50", "gearbox", "1.077")
    assert effect == ("Driven from the gearbox: the change alters what it shows by −7.1 %.")
    assert reading == ("After the change it shows the true speed, before the change +7.7 %.")
    assert "odometer" in more[0] and "yours is within" in more[1]


def test_a_reading_put_right_but_for_rounding_is_not_called_too_low():
    text = said(speedometer("&front=14&rear=50", "gearbox", "1.0769"))
    assert "shows the true speed" in text and "yours is within" in text
    assert "less than the true speed" not in text


def test_an_error_from_before_is_not_laid_at_the_change():
    effect, reading, *more = speedometer("&rear=52", "rear wheel", "1.05")
    assert effect == ("Driven from the rear wheel: the change does not alter what it shows.")
    assert reading.startswith("It still shows +5.0 % against the true speed. At a true")
    assert "odometer" not in said(more)


def test_an_error_from_before_and_that_of_the_change_are_told_apart():
    effect, reading, *_ = speedometer("&rear=52", "gearbox", "1.05")
    assert "alters what it shows by +4.0 %" in effect
    assert "+9.2 % against the true speed, before the change +5.0 %." in reading


def test_an_unknown_pickup_is_asked_for():
    assert effect_words.speedometer_sentences(result_of("", pickup=""))[0].startswith("Where is")
