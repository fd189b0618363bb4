"""What the fit page says: the verdict first, what to do, what to measure, and no more digits."""

import re

import numpy as np
import pytest

from explorer.calc.chain.chain_choice import Choice
from explorer.calc.chain.chain_fit import Verdict
from explorer.records.fitting.chains import chain_size
from explorer.study.fit_chain import UNKNOWN
from explorer.study.fit_result import compute
from explorer.tasks.fit import effect_words, views, words
from explorer.tasks.fit.diagnosis_words import diagnosis_sentences
from explorer.tasks.fit.state import FitState
from tests.tasks.fit.fit_results import LIBRARY, result_of, said


def test_a_pair_that_fits_is_said_with_its_margin():
    result = result_of("&rear=50")
    assert words.headline(result) == "13/50 fits, with 6 mm of adjuster left."
    assert words.css_class(result) == "ge-fits"


def test_a_pair_that_does_not_fit_says_why_and_what_to_do():
    result = result_of("&rear=53")
    assert words.headline(result) == (
        "13/53 does not fit: the axle would have to go 8 mm further forward than the adjuster "
        "allows."
    )
    text = said(words.verdict_sentences(result))
    # A new chain comes before links added to a used one.
    assert re.search(r"It fits with a new chain of the fewest links, 11[24]\b", text)
    assert "The pair nearest to this ratio that fits with the chosen chain is 12/49." in text


ONE_ROOM = [
    ({"room_back": ""}, 53, "8 mm further forward"),
    ({"room_forward": "", "room_back": "5 mm"}, 44, "17 mm further back"),
]
"""What was measured, and a pair that it rules out."""


@pytest.mark.parametrize(("answers", "rear", "missing"), ONE_ROOM)
def test_one_room_of_the_adjuster_can_rule_a_pair_out(answers, rear, missing):
    result = result_of(f"&rear={rear}", **answers)
    assert words.headline(result) == (
        f"13/{rear} does not fit: the axle would have to go {missing} than the adjuster allows."
    )
    assert words.css_class(result) == "ge-fits-not"
    text = said(words.verdict_sentences(result))
    assert "Measure how far the axle can still go" in text and "It fits with" not in text


@pytest.mark.parametrize(("answers", "rear", "missing"), ONE_ROOM)
def test_one_room_of_the_adjuster_lets_no_pair_fit(answers, rear, missing):
    result = result_of("&rear=50", **answers)
    assert words.headline(result) == (
        "13/50: not known yet. Measure how far the axle can go each way."
    )
    found = set(result.map.verdict.ravel().tolist())
    assert UNKNOWN in found and found & {Verdict.TOO_SHORT, Verdict.TOO_LONG}
    fitting = np.argwhere(np.isin(result.map.verdict, (Verdict.FITS, Verdict.CLOSE))).tolist()
    # The fitted pair has its chain on it.
    assert [(result.map.fronts[a], result.map.rears[b]) for a, b in fitting] == [(13, 49)]
    assert words.headline(result_of("&rear=49", **answers)) == (
        "13/49 is on your bike with this chain. What else fits is not known yet. Measure how far "
        "the axle can go each way."
    )


WEAR = {"wear_pitches": "16", "wear_limit": "2 %"}


@pytest.mark.parametrize("length", ["261 mm", "259.08 mm"])
def test_a_chain_past_its_manuals_limit_is_planned_with_no_more(length):
    """16 pitches of 5/8 in are 254 mm new, and 259.08 mm at 2 %."""
    result = result_of("&rear=51", room_forward="15 mm", wear_length=length, **WEAR)
    assert words.headline(result).startswith("Your chain is worn out: fit a new one. 13/51 fits")
    assert result.new_chain and set(result.options) == {Choice.SHORTEST}
    text = said(words.verdict_sentences(result))
    assert "your chain" not in text and "links added" not in text
    assert "renew it" in said(effect_words.wear_sentences(result))
    renewed = result_of("&rear=51", room_forward="15 mm", wear_length=length, chain="new", **WEAR)
    assert "wear limit" not in words.headline(renewed)


def test_a_chain_just_below_its_limit_may_be_past_it():
    result = result_of("&rear=50", wear_length="259.0 mm", **WEAR)
    assert "98 % of the limit" in said(effect_words.wear_sentences(result))
    assert "may be past it" in said(effect_words.wear_sentences(result))
    result = result_of("&rear=50", wear_length="256 mm", **WEAR)
    assert "may be past it" not in said(effect_words.wear_sentences(result))


def test_a_length_of_more_pitches_than_counted_is_not_taken_for_wear():
    """17 pitches of 5/8 in are 269.9 mm."""
    slip = {"wear_pitches": "16", "wear_length": "269.9 mm"}
    result = result_of("&rear=51", chain="shortest", **slip)
    assert "would fit, but the measured length of the chain cannot be right" in words.headline(
        result
    )
    assert "count the pitches again" in said(effect_words.wear_sentences(result))
    assert int(result.fit.links) == int(result_of("&rear=51", chain="shortest").fit.links)


def test_what_is_printed_as_no_gap_touches():
    """With 13 teeth of 5/8 in and plates of 15 mm, the chain reaches 40.7 mm from the shaft."""
    case = {"plate_height": "15 mm"}
    touching = result_of("&front=14&rear=50", shaft_to_case="43.2 mm", **case)
    assert "this touches: front sprocket to case" in words.headline(touching)
    clear = result_of("&front=14&rear=50", shaft_to_case="44 mm", **case)
    assert "touches" not in words.headline(clear)


def test_a_gap_in_which_the_fitted_pair_would_touch_is_measured_again():
    result = result_of("&rear=50", shaft_to_case="35 mm", plate_height="15 mm")
    assert "by what was measured the fitted pair touches too" in words.headline(result)
    assert "measure again" in said(words.verdict_sentences(result))
    assert not result.ruled_out and not result.fits


def test_advice_and_nearest_pair_do_not_touch():
    gaps = {
        "tyre_gap": "6 mm", "guide_gap": "8 mm", "shaft_to_case": "52 mm", "plate_height": "14 mm"
    }  # fmt: skip
    result = result_of("&front=17&rear=47", bike="fogbank-650", **gaps)
    text = said(words.verdict_sentences(result))
    assert "The chain reaches with your chain with 2 links added" in text
    assert "but then this touches: " in text
    if result.nearest is not None:
        front, rear = result.nearest
        there = result_of(f"&front={front}&rear={rear}", bike="fogbank-650", **gaps)
        assert there.fits, words.headline(there)
    assert "reaches, but something touches" in views.options_table(result)


def test_close_says_how_far_off_the_measure_may_be():
    result = result_of("&front=12&rear=52")
    assert "is close" in words.headline(result)
    assert "off by 1 mm" in words.headline(result)


def test_close_says_what_is_missing_within_the_uncertainty():
    result = result_of("&front=12&rear=52", room_forward="9 mm")
    assert words.headline(result).startswith("12/52 is close: 1 mm of adjuster missing, and your")


@pytest.mark.parametrize(
    ("bike", "front", "rear", "links"),
    [
        ("bracken-125", 13, 57, 130),
        ("bracken-125", 10, 63, 132),
        ("bracken-125", 12, 65, 134),
        ("bracken-125", 14, 67, 136),
        ("bracken-125", 15, 59, 132),
        ("bracken-125", 17, 61, 134),
        ("sleet-450", 14, 53, 116),
    ],
)
def test_a_chain_that_fits_is_found_behind_one_that_is_only_close(bike, front, rear, links):
    result = result_of(f"&front={front}&rear={rear}", bike, chain="keep")
    text = said(words.verdict_sentences(result))
    added = int(links) - result.now.fitted.links
    assert added > 0
    assert re.search(r"It fits with a new chain of the fewest links, \d+", text)
    assert result.options[Choice.FEWEST_CHANGED].links == int(links)
    assert "No even number" not in text


def test_a_chain_that_is_only_close_is_said_where_none_fits_for_sure():
    """13/57 on 128 links leaves 0.4 mm; with little room to the rear 130 links are too long."""
    result = result_of("&front=13&rear=57", "bracken-125", room_back="0.5 mm")
    text = said(words.verdict_sentences(result))
    assert re.search(
        r"It is close with a new chain of the fewest links, 128: the axle goes 12 mm forward, "
        r"\d mm of adjuster left, and your measure of it may be off by 1 mm\.",
        text,
    )
    assert "No even number" not in text and "It fits" not in text


def test_no_even_number_where_none_is_within_the_room():
    result = result_of("&front=13&rear=57", "bracken-125", room_forward="11 mm", room_back="0 mm")
    text = said(words.verdict_sentences(result))
    assert "No even number of links reaches within the adjuster on this pair." in text
    assert "1 mm of adjuster missing, and your measure of it may be off by 1 mm." in text


def test_too_long_a_chain_misses_room_to_the_rear():
    result = result_of("&front=12&rear=44", room_back="10 mm")
    assert words.headline(result).endswith("further back than the adjuster allows.")


def test_an_offset_link_is_only_ever_a_last_resort():
    # So little room that only an odd count reaches.
    for rear in range(44, 54):
        result = result_of(f"&rear={rear}", room_forward="4 mm", room_back="4 mm")
        text = said(words.verdict_sentences(result))
        if "offset" in text:
            assert "Last resort" in text and "weaker" in text and "Another pair is better" in text
            return
    pytest.fail("no pair needed an offset link, so nothing was tested")


def test_an_odd_new_chain_is_warned_of():
    text = said(words.verdict_sentences(result_of("", chain="new", new_links="113")))
    assert "113 links is odd" in text and "Take an even number" in text


def test_a_new_chain_without_number_asks_for_it():
    text = said(words.verdict_sentences(result_of("", chain="new")))
    assert "Give the number of links of the new chain" in text


@pytest.mark.parametrize("missing", ["room_back", "room_forward"])
@pytest.mark.parametrize("chain", ["shortest", "new"])
def test_without_the_room_no_fewest_links_are_shown(missing, chain):
    result = result_of("&front=14", chain=chain, **{missing: ""})
    texts = words.verdict_sentences(result)
    assert words.headline(result) == (
        "14/49: not known yet. Measure how far the axle can go each way."
    )
    assert any("measure that room first" in each for each in texts)
    assert ("give the number of links" in said(texts)) == (chain == "new")
    everything = [*texts, views.options_table(result), words.twins_words(result)]
    everything += [views.twins_table(result), *effect_words.stance_sentences(result)]
    assert not re.search(r"\b56\b|465|459", said(everything))
    assert "as soon as the links" in words.twins_words(result)
    assert views.load_rows(result) == []
    slack = said(effect_words.slack_sentences(result))
    assert "computed with the axle where it is now" in slack


def test_contact_is_said_though_the_room_is_not_measured():
    case = {"shaft_to_case": "42 mm", "plate_height": "15 mm"}
    result = result_of("&front=14", room_back="", **case)
    assert words.headline(result) == (
        "14/49 does not fit: this touches: front sprocket to case, chain on. Whether the chain "
        "reaches is not known yet."
    )
    assert words.css_class(result) == "ge-fits-not"
    assert "chain on: −1 mm, so it touches" in said(words.verdict_sentences(result))
    unknown = result_of("&front=14", links="", centre_distance="", **case)
    assert "this touches with the axle where it is now: front" in words.headline(unknown)
    assert "−1 mm with the axle where it is now" in said(words.verdict_sentences(unknown))
    close = result_of("&front=12&rear=52", tyre_gap="2 mm")
    assert "may just reach, but this touches: rear tyre" in words.headline(close)


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ({"links": "113"}, "113 links is an odd number"),
        ({"links": "113", "centre_distance": ""}, "Count again: mark one link with chalk"),
        ({"centre_distance": "652 mm"}, "goes with 114 links, not 112"),
        ({"centre_distance": "640 mm"}, "would explain it: measure the chain"),
        ({"centre_distance": "631 mm"}, "Measure again: measure from the centre"),
        ({"centre_distance": ""}, "112 links put the centres 636 mm apart"),
        ({"links": ""}, "The page goes on with 112 links"),
    ],
)
def test_what_to_measure_and_how(answers, expected):
    assert expected in said(diagnosis_sentences(result_of("", **answers)))


def test_without_links_and_distance_the_way_to_measure_is_said_once():
    result = result_of("&rear=50", links="", centre_distance="")
    text = said([*words.verdict_sentences(result), *diagnosis_sentences(result)])
    assert text.count("measure from the centre of the output shaft") == 1


def test_so_few_links_cannot_go_round():
    state, _ = FitState.from_link("bike=bracken-125&own.sprockets.rear=68&fit.links=60", LIBRARY)
    text = said(diagnosis_sentences(compute(state.choice)))
    assert "A chain of 60 links cannot go round these sprockets" in text
    assert "Count teeth and links again" in text


def test_missing_room_is_asked_for_with_the_way_to_measure_it():
    result = result_of("", room_back="")
    assert words.headline(result).endswith("Measure how far the axle can go each way.")
    assert "on both sides, with a vernier" in said(words.missing_sentences(result))


def test_the_manual_is_the_authority_and_its_value_is_repeated_as_typed():
    text = said(
        effect_words.slack_sentences(
            result_of("", manual_slack="3.5 in", slack_place="at the slider")
        )
    )
    assert "Your manual's value: 3.5 in, at the slider, state not entered. It stays" in text
    nothing = said(effect_words.slack_sentences(result_of()))
    assert "this page has no value of its own" in nothing
    assert "a lower bound from geometry, not a setting" in nothing


def test_a_manual_value_that_draws_the_chain_taut_sends_to_a_mechanic():
    text = said(effect_words.slack_sentences(result_of("", manual_slack="20 mm")))
    assert "drawn taut before" in text
    assert "The manual stays the authority" in text and "ask a mechanic before riding" in text


def test_published_wear_limits_are_a_spread_with_sources():
    result = result_of("", wear_pitches="16", wear_length="256.5 mm")
    limits = views.limit_sentences(result)
    assert len(limits) >= 3 and all("Source: " in each for each in limits)
    assert "Enter the limit from your manual" in said(effect_words.wear_sentences(result))


def test_handbook_advice_is_information_with_its_source():
    advice = views.guide_sentences(result_of())
    assert advice and all("Source: " in each for each in advice)
    assert any("not followed" in each for each in advice)


@pytest.mark.parametrize(
    ("front", "here"),
    [
        (13, "13 teeth and 112 links share no factor, followed"),
        (14, "14 teeth and 112 links share the factor 14, not followed"),
    ],
)
def test_a_shared_factor_is_said_in_whole_numbers(front, here):
    (advice,) = (
        each for each in views.guide_sentences(result_of(f"&front={front}")) if "share" in each
    )
    assert f"Here: {here}." in advice


def test_pairs_of_one_ratio_stand_side_by_side_with_their_axle_positions():
    table = views.twins_table(result_of("&rear=52"))
    assert table.count("<tr>") == 3
    assert all(f'<th scope="row">{pair}</th><td>4.000</td>' in table for pair in ("13/52", "12/48"))
    assert "<td>−13 mm</td>" in table and "<td>+8 mm</td>" in table


def test_imperial_units_everywhere():
    result = result_of("&rear=53&units=imperial", guide_gap="12 mm")
    texts = [
        words.headline(result),
        *effect_words.stance_sentences(result),
        *effect_words.slack_sentences(result),
        views.options_table(result),
        str(views.gap_rows(result)),
        *words.defaults_used(result),
    ]
    assert not any(re.search(r"\d mm\b", text) for text in texts)


def test_lengths_carry_no_more_digits_than_a_vernier():
    result = result_of("&rear=52", guide_gap="12 mm", tyre_gap="30 mm")
    text = " ".join(
        [
            *words.verdict_sentences(result),
            *effect_words.slack_sentences(result),
            views.options_table(result),
            str(views.gap_rows(result)),
        ]
    )
    assert not re.search(r"\d\.\d+ mm", text)


def test_a_mismatch_comes_first():
    result = result_of("", tick_pitch="does not match")
    assert words.headline(result) == "13/49 does not fit: pitch must match first."
    assert words.css_class(result) == "ge-fits-not"


@pytest.mark.parametrize("links", ["112", "114"])
def test_a_new_chain_on_the_fitted_pair_keeps_its_caution(links):
    result = result_of("", chain="new", new_links=links)
    assert "look at axle nut" in said(words.riding_words(result))


def test_another_tyre_on_the_fitted_pair_keeps_its_caution():
    assert "look at axle nut" in said(words.riding_words(result_of("&tyre=140/80-18")))


def test_nothing_changes_where_all_stays():
    assert words.riding_words(result_of()) == [
        "Nothing changes: sprockets, chain and rear tyre stay as they are."
    ]


def test_without_any_measure_it_says_what_holds_for_every_chain():
    """One front tooth on a 428 chain: 2.9 to 3.0 mm for 104 to 136 links (issue's own figure,
    worked out with the exact chain length formula outside this project)."""
    result = result_of("&front=12&rear=50", "bracken-125", links="", centre_distance="")
    assert result.now.fitted is None
    text = said(words.verdict_sentences(result))
    assert "12/50 moves the axle" in text and "to the rear, whatever its length" in text
    low, high = (
        float(number) for number in re.search(r"axle ([\d.]+) to ([\d.]+) mm", text).groups()
    )
    pitch = chain_size(result.bike.chain.size).pitch
    assert (low, high) == pytest.approx((2.9 * pitch / 0.0127, 3.0 * pitch / 0.0127), abs=0.11)
    assert "Count the links" in text


def test_no_room_is_called_more_wear_than_a_chain_lives_to_see():
    for back in ("5 mm", "15 mm", "40 mm", "90 mm"):
        text = said(words.verdict_sentences(result_of("&rear=50", room_back=back)))
        for share in re.findall(r"enough for ([\d.]+) % of wear", text):
            assert float(share) <= 3


def test_a_link_count_of_another_chain_size_is_asked_back():
    """104 links of half an inch on 13/50 put the centres 454 mm apart, of five eighths 567 mm."""
    result = result_of("&front=13&rear=50", "bracken-125", links="104", centre_distance="")
    assert "Is it a 520?" in said(diagnosis_sentences(result))
    assert not result.fits
    assert "Is it a" not in said(diagnosis_sentences(result_of("", "bracken-125")))


def test_swingarm_measures_that_contradict_the_chain_are_asked_back():
    result = result_of("", "bracken-125", swingarm_length="500 mm")
    assert "Measure the swingarm again" in said(diagnosis_sentences(result))
    for bike in ("bracken-125", "marram-250", "sleet-450", "wagtail-85", "fogbank-650"):
        assert "swingarm" not in said(diagnosis_sentences(result_of("", bike)))


def test_the_map_leaves_out_rear_sprockets_that_go_with_no_front_one():
    """Of 38 to 68 rear teeth; every one that fits or is close is there, and one beyond."""
    result = result_of("", "bracken-125")
    view, whole = views.map_view(result), result.map
    goes = np.isin(whole.verdict, (Verdict.FITS, Verdict.CLOSE)).any(axis=0)
    assert list(view.rears) == list(range(whole.rears[goes][0] - 1, whole.rears[goes][-1] + 2))
    assert view.left_out.size and view.verdict.shape == view.margin.shape
    assert view.notes[0].startswith(f"{view.fronts[0]}/{view.rears[0]}: ")
    far = views.map_view(result_of("&rear=66", "bracken-125"))
    assert far.rears[-1] == 67
    unknown = views.map_view(result_of("", "bracken-125", links="", centre_distance=""))
    assert list(unknown.rears) == list(range(38, 69)) and not unknown.left_out.size
