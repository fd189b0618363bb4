"""What the fit page says: the verdict first, what to do, what to measure, and no more digits."""

import re

import pytest

from explorer.pages import fit_effect_words as effect_words
from explorer.pages import fit_views as views
from explorer.pages import fit_words as words
from explorer.pages.fit_result import compute
from explorer.pages.fit_state import FitState
from explorer.records.bike_library import demo_bikes

LIBRARY = dict(demo_bikes())


def result_of(query="", **answers):
    state, complaints = FitState.from_link(f"bike=marram-250{query}", LIBRARY)
    assert not complaints
    state.answer(**answers)
    return compute(state.choice)


def said(sentences):
    return " ".join(sentences)


def test_a_pair_that_fits_is_said_with_its_margin():
    result = result_of("&rear=50")
    assert words.headline(result) == "13/50 fits, with 6 mm of adjuster left."
    assert words.css_class(result) == "ge-fits"


def test_a_pair_that_does_not_fit_says_why_and_what_to_do():
    result = result_of("&rear=53")
    assert words.headline(result) == "13/53 does not fit: 8 mm of axle room forward missing."
    text = said(words.verdict_sentences(result))
    assert "It fits with your chain with 2 links added, 114 links" in text
    assert "The pair nearest to this ratio that fits with the chosen chain is 12/49." in text


def test_close_says_how_far_off_the_measure_may_be():
    result = result_of("&front=12&rear=52")
    assert "is close" in words.headline(result)
    assert "off by 1 mm" in words.headline(result)


def test_too_long_a_chain_misses_room_to_the_rear():
    result = result_of("&front=12&rear=44", room_back="10 mm")
    assert words.headline(result).endswith("axle room to the rear missing.")


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


@pytest.mark.parametrize(
    ("answers", "expected"),
    [
        ({"links": "113"}, "113 links is an odd number"),
        ({"links": "113", "centre_distance": ""}, "Count again: mark one link with chalk"),
        ({"centre_distance": "652 mm"}, "goes with 114 links, not 112"),
        ({"centre_distance": "640 mm"}, "would explain it: measure the chain"),
        ({"centre_distance": "631 mm"}, "Measure again: measure from the centre"),
        ({"links": "", "centre_distance": ""}, "measure from the centre of the output shaft"),
        ({"centre_distance": ""}, "112 links put the centres 636 mm apart"),
        ({"links": ""}, "The page goes on with 112 links"),
    ],
)
def test_what_to_measure_and_how(answers, expected):
    assert expected in said(words.diagnosis_sentences(result_of("", **answers)))


def test_so_few_links_cannot_go_round():
    state, _ = FitState.from_link("bike=bracken-125&own.sprockets.rear=68&fit.links=60", LIBRARY)
    text = said(words.diagnosis_sentences(compute(state.choice)))
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


def test_taller_gearing_warns_of_under_reading():
    text = said(effect_words.speedometer_sentences(result_of("&rear=46", pickup="gearbox")))
    assert "you ride faster than it says. Check the law where you ride." in text
    assert "UN Regulation No. 39" in text and "second-hand" in text


def test_an_unknown_pickup_is_asked_for():
    assert effect_words.speedometer_sentences(result_of("", pickup=""))[0].startswith("Where is")


def test_published_wear_limits_are_a_spread_with_sources():
    result = result_of("", wear_pitches="16", wear_length="256.5 mm")
    limits = views.limit_sentences(result)
    assert len(limits) >= 3 and all("Source: " in each for each in limits)
    assert "Enter the limit from your manual" in said(effect_words.wear_sentences(result))


def test_handbook_advice_is_information_with_its_source():
    advice = views.guide_sentences(result_of())
    assert advice and all("Source: " in each for each in advice)
    assert any("not followed" in each for each in advice)


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
