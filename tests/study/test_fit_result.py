"""One computation of the fit page: verdicts, what is missing, slack, clearances, checklist."""

from functools import cache

import numpy as np
import pytest

from explorer.app.fit_notes import SHORT_VERDICTS, fit_notes
from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Verdict
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements
from explorer.study.fit_chain import UNKNOWN, fit_map, verdicts_sold
from explorer.study.fit_result import CHOSEN, FITTED, compute
from explorer.tasks.fit.parts import sprocket_change
from explorer.tasks.fit.state import FitState

LIBRARY = dict(demo_bikes())
BIKE_ID = "marram-250"
BIKE = LIBRARY[BIKE_ID]
FRONT, REAR = BIKE.sprockets.front, BIKE.sprockets.rear


@cache
def result_of(front=FRONT, rear=REAR, **answers):
    state, _ = FitState.from_link(f"bike={BIKE_ID}&front={front}&rear={rear}", LIBRARY)
    state.answer(**answers)
    return compute(state.choice)


def test_the_fitted_pair_fits_where_it_is():
    result = result_of()
    assert result.fits and result.same_pair
    assert result.fit.movement == pytest.approx(0.0, abs=1e-9)
    assert result.fit.margin == pytest.approx(
        min(BIKE.fit.adjuster_forward.si, BIKE.fit.adjuster_back.si), abs=1e-9
    )


def test_four_more_rear_teeth_move_the_axle_by_about_a_pitch():
    """A tooth more takes up half a pitch of chain or so, the axle half of that: common practice,
    no source; the exact geometry is tested in tests/calc/chain/test_chain_fit.py."""
    result = result_of(rear=REAR + 4)
    assert -1.3 * result.pitch < result.fit.movement < -0.9 * result.pitch
    assert result.verdict == Verdict.TOO_SHORT
    assert not result.fits


def test_two_links_more_bring_it_back_within_the_adjuster():
    result = result_of(rear=REAR + 4)
    option = result.options[Choice.FEWEST_CHANGED]
    assert option.links == BIKE.chain.links + 2
    assert option.verdict == Verdict.FITS


def test_the_nearest_pair_fits_and_is_of_nearly_the_ratio():
    result = result_of(rear=REAR + 4)
    front, rear = result.nearest
    assert result_of(front, rear).fits
    assert abs(rear / front / (REAR + 4) * FRONT - 1) < 0.03


def test_verdicts_and_notes_are_in_one_order():
    measured = Measurements.for_bike(BIKE)
    notes = fit_notes(BIKE, measured, "metric")
    fits = fit_map(BIKE, measured)
    verdicts = fits.verdict
    assert verdicts.shape == (fits.fronts.size, fits.rears.size)
    assert len(notes) == verdicts.size
    for code, note in zip(verdicts.ravel(), notes, strict=True):
        assert note.startswith("fits") == (code == Verdict.FITS)


def test_the_map_and_the_single_pair_agree():
    fits = fit_map(BIKE, Measurements.for_bike(BIKE))
    for row, front in enumerate(fits.fronts):
        for column, rear in enumerate(fits.rears):
            result = result_of(int(front), int(rear))
            assert result.verdict == fits.verdict[row, column]
            assert result.fit.margin == pytest.approx(fits.fit.margin[row, column], abs=1e-12)


@pytest.mark.parametrize("missing", ["room_back", "room_forward"])
def test_without_the_room_there_is_no_verdict_but_an_axle_position(missing):
    result = result_of(rear=50, **{missing: ""})
    assert result.verdict == UNKNOWN
    assert np.isfinite(result.fit.movement)
    away = result.map.verdict[~fitted_of(result.map)]
    assert not set(away) & {Verdict.FITS, Verdict.CLOSE}


def fitted_of(fits):
    """Where the map has the fitted pair."""
    return (fits.fronts[:, np.newaxis] == FRONT) & (fits.rears == REAR)


@pytest.mark.parametrize("chain", ["keep", "fewest changed"])
def test_without_both_rooms_only_the_fitted_pair_is_known(chain):
    """The chain that is on it stays on it, however little room there is."""
    result = result_of(room_back="", room_forward="", chain=chain)
    expected = np.where(fitted_of(result.map), Verdict.FITS, UNKNOWN)
    assert np.array_equal(fit_map(BIKE, result.measured).verdict, expected)
    notes = fit_notes(BIKE, result.measured, "metric")
    assert sorted(set(notes)) == ["fits", SHORT_VERDICTS[UNKNOWN]]
    assert result.verdict == Verdict.FITS
    assert result_of(rear=REAR + 1, room_back="", room_forward="").verdict == UNKNOWN


@pytest.mark.parametrize("missing", ["room_back", "room_forward"])
@pytest.mark.parametrize("chain", ["shortest", "new"])
def test_without_the_room_the_fewest_links_of_a_new_chain_are_not_made_up(missing, chain):
    result = result_of(rear=50, chain=chain, **{missing: ""})
    assert (result.fit, result.verdict, result.map, result.counts) == (None, UNKNOWN, None, None)
    assert (result.stance, result.load, result.guides) == (None, None, {})
    assert set(fit_notes(BIKE, result.measured, "metric")) == {SHORT_VERDICTS[UNKNOWN]}
    slack = result_of(rear=50, chain=chain, manual_slack="90 mm", **{missing: ""}).slack
    assert slack.arm[CHOSEN] == slack.arm[FITTED]


@pytest.mark.parametrize("chain", ["keep", "fewest changed", "shortest"])
def test_without_the_room_the_fewest_links_are_no_option(chain):
    assert Choice.SHORTEST in result_of(rear=50, chain=chain).options
    without = result_of(rear=50, chain=chain, room_back="")
    assert Choice.KEEP_CHAIN in without.options and Choice.SHORTEST not in without.options


def test_a_new_chain_of_a_given_number_needs_no_room_for_its_axle_position():
    result = result_of(rear=50, chain="new", new_links="114", room_back="")
    assert result.fit.links == 114 and np.isfinite(result.stance.wheelbase)


@pytest.mark.parametrize(
    ("rear", "answers"),
    [
        (REAR, {}),
        (REAR, {"chain": "fewest changed"}),
        (REAR, {"chain": "shortest"}),
        (REAR, {"chain": "new", "new_links": "112"}),
        (REAR, {"chain": "new", "new_links": "114"}),
        (REAR + 1, {}),
        (REAR + 4, {"chain": "fewest changed"}),
    ],
)
def test_nothing_changed_is_what_the_shopping_list_means_by_it(rear, answers):
    result = result_of(rear=rear, **{"room_forward": "25 mm"} | answers)
    assert result.nothing_changed == sprocket_change(result).nothing_changed


def test_another_tyre_is_a_change():
    def with_tyre(**fields):
        state, _ = FitState.from_link(f"bike={BIKE_ID}", LIBRARY)
        state.change(**fields)
        return compute(state.choice)

    assert with_tyre(tyre=f"{BIKE.tyre.rear} M/C").nothing_changed
    assert not with_tyre(tyre="140/80-18", rollout=None).nothing_changed


def test_without_links_and_distance_nothing_is_guessed():
    result = result_of(links="", centre_distance="")
    assert (result.fit, result.map, result.load) == (None, None, None)
    assert result.verdict == Verdict.FITS
    assert result_of(rear=REAR + 1, links="", centre_distance="").verdict == UNKNOWN
    codes = verdicts_sold(BIKE, result.measured).ravel().tolist()
    assert sorted(codes) == [UNKNOWN] * (len(codes) - 1) + [Verdict.FITS]


def test_without_links_the_measured_distance_gives_an_even_count():
    result = result_of(links="")
    assert result.now.fitted.links == BIKE.chain.links
    assert not result.now.counted


@pytest.mark.parametrize(
    "answers",
    [
        {"links": "113"},
        {"centre_distance": "652 mm"},
        {"centre_distance": "612 mm"},
    ],
)
def test_links_and_distance_that_contradict_each_other_never_fit(answers):
    result = result_of(**answers)
    assert result.doubtful
    assert not result.fits


def test_a_worn_chain_counts_with_its_own_pitch():
    # 16 pitches of a 520 chain are 254 mm; 1 % more is 256.54 mm (definition).
    result = result_of(wear_pitches="16", wear_length="256.54 mm", wear_limit="2 %")
    assert result.wear.elongation == pytest.approx(0.01, abs=1e-9)
    assert result.wear.used == pytest.approx(0.5, abs=1e-7)
    new = result.options[Choice.SHORTEST]
    assert new.movement < result.options[Choice.KEEP_CHAIN].movement


def test_a_chain_measured_shorter_than_new_is_not_believed():
    result = result_of(wear_pitches="16", wear_length="250 mm")
    assert result.wear.elongation < 0
    assert result.now.fitted.elongation == 0


@pytest.mark.parametrize("tick", ["tick_pitch", "tick_spline", "tick_retainer"])
def test_a_mismatch_blocks_the_verdict(tick):
    assert result_of(**{tick: "matches"}).fits
    result = result_of(**{tick: "does not match"})
    assert not result.fits and len(result.mismatches) == 1


def test_contact_blocks_the_verdict_but_lying_on_the_slider_does_not():
    assert not result_of(rear=50, tyre_gap="1 mm").fits
    resting = result_of(rear=50, slider_radius="50 mm", plate_height="15 mm")
    assert resting.gaps[0].after < 0
    assert resting.fits


def test_the_tyre_comes_nearer_by_as_much_as_the_axle_goes_forward():
    result = result_of(rear=50, tyre_gap="20 mm")
    (gap,) = result.gaps
    assert gap.after - gap.before == pytest.approx(float(result.fit.movement), abs=1e-12)


def test_slack_is_least_in_line_and_back_to_the_manual_s_value_at_rest():
    slack = result_of(rear=50, manual_slack="90 mm").slack
    assert slack.basis == "manual"
    np.testing.assert_allclose(slack.at_rest, 0.090, rtol=0, atol=1e-9)
    least = slack.heights[np.nanargmin(slack.curves.slack[CHOSEN])]
    step = slack.heights[1] - slack.heights[0]
    assert abs(least - slack.tight_height) <= step


def test_the_slack_at_rest_leaves_the_wanted_slack_at_the_tightest_position():
    wanted = result_of(rear=50, tight_slack="10 mm").slack.rest_for_tight[CHOSEN]
    set_so = result_of(rear=50, manual_slack=f"{wanted * 1000:.6f} mm").slack
    assert set_so.at_tightest[CHOSEN] == pytest.approx(0.010, abs=1e-6)


def test_a_manual_value_that_draws_the_chain_taut_is_seen():
    slack = result_of(manual_slack="20 mm").slack
    assert np.isnan(slack.at_tightest).all()


@pytest.mark.parametrize("name", ["swingarm_length", "axle_below", "wheel_travel"])
def test_without_the_swingarm_nothing_is_said_of_the_travel(name):
    assert result_of(**{name: ""}).slack is None
    assert result_of(**{name: ""}).stance.arm_level or name == "wheel_travel"


def test_a_travel_that_the_arm_cannot_make_is_not_computed():
    assert (
        result_of(axle_below="100 mm", wheel_travel="450 mm", swingarm_length="300 mm").slack
        is None
    )


def test_trail_needs_rake_and_offset():
    assert result_of(rear=50).stance.trail is None
    stance = result_of(rear=50, rake="27 deg", fork_offset="22 mm").stance
    # Axle forward lowers the rear, which lengthens the trail.
    assert stance.wheelbase < 0 < stance.trail


@pytest.mark.parametrize(
    ("pickup", "factor"),
    [("gearbox", (50 / 13) / (REAR / FRONT)), ("rear wheel", 1.0), ("front wheel", 1.0)],
)
def test_the_speedometer_is_off_by_exactly_the_change_or_not_at_all(pickup, factor):
    reading = result_of(rear=50, pickup=pickup).speedometer
    assert reading.factor == pytest.approx(factor, rel=1e-12)


def test_taller_gearing_at_the_gearbox_under_reads():
    assert result_of(rear=46, pickup="gearbox").speedometer.under_reads


def test_chain_tension_falls_with_a_larger_rear_sprocket_at_the_same_pull():
    load = result_of(rear=50).load
    assert load.pull[FITTED] == pytest.approx(load.pull[CHOSEN])
    assert load.tension[CHOSEN] < load.tension[FITTED]


def test_sprockets_swapped_are_refused_with_the_likely_meaning():
    state, _ = FitState.from_link("bike=bracken-125", LIBRARY)
    with pytest.raises(RecordError, match="are swapped"):
        state.change(front=25, rear=20)
    assert (state.setup.front, state.setup.rear) == (13, 50)
