"""Will it go on: verdicts, link counts, choices and the nearest pair, on an invented bike."""

from dataclasses import replace

import numpy as np
import pytest
from hypothesis import assume, given
from hypothesis import strategies as st

from explorer.calc.chain import length as chain
from explorer.calc.chain.chain_choice import Choice, fit_choice, nearest_fitting_pair
from explorer.calc.chain.chain_fit import FittedChain, Verdict, fit, link_counts

PITCH = 0.015875
FRONTS, REARS = np.arange(11, 17), np.arange(40, 60)


def bike(**changes):
    """An invented bike."""
    values = {
        "front": 13,
        "rear": 50,
        "links": 112,
        "pitch": PITCH,
        "room_forward": 0.010,
        "room_back": 0.025,
    }
    return FittedChain(**(values | changes))


BIKES = st.builds(
    bike,
    front=st.integers(min_value=11, max_value=16),
    rear=st.integers(min_value=40, max_value=56),
    links=st.sampled_from([106, 108, 110, 112, 114, 116, 118]),
    room_forward=st.floats(min_value=0.0, max_value=0.03),
    room_back=st.floats(min_value=0.0, max_value=0.04),
    elongation=st.floats(min_value=0.0, max_value=0.02),
)


@given(BIKES)
def test_what_is_fitted_fits_and_does_not_move(now):
    result = fit_choice(now, now.front, now.rear, Choice.KEEP_CHAIN)
    assert result.movement == 0
    assert result.verdict == Verdict.FITS
    assert result.margin == pytest.approx(min(now.room_forward, now.room_back), abs=1e-15)


def test_movement_is_the_difference_of_two_taut_chains():
    now = bike()
    result = fit(now, FRONTS[:, np.newaxis], REARS, 110, 0.0)
    expected = chain.centre_distance_for(
        110, PITCH, FRONTS[:, np.newaxis], REARS
    ) - chain.centre_distance_for(112, PITCH, 13, 50)
    assert result.movement == pytest.approx(expected, abs=1e-15)
    # Larger sprockets on the same chain pull the axle forward.
    assert np.all(np.diff(result.movement, axis=0) < 0)
    assert np.all(np.diff(result.movement, axis=1) < 0)


def test_two_links_are_worth_about_one_pitch_of_axle():
    """One pitch over the cosine of the runs' slope, 1.1 % more here."""
    moves = fit(bike(), 13, 50, np.array([110, 112, 114]), 0.0).movement
    assert np.diff(moves) == pytest.approx([PITCH, PITCH], rel=0.013)
    assert np.all(np.diff(moves) > PITCH)


@pytest.mark.parametrize(
    ("room_forward", "room_back", "uncertainty", "verdict"),
    [
        (0.010, 0.010, 0.001, Verdict.FITS),
        (0.010, 0.004, 0.001, Verdict.TOO_LONG),
        (0.010, 0.0092, 0.001, Verdict.CLOSE),
        (0.010, 0.0082, 0.001, Verdict.CLOSE),
        (0.010, 0.0092, 0.0, Verdict.FITS),
    ],
)
def test_verdict_of_a_smaller_rear(room_forward, room_back, uncertainty, verdict):
    """13/48 on the chain of 13/50 goes back by 8.75 mm."""
    now = bike(room_forward=room_forward, room_back=room_back, uncertainty=uncertainty)
    assert fit(now, 13, 48, 112, 0.0).verdict == verdict


def test_verdict_of_a_larger_rear_and_of_no_chain():
    now = bike(room_forward=0.004)
    result = fit(now, 13, np.array([52, 300]), 112, 0.0)
    assert list(result.verdict) == [Verdict.TOO_SHORT, Verdict.NO_CHAIN]
    assert result.margin[0] == pytest.approx(now.room_forward + result.movement[0])
    assert np.isnan(result.movement[1])


def test_a_new_chain_sits_further_forward_than_a_worn_one():
    now = bike(elongation=0.01)
    new = fit_choice(now, 13, 50, Choice.NEW_CHAIN, 112)
    # All lengths of the worn chain are 1 % longer.
    assert new.movement == pytest.approx(-0.01 * chain.centre_distance_for(112, PITCH, 13, 50))
    assert fit_choice(now, 13, 50, Choice.KEEP_CHAIN).movement == 0


def test_wear_room_is_what_takes_the_axle_to_the_end():
    now = bike()
    room = fit_choice(now, 13, 50, Choice.NEW_CHAIN, 112)
    worn = chain.centre_distance_for(112, PITCH * (1 + room.wear_room), 13, 50)
    assert worn - now.centre_distance == pytest.approx(now.room_back)


@given(BIKES)
def test_link_counts_are_those_that_trying_all_finds(now):
    """Against trying every number of links on every pair."""
    fronts, rears = FRONTS[:, np.newaxis], REARS
    tried = np.arange(90, 141)
    result = fit(now, fronts, rears, tried[:, np.newaxis, np.newaxis], 0.0)
    # On the very edge of the room, rounding decides.
    assume(not np.any(np.abs(result.margin) < 1e-10))
    fits = result.verdict == Verdict.FITS
    even = fits & (tried % 2 == 0)[:, np.newaxis, np.newaxis]
    counts = link_counts(now, fronts, rears, 0.0)
    some = even.any(axis=0)
    assert np.array_equal(np.isnan(counts.fewest), ~some)
    assert np.array_equal(counts.fewest[some], tried[even.argmax(axis=0)][some])
    changed = np.where(even, np.abs(tried - now.links)[:, np.newaxis, np.newaxis], 999)
    nearest = tried[changed.argmin(axis=0)]
    assert np.array_equal(counts.nearest[some], nearest[some])
    only_odd = fits.any(axis=0) & ~some
    assert np.array_equal(np.isfinite(counts.offset_only), only_odd)
    assert np.array_equal(counts.offset_only[only_odd], tried[fits.argmax(axis=0)][only_odd])


@given(
    BIKES,
    st.floats(min_value=0.0, max_value=0.006),
    st.sampled_from([Choice.FEWEST_CHANGED, Choice.SHORTEST]),
)
def test_a_count_that_fits_for_sure_is_always_found(now, uncertainty, choice):
    """Against trying every even number of links on every pair."""
    now = replace(now, uncertainty=uncertainty)
    fronts, rears = FRONTS[:, np.newaxis], REARS
    elongation = now.elongation if choice is Choice.FEWEST_CHANGED else 0.0
    tried = np.arange(90, 141, 2)[:, np.newaxis, np.newaxis]
    each = fit(now, fronts, rears, tried, elongation)
    # On the very edge of the sure room, rounding decides.
    edges = [each.movement + now.sure_forward, each.movement - now.sure_back]
    assume(not any(np.any((np.abs(edge) < 1e-10) & (edge != 0)) for edge in edges))
    some = (each.verdict == Verdict.FITS).any(axis=0)
    assert np.array_equal(fit_choice(now, fronts, rears, choice).verdict == Verdict.FITS, some)


def test_a_count_that_is_only_close_is_taken_where_none_fits_for_sure():
    # 13/52 on 112 links goes forward by 8.9 mm, on 114 links to the rear by 7.1 mm.
    now = bike(room_forward=0.0095, room_back=0.010, uncertainty=0.001)
    sure = fit_choice(now, 13, 52, Choice.FEWEST_CHANGED)
    assert (sure.links, sure.verdict) == (114, Verdict.FITS)
    close = fit_choice(replace(now, room_back=0.004), 13, 52, Choice.FEWEST_CHANGED)
    assert (close.links, close.verdict) == (112, Verdict.CLOSE)


def test_the_axle_can_stay_where_it_is_however_little_room_was_measured():
    now = bike(room_forward=0.0, room_back=0.0004, uncertainty=0.001)
    for choice in (Choice.KEEP_CHAIN, Choice.FEWEST_CHANGED, Choice.SHORTEST):
        result = fit_choice(now, 13, 50, choice)
        assert (result.links, result.verdict) == (112, Verdict.FITS)
    # A tooth less takes the axle back by 4.4 mm, which that room cannot give.
    assert fit_choice(now, 13, 49, Choice.KEEP_CHAIN).verdict == Verdict.TOO_LONG


@given(BIKES, st.sampled_from([Choice.FEWEST_CHANGED, Choice.SHORTEST]))
def test_choice_never_proposes_an_odd_count(now, choice):
    result = fit_choice(now, FRONTS[:, np.newaxis], REARS, choice)
    assert np.all(result.links % 2 == 0)


def test_choice_without_a_fitting_count_shows_the_nearest_miss():
    now = bike(room_forward=0.001, room_back=0.005)
    result = fit_choice(now, 13, np.array([47, 51, 52]), Choice.SHORTEST)
    assert list(result.verdict) == [Verdict.TOO_SHORT, Verdict.TOO_SHORT, Verdict.TOO_LONG]
    for at, rear in enumerate([47, 51, 52]):
        others = fit(now, 13, rear, np.arange(90, 140, 2), 0.0)
        assert result.margin[at] == pytest.approx(others.margin.max())


def test_new_chain_needs_its_number_of_links():
    with pytest.raises(ValueError, match="number of links is missing"):
        fit_choice(bike(), 13, 50, Choice.NEW_CHAIN)


def test_nearest_fitting_pair():
    now = bike(room_forward=0.003, room_back=0.010)
    map_ = fit_choice(now, FRONTS[:, np.newaxis], REARS, Choice.KEEP_CHAIN)
    place = nearest_fitting_pair(map_.verdict, FRONTS, REARS, 13, 54)
    assert map_.verdict[place] == Verdict.FITS
    wanted = np.log(54 / 13)
    ratios = np.log(REARS / FRONTS[:, np.newaxis])
    found = abs(ratios[place] - wanted)
    assert found == pytest.approx(np.abs(ratios - wanted)[map_.verdict == Verdict.FITS].min())


def test_nearest_fitting_pair_of_none():
    verdict = np.full((2, 2), Verdict.TOO_LONG)
    assert nearest_fitting_pair(verdict, FRONTS[:2], REARS[:2], 13, 50) is None


def test_equal_ratios_prefer_the_front_teeth_asked_for():
    verdict = np.full((2, 2), Verdict.FITS)
    place = nearest_fitting_pair(verdict, np.array([12, 13]), np.array([48, 52]), 13, 52)
    assert place == (1, 1)
