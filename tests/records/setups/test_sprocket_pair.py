"""A sprocket pair as riders write it."""

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.setups.sprocket_pair import FRONT_TEETH, REAR_TEETH, parse_pair


@pytest.mark.parametrize(
    "text",
    [
        "13/48",
        "48/13",
        "48:13",
        "13:48",
        "13-48",
        "48-13",
        "13x48",
        "13 X 48",
        "13\N{MULTIPLICATION SIGN}48",
        "13 48",
        " 13 / 48 ",
        "13\N{EN DASH}48",
        "13T/48T",
    ],
)
def test_both_orders_and_every_sign_mean_one_pair(text):
    pair = parse_pair(text)
    assert (pair.front, pair.rear) == (13, 48)
    # 48 / 13 = 3.6923
    assert pair.sentence == (
        "Front sprocket 13 teeth, rear sprocket 48 teeth; final drive ratio 3.69."
    )


@pytest.mark.parametrize(
    ("text", "word"),
    [
        ("", "No sprocket teeth"),
        ("13", "one number only"),
        ("48T", "one number only"),
        ("22/22", "cannot be told apart"),
        ("7/48", "front sprocket of 7"),
        ("26/48", "front sprocket of 26"),
        ("13/19", "rear sprocket of 19"),
        ("13/81", "rear sprocket of 81"),
        ("0/0", "Both sprockets"),
        ("13.5/48", "decimal"),
        ("13,5/48", "decimal"),
        ("-13/48", "not a pair"),
        ("13/48/2", "not a pair"),
        ("thirteen/48", "not a pair"),
        ("13/48; drop", "not a pair"),
        ("9" * 5000 + "/13", "not a pair"),
        ("<b>13/48</b>", "not a pair"),
    ],
)
def test_refused_with_one_sentence(text, word):
    with pytest.raises(RecordError, match=word) as caught:
        parse_pair(text)
    (sentence,) = caught.value.sentences
    assert "13/48" in sentence
    assert len(sentence) < 200


@given(st.text(max_size=40) | st.from_regex(r"[0-9/:x. -]{1,12}", fullmatch=True))
def test_any_text_gives_a_pair_or_one_sentence(text):
    try:
        pair = parse_pair(text)
    except RecordError as error:
        assert len(error.sentences) == 1
    else:
        assert FRONT_TEETH[0] <= pair.front <= FRONT_TEETH[1]
        assert REAR_TEETH[0] <= pair.rear <= REAR_TEETH[1]
        assert pair.front < pair.rear


@given(st.integers(*FRONT_TEETH), st.integers(26, REAR_TEETH[1]), st.sampled_from("/:-x "))
def test_order_does_not_matter(front, rear, sign):
    assert parse_pair(f"{front}{sign}{rear}") == parse_pair(f"{rear}{sign}{front}")
