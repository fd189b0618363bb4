"""The change of gearing: what is refused, and whether its chain can be put together."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.fitting.sprocket_change import LINKS, SprocketChange

PLAIN = {
    "old_front": 13,
    "old_rear": 50,
    "front": 14,
    "rear": 48,
    "chain_size": "520",
    "old_links": 112,
    "links": 112,
}


def change(**fields) -> SprocketChange:
    return SprocketChange(**(PLAIN | fields))


@pytest.mark.parametrize(
    ("fields", "said"),
    [
        ({"front": 7}, "front sprocket to be fitted cannot have .7. teeth"),
        ({"front": 13.0}, "front sprocket"),
        ({"rear": 9}, "20 to 80"),
        ({"old_rear": True}, "fitted rear sprocket"),
        ({"links": 0}, "count the pins"),
        ({"links": -112}, "chain to go on"),
        ({"old_links": 111}, "even number; count the pins again"),
        ({"old_links": "112"}, "fitted chain"),
        ({"chain_size": "52O"}, "stamped"),
        ({"chain_size": "<b>"}, "chain size"),
        ({"joining_link": "tape"}, "clip, rivet"),
        ({"retainer": ""}, "ring, tab-washer"),
        ({"axle_lock": "hope"}, "split-pin"),
        ({"rear_nuts": 0}, "count them"),
        ({"rear_nuts": 60}, "3 to 12"),
    ],
)
def test_bad_input_gives_one_sentence(fields, said):
    with pytest.raises(RecordError, match=said) as caught:
        change(**fields)
    assert len(caught.value.sentences) == 1


def test_every_fault_is_said_at_once():
    with pytest.raises(RecordError) as caught:
        change(front=99, links=3, retainer="wire")
    assert len(caught.value.sentences) == 3


def test_same_pair_and_chain_is_no_change():
    same = change(front=13, rear=50)
    assert same.nothing_changed
    assert not change(front=13, rear=50, new_chain=True).nothing_changed


def test_riveted_chain_of_the_same_length_stays_closed():
    assert not change(joining_link="rivet").chain_opened
    assert change(joining_link="rivet", links=110).chain_opened
    assert change(joining_link="clip").chain_opened


@given(
    old=st.integers(LINKS[0] // 2, LINKS[1] // 2).map(lambda pairs: 2 * pairs),
    links=st.integers(*LINKS),
)
def test_the_parts_put_together_make_a_chain_of_so_many_links(old, links):
    """Inner and outer links alternate all the way round; the rule by which chains are built.

    i and o are inner and outer links, J a joining link (outer), X an offset link, which is inner at
    one end and outer at the other.
    """
    made = change(old_links=old, links=links)
    opened = "io" * (old // 2 - 1) + "i"
    if made.links_taken_out:
        opened = opened[: -made.links_taken_out]
    if made.links_put_in:
        opened += "J" + ("io" * made.links_put_in)[: made.links_put_in - 1]
    loop = opened + ("X" if made.offset_link else "") + "J"
    assert len(loop) == links
    ends = {"i": "ii", "o": "oo", "J": "oo", "X": "oi"}
    for link, following in zip(loop, loop[1:] + loop[0], strict=True):
        assert ends[link][1] != ends[following][0]
