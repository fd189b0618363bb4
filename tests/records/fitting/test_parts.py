"""What has to be bought for a change; the rules are common practice, no source."""

import pytest

from explorer.records.fitting.parts import TOGETHER_OR_WORN, parts_list, said
from explorer.records.fitting.sprocket_change import SprocketChange


def bought(*teeth_and_links, **fields) -> dict[str, int]:
    change = SprocketChange(13, 50, *teeth_and_links[:2], "520", 112, teeth_and_links[2], **fields)
    return {part.id: part.quantity for part in parts_list(change).buy if not part.optional}


def test_front_sprocket_only():
    assert bought(14, 50, 112, axle_lock="split-pin") == {
        "front-sprocket": 1,
        "retainer": 1,
        "joining-link": 1,
        "split-pin": 1,
    }


def test_rear_sprocket_only_and_a_chain_that_stays_closed():
    parts = bought(13, 48, 112, joining_link="rivet", rear_nuts=6, axle_lock="lock-nut")
    assert parts == {"rear-sprocket": 1, "rear-nuts": 6}


def test_uncounted_nuts_are_one_set():
    change = SprocketChange(13, 50, 13, 48, "520", 112, 112)
    nuts = next(part for part in parts_list(change).buy if part.id == "rear-nuts")
    assert nuts.quantity == 1
    assert "one set" in nuts.name


def test_shorter_chain_needs_one_joining_link_and_no_piece():
    assert bought(13, 46, 110)["joining-link"] == 1
    assert "chain-piece" not in bought(13, 46, 110)


def test_longer_chain_needs_a_piece_and_a_second_joining_link():
    change = SprocketChange(13, 50, 13, 56, "520", 112, 116)
    parts = {part.id: part for part in parts_list(change).buy}
    assert "3 links" in parts["chain-piece"].name
    assert parts["joining-link"].quantity == 2
    assert said(parts["joining-link"]).startswith("2 × ")


def test_new_chain_brings_its_joining_link():
    parts = bought(14, 48, 110, new_chain=True)
    assert parts["chain"] == 1
    assert "joining-link" not in parts
    assert "chain-piece" not in parts


def test_offset_link_is_named_a_last_resort():
    change = SprocketChange(13, 50, 13, 52, "520", 112, 113)
    offset = next(part for part in parts_list(change).buy if part.id == "offset-link")
    assert "last resort" in offset.why
    assert "112 or 114" in offset.why


@pytest.mark.parametrize("teeth", [(14, 50), (13, 48), (14, 48)])
def test_every_sprocket_and_the_chain_are_accounted_for(teeth):
    """What is not bought stays, with a reason; what comes off is kept for going back."""
    parts = parts_list(SprocketChange(13, 50, *teeth, "520", 112, 112))
    kept = " / ".join(part.name for part in parts.keep)
    for name in ("ront sprocket", "ear sprocket", "520 chain"):
        assert name in kept
    for part in parts.keep:
        assert part.why.endswith(".")
    taken_off = [part for part in parts.keep if part.name.startswith("Old")]
    assert len(taken_off) == (teeth[0] != 13) + (teeth[1] != 50)
    assert all("go back" in part.why for part in taken_off)


def test_no_change_needs_nothing():
    parts = parts_list(SprocketChange(13, 50, 13, 50, "520", 112, 112))
    assert parts.buy == ()
    assert parts.sentence == "Nothing to buy: sprockets and chain stay as they are."


def test_the_disagreement_is_shown_with_reasons_on_both_sides():
    first, second = TOGETHER_OR_WORN
    assert first.name != second.name
    assert len(first.arguments) == len(second.arguments) >= 3
