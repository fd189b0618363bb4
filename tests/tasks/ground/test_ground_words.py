"""The ground page's sentences agree with the numbers, and never hold a number that is none."""

import itertools
import re

import numpy as np
import pytest
from hypothesis import given, settings
from hypothesis import strategies as st

from explorer.calc.drivetrain.binding_limits import binding_limit
from explorer.calc.drivetrain.top_speed import Limit
from explorer.charts.gearing.limits_chart import describe as describe_limits
from explorer.charts.gearing.sensitivity_chart import describe as describe_sensitivity
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.ground.surfaces import surfaces
from explorer.records.setups.setup import LIMITS, Setup
from explorer.records.setups.setup_fields import MEASURES
from explorer.study.study import CHOSEN, FITTED, Study
from explorer.tasks.ground import hill_words as hills
from explorer.tasks.ground import shift_words as shifting
from explorer.tasks.ground import views, words
from tests.printed_bands import banded

BIKES = demo_bikes()


def result_of(bike_id: str = "bracken-125", **changes):
    bike = BIKES[bike_id]
    # The grip of a road tread on dirt, so that the ground binds in these cases.
    changes = {"tyre_kind": "road", "measure": "time_to_speed"} | changes
    return Study.of(bike, Setup.for_bike(bike_id, bike).changed(**changes))


def all_words(result) -> list[str]:
    texts = [
        words.where_sentence(result),
        words.same_sentence(result),
        *words.launch_sentences(result),
        *hills.hill_sentences(result),
        *hills.braking_sentences(result),
        *shifting.shift_sentences(result),
        *shifting.binding_sentences(result),
        *words.sure_sentences(result),
        *words.input_sentences(result),
        describe_limits(views.limits_view(result)),
        describe_sensitivity(views.sensitivity_view(result)),
    ]
    rows = (
        words.headline(result),
        words.clutch_out_rows(result),
        hills.hill_rows(result),
        shifting.strategy_rows(result),
    )
    return [*texts, *(cell for table in rows for row in table for cell in row)]


def test_less_heat_with_the_shorter_gearing_is_said_as_a_share():
    result = result_of(rear=55)
    heat = result.away.clutch_energy
    share = abs(heat[CHOSEN] / heat[FITTED] - 1) * 100
    said = " ".join(words.launch_sentences(result))
    assert f"puts {share:.1f} % less heat into the clutch" in said
    assert "Trust the comparison only" in said


def test_the_same_gearing_is_said_to_be_the_same():
    assert "the same so far" in words.same_sentence(result_of())
    assert words.same_sentence(result_of(rear=52)) == ""


def test_grip_is_said_with_its_speed_and_what_follows():
    result = result_of(rear=53)
    rows = result.stretches
    grip = rows.end[(rows.case == CHOSEN) & (rows.gear == 0) & (rows.limit == 2)].max() * 3.6
    said = shifting.binding_sentences(result)
    assert f"Grip-limited to {grip:.0f} km/h in 1st: shorter gearing gains nothing there" in said[0]


def test_where_the_engine_binds_below_grip_both_ends_are_said():
    """In top gear this bike needs the peak of its torque before the tyre spins."""
    result = result_of("marram-250", surface="hard-packed-gravel")
    rows = result.stretches
    top = (rows.case == CHOSEN) & (rows.gear == result.drive.gears - 1)
    assert rows.limit[top].tolist() == [Limit.POWER, Limit.GRIP, Limit.POWER]
    start, end = rows.start[top][1] * 3.6, rows.end[top][1] * 3.6
    ends = f"from {start:.0f} km/h to {end:.0f} km/h"
    said = " ".join(shifting.binding_sentences(result))
    assert f"Grip-limited {ends} in 6th: shorter gearing gains nothing there" in said
    assert f"there (fitted: {ends})" in said
    assert f"6th {ends}" in describe_limits(views.limits_view(result))


@pytest.mark.parametrize("bike_id", sorted(BIKES))
def test_no_speed_at_which_the_engine_binds_is_said_to_be_grip_limited(bike_id):
    """Counted from the words: every whole speed they name against the limit computed there."""
    for surface, slope in itertools.product(sorted(surfaces()), (0.0, 0.1, 0.2)):
        result = result_of(bike_id, surface=surface, slope=slope)
        said = " ".join(shifting.binding_sentences(result))
        for spans, gear in re.findall(r"(?:Grip-limited|front wheel) ([^:(]*) in (\d)\w\w:", said):
            for start, end in re.findall(r"(?:from (\d+) km/h )?to (\d+) km/h", spans):
                # The first and the last km/h may be rounded, and a gap of one may be left out.
                speeds = np.arange(int(start or 0) + 1.5, int(end) - 1, 1.0) / 3.6
                free = binding_limit(result.drive, speeds)[CHOSEN, int(gear) - 1] == Limit.POWER
                assert not (free[1:] & free[:-1]).any(), (surface, slope, gear, spans)


def test_with_endless_grip_at_hand_nothing_is_said_of_grip():
    said = " ".join(shifting.binding_sentences(result_of("bracken-125", surface="dry-asphalt")))
    assert "Grip-limited" not in said


def test_without_a_motoring_curve_the_page_says_that_it_estimates():
    said = " ".join(hills.braking_sentences(result_of("bracken-125")))
    assert "That is an estimate" in said and "Add your curve" in said
    known = " ".join(hills.braking_sentences(result_of("fogbank-650")))
    assert "estimate" not in known and "m/s²" in known


def test_a_shift_that_is_not_worth_it_is_named():
    result = result_of(measure="time_over_distance", distance=30.0)
    worth = result.worth
    stop = int(np.nanargmin(np.where(np.isnan(worth.time[CHOSEN]), np.inf, worth.time[CHOSEN])))
    said = " ".join(shifting.shift_sentences(result))
    assert "would pay off" in said or "would lose" in said
    named = re.search(r"stay in (\d)", said)
    assert named and int(named[1]) <= stop + 1


@pytest.mark.parametrize("surface", list(surfaces()))
@pytest.mark.parametrize("bike_id", ["marram-250", "fogbank-650"])
def test_no_way_of_changing_up_beats_the_one_that_costs_nothing(bike_id, surface):
    """To change where the next gear pulls harder is not the fastest where shifts take long."""
    rows = shifting.strategy_rows(result_of(bike_id, surface=surface, slope=0.1))
    times = [float(row[2].split(" ")[0]) for row in rows if row[2].endswith(" s")]
    for row in rows:
        assert "−" not in row[3] and not any("est point" in cell for cell in row)
        if row[3].startswith("+"):
            cost = float(row[3].removeprefix("+").removesuffix(" s"))
            assert float(row[2].split(" ")[0]) - min(times) == pytest.approx(cost, abs=1e-9)


def test_costs_are_against_the_fastest_way():
    result = result_of("sleet-450", rear=50)
    rows = {row[0]: row for row in shifting.strategy_rows(result)}
    chosen = next(row for name, row in rows.items() if name.endswith("rpm"))
    cost = result.strategies.chosen_cost[CHOSEN]
    assert abs(cost) > 0.05
    assert chosen[3] == f"{cost:+.2f} s".replace("-", "−")


def test_a_small_difference_is_said_to_be_none_and_a_large_one_not():
    small = " ".join(words.sure_sentences(result_of("fogbank-650", rear=44)))
    assert "no real change" in small or "no difference" in small
    assert "the difference is better known" in small


def test_the_most_important_input_comes_first():
    view = views.sensitivity_view(result_of(rear=53))
    largest = np.maximum(view.level, view.difference).max(axis=1)
    assert np.all(np.diff(largest) <= 1e-12)
    assert len(view.names) == len(result_of(rear=53).spreads)


def test_two_tyres_are_two_inputs_with_names_of_their_own():
    view = views.sensitivity_view(result_of(tyre="100/90-19"))
    assert {"roll-out, fitted tyre", "roll-out, chosen tyre"} <= set(view.names)


def number(field):
    limit = LIMITS[field]
    return st.floats(limit.low, limit.high)


@settings(max_examples=40, deadline=None)
@given(
    bike_id=st.sampled_from(sorted(BIKES)),
    surface=st.sampled_from(sorted(surfaces())),
    measure=st.sampled_from(MEASURES),
    units=st.sampled_from(["metric", "imperial"]),
    numbers=st.fixed_dictionaries(
        {
            field: number(field)
            for field in (
                "slope",
                "head_wind",
                "altitude",
                "temperature",
                "rider_mass",
                "target_speed",
                "distance",
                "cruise_speed",
                "shift_at",
                "rollout",
            )
        }
    ),
    rear_share=st.floats(0, 1),
)
def test_no_absurd_set_up_brings_nan_into_words_or_charts(
    bike_id, surface, measure, units, numbers, rear_share
):
    low, high = BIKES[bike_id].sprockets.rear_sold
    rear = round(low + rear_share * (high - low))
    result = result_of(bike_id, surface=surface, measure=measure, units=units, rear=rear, **numbers)
    for text in all_words(result):
        assert not re.search(r"\b(nan|inf)\b", text), text


@pytest.mark.parametrize("bike_id", sorted(BIKES))
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_every_bike_has_its_words_in_both_systems(bike_id, units):
    text = " ".join(all_words(result_of(bike_id, units=units, rear=BIKES[bike_id].sprockets.rear)))
    assert ("km/h" in text) == (units == "metric")
    assert ("mph" in text) == (units == "imperial")


@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_the_steepest_slope_has_its_band_or_the_difference_has_it(units):
    """Of one gearing the level has the band; of two the difference has it, and stands first in
    sentences and tables; on its tile the slope does, as both are in per cent."""
    alone, two = result_of(units=units), result_of(units=units, rear=55, surface="dry-asphalt")
    assert re.search(f"clutch out: {banded('%')}", hills.hill_sentences(alone)[0])
    [shown] = [tile for tile in words.headline(alone) if "steepest" in tile[1]]
    assert re.fullmatch(banded("%"), shown[0])
    change = two.change("steepest")
    assert change.value * 100 > 1
    [shown] = [tile for tile in words.headline(two) if "steepest" in tile[1]]
    what, differs = shown[1].removesuffix(" from fitted").split(", ")
    assert what == "steepest slope held" and shown[1].endswith(" from fitted")
    assert re.fullmatch(banded("%", r"\+[\d.]+"), differs)
    assert float(differs.split()[0]) == pytest.approx(change.value * 100, abs=0.5)
    assert hills.hill_sentences(two)[0].split(": ")[1].startswith(f"{differs} against fitted, ")
    level = np.tan(two.steepest_slope[CHOSEN].max()) * 100
    assert float(shown[0].removesuffix(" %")) == pytest.approx(level, abs=0.5)
    for row in (*hills.hill_rows(two), *words.clutch_out_rows(two)):
        assert re.match(banded("(?:%|km/h|mph)", r"[+−][\d.]+"), row[1]), row
        assert "±" not in row[2] and "(" not in row[2], row


def test_where_grip_ends_the_slope_no_difference_is_said():
    result = result_of(rear=53, surface="wet-grass")
    assert hills.hill_sentences(result)[0].endswith("Grip or balance ends it, not the gearing.")
    said = "steepest slope held, no difference from fitted"
    assert said in [tile[1] for tile in words.headline(result)]
