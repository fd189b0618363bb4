"""What the page says: the truths it must keep, and the false statements it must never make."""

import numpy as np
import pytest

from explorer.app.gearing_views import tradeoff_view
from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.fitting.fit import Measurements
from explorer.records.setups.link import MINE, encode
from explorer.records.setups.setup import Setup
from explorer.study.study import CHOSEN, Study
from explorer.tasks.bench.page import GearingPage, _in_words
from explorer.tasks.gearing import figures as gearing_figures
from explorer.tasks.gearing import words

BIKES = dict(demo_bikes())


def result_of(bike_id="bracken-125", bike=None, **changes):
    bike = bike or BIKES[bike_id]
    # The grip of a road tread on dirt, so that the ground binds in these cases.
    changes = {"tyre_kind": "road", "measure": "time_to_speed"} | changes
    return Study.of(bike, Setup.for_bike(bike_id, bike).changed(**changes))


def everything(result):
    return " ".join(
        [
            words.pair_sentence(result),
            *words.comparison(result),
            *words.top_speed_sentences(result),
            *words.ground_sentences(result),
            *words.tooth_sentences(result),
            words.speedometer_sentence(result, result.bike.speedometer.pickup),
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
    assert words.comparison(result_of(tyre="90/100-16"))[0].startswith("Shorter")


def test_what_the_ground_holds_back_is_not_said_to_grow():
    """In first gear the demo's bike spins its tyre on forest soil, with any pair."""
    said = everything(result_of(front=12, rear=50))
    assert "pull at the same rpm +8.3 %" in said
    assert "In gears where the tyre already spins, the change adds no usable pull." in said


def test_gears_that_are_equally_fast_are_said_to_be():
    """On wet grass grip sets the speed, and several gears reach it."""
    result = result_of("fogbank-650", surface="wet-grass", rear=44)
    assert result.top.by_gear[CHOSEN, -1] == pytest.approx(result.top.speed[CHOSEN], rel=1e-4)
    said = " ".join(words.top_speed_sentences(result))
    assert "5th is as fast, at fewer revolutions" in said and "slower" not in said
    # The lowest of them, whatever the solver's last digits.
    gears = {
        int(result_of("fogbank-650", surface="wet-grass", rear=rear).top.gear[CHOSEN])
        for rear in (43, 44, 45)
    }
    assert gears == {1}


def test_nothing_changed_is_said():
    assert "do not change" in words.comparison(result_of())[0]


def test_a_power_limited_bike_is_not_sold_taller_gearing():
    """Truth: a geared speed is not a top speed."""
    text = " ".join(words.top_speed_sentences(result_of(front=16)))
    assert "limited by power" in text and "would not make it noticeably faster" in text
    assert "The fastest gear is 4th" in text or "The fastest gear is 3rd" in text


@pytest.mark.parametrize(
    ("bike_id", "changes", "now", "faster"),
    [
        ("marram-250", {"surface": "forest-soil", "slope": 0.05}, 120, (15, 44, 138)),
        ("sleet-450", {"surface": "dry-asphalt", "slope": 0.1}, 141, (15, 46, 153)),
        (
            "wagtail-85",
            {"surface": "dry-asphalt", "slope": 0.15, "head_wind": 20 / 3.6},
            99,
            (15, 46, 108),
        ),
    ],
)
def test_out_of_power_past_its_peak_taller_is_faster(bike_id, changes, now, faster):
    """Past the power peak a taller pair turns the engine slower, where it gives more power.

    The pair named is put on the bike, and nothing else is faster than what is said of it.
    """
    result = result_of(bike_id, **changes)
    text = " ".join(words.top_speed_sentences(result))
    front, rear, speed = faster
    assert f"{now} km/h" in text and "limited by power" in text
    assert "past the engine's power peak. Taller gearing can still be faster" in text
    assert f"up to about {speed} km/h with {front}/{rear}" in text and "would not" not in text
    then = result_of(bike_id, front=front, rear=rear, **changes)
    assert then.top.speed[CHOSEN] * 3.6 == pytest.approx(speed, abs=0.8)
    assert result.pairs.tradeoff.top_speed.max() * 3.6 == pytest.approx(speed, abs=0.5)


@pytest.mark.parametrize("bike_id", BIKES)
@pytest.mark.parametrize("slope", [0.0, 0.05, 0.1, 0.3])
@pytest.mark.parametrize("head_wind", [0.0, 6.0])
def test_taller_is_called_faster_exactly_where_a_sold_pair_is(bike_id, slope, head_wind):
    """Against the speeds of all pairs; one and a half per cent is what nobody notices."""
    result = result_of(bike_id, surface="dry-asphalt", slope=slope, head_wind=head_wind)
    text = " ".join(words.top_speed_sentences(result))
    pairs, here = result.pairs.tradeoff, float(result.top.speed[CHOSEN])
    taller = pairs.rear / pairs.front < result.setup.rear / result.setup.front
    gain = pairs.top_speed[taller].max() / here - 1
    by_power = result.top.limit[CHOSEN] == Limit.POWER
    assert ("can still be faster" in text) == (by_power and gain > 0.015)
    assert ("would not make it noticeably faster" in text) == (by_power and gain <= 0.015)


def test_a_gain_of_one_in_a_hundred_is_not_sold():
    """The 650 on level asphalt: 148.4 km/h, and 150.0 with the best pair of all."""
    text = " ".join(words.top_speed_sentences(result_of("fogbank-650", surface="dry-asphalt")))
    assert "would not make it noticeably faster" in text and "can still" not in text


def test_pairs_that_are_equally_fast_name_the_smallest_change():
    """Many pairs bring some gear to the peak, within half a per cent; 15/50 is nearest."""
    result = result_of(surface="dry-asphalt", slope=0.1)
    assert "81 km/h with 15/50" in " ".join(words.top_speed_sentences(result))
    far = result_of(front=15, rear=41, surface="dry-asphalt", slope=0.1)
    assert far.top.speed[CHOSEN] == pytest.approx(result.pairs.tradeoff.top_speed.max(), rel=5e-3)


def test_where_nothing_taller_is_sold_nothing_is_said_of_it():
    text = " ".join(words.top_speed_sentences(result_of(front=17, rear=38)))
    assert "no taller gearing is sold for it" in text
    assert "would not make" not in text and "can still be" not in text


NO_HOLD = {"surface": "loose-sand", "slope": 0.3, "front": 16}
ONLY_FITTED_HOLDS = {"surface": "wet-grass", "slope": 0.05, "front": 17}


@pytest.mark.parametrize(
    ("changes", "tile", "row", "difference"),
    [
        (
            NO_HOLD,
            ("no steady speed", "no gear holds one here; fitted no steady speed"),
            ("no steady speed", "no steady speed", "–"),
            "Top speed: with either gearing no gear holds a steady speed here.",
        ),
        (
            ONLY_FITTED_HOLDS,
            ("no steady speed", "no gear holds one here; fitted 10 km/h (0\xa0to\xa060)"),
            ("10 km/h (0\xa0to\xa060)", "no steady speed", "–"),
            "Top speed: with the chosen gearing no gear holds a steady speed here.",
        ),
    ],
)
def test_no_steady_speed_is_not_a_top_speed_of_nothing(changes, tile, row, difference):
    """Where no gear holds a speed the top speed of 0 is no speed, and no difference to one."""
    result = result_of(**changes)
    assert words.headline(result)[3] == tile
    assert next(each for each in gearing_figures.rows(result) if each[0] == "Top speed")[1:] == row
    assert difference in words.certainty_sentences(result)
    assert result.top.limit[CHOSEN] == Limit.CANNOT_HOLD


def test_the_fitted_gearing_that_holds_no_speed_is_said_to():
    bike = BIKES["bracken-125"].with_changes({"sprockets.front": "17"})
    result = result_of(bike=bike, surface="wet-grass", slope=0.05, front=13)
    assert words.headline(result)[3][1].endswith("; fitted no steady speed")
    said = "Top speed: with the fitted gearing no gear holds a steady speed here."
    assert said in words.certainty_sentences(result)


@pytest.mark.parametrize("bike_id", BIKES)
@pytest.mark.parametrize("measure", ["walking_pull", "time_to_speed", "steepest_slope"])
def test_bands_of_the_trade_off_are_plain_numbers(bike_id, measure):
    """No "3.6e+02 N": a rounded band is a number that can be read out, and it is the right one."""
    result = result_of(bike_id, measure=measure)
    notes = tradeoff_view(result, Measurements.for_bike(BIKES[bike_id])).notes
    assert not [note for note in notes if "e+" in note or "nan" in note]
    (below, above), pulls = result.pairs.bands[1], result.pairs.tradeoff.value.ravel()
    for note, pull, down, up in zip(notes, pulls, below, above, strict=True):
        if np.isfinite(down) and measure == "walking_pull" and down + up > 1:
            low, _, high = note.partition(" and ")[2].partition(" N")[0].partition(" to ")
            near = 0.26 * max(up, down) + 1
            assert float(low) == pytest.approx(pull - down, abs=near)
            assert float(high or low) == pytest.approx(pull + up, abs=near)


def test_a_short_gearing_runs_into_the_rev_limit():
    text = " ".join(words.top_speed_sentences(result_of(front=10, rear=60)))
    assert "limited by the rev limit" in text and "would not" not in text


def test_front_tooth_in_rear_teeth_is_this_bikes_own():
    """Rear/(front - 1): 50/12 = 4.2, and 50/14 = 3.6 (definition)."""
    text = " ".join(words.tooth_sentences(result_of()))
    assert "≈ 4.2 more at the rear" in text and "≈ 3.6 fewer at the rear" in text


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
    given = Measurements.for_bike(bike).get("pickup")
    assert said in words.speedometer_sentence(result_of(bike=bike, front=front), given)


def test_the_bench_knows_the_pickup_that_was_chosen_on_the_fit_page():
    """One value in one place: the link says it, and the bike file does only where the link is
    silent."""
    bike = BIKES["bracken-125"].with_changes({"speedometer.pickup": "unknown"})
    page = GearingPage(encode(Setup.for_bike(MINE, bike).changed(front=12), bike, bike))
    for pickup, said in (
        ("", "where is its pickup?"),
        ("gearbox", "it now reads 8.3 % higher than before the change"),
        ("satellite", "sprockets and tyres don't alter it"),
    ):
        page.follow(page.state.link + (f"&fit.pickup={pickup}" if pickup else ""))
        [sentence] = [each for each in _in_words(page.result) if each.startswith("Speedometer")]
        assert said in sentence
        page.follow(encode(page.state.setup, bike, bike))


def test_under_reading_points_to_the_law():
    assert "check the law" in words.speedometer_sentence(result_of(front=14), "gearbox")


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


@pytest.mark.parametrize(
    ("target", "said"),
    [(60, "against fitted, with one gear change more."), (50, ") against fitted.")],
)
def test_a_time_that_hangs_on_a_gear_change_says_so(target, said):
    """With 12 teeth in front the bike needs one change more before 60 km/h and loses by it; before
    50 km/h it needs as many, and what differs is the gearing's own. The change is counted here by
    the exit speeds of the shift points."""
    result = result_of(front=12, measure="time_to_speed", target_speed=target / 3.6,
                       surface="hard-packed-gravel")  # fmt: skip
    counted = (result.shifts.shifts_up & (result.shifts.exit_speed < target / 3.6)).sum(axis=1)
    assert (counted[CHOSEN] > counted[0]) == (target == 60)
    sentence = words.certainty_sentences(result)[1]
    assert sentence.endswith(said)
    assert ("+" in sentence.split("km/h: ")[1][:1]) == (target == 60)


def test_where_the_sign_goes_both_ways_no_gearing_is_called_quicker():
    result = result_of(front=12, measure="time_to_speed", target_speed=55 / 3.6,
                       surface="hard-packed-gravel")  # fmt: skip
    said = " ".join(words.certainty_sentences(result))
    assert "the place of a gear change, not the gearing, that decides the sign" in said


def test_the_roll_out_is_said_in_the_readers_units():
    """2.000 m is 78.7 in (1 in = 25.4 mm, exact)."""
    [imperial] = words.rollout_sentences(result_of(units="imperial", rollout=2.0))
    assert imperial.startswith("Roll-out 78.7 in as measured") and imperial.endswith(" in.")
    [computed] = words.rollout_sentences(result_of(units="imperial"))
    assert " in, computed from the size" in computed
    assert "Roll-out 2.000 m as measured" in words.rollout_sentences(result_of(rollout=2.0))[0]
