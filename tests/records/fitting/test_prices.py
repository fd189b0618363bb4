"""Typed prices: what is read, what is refused, and the sum."""

from decimal import Decimal

import pytest
from hypothesis import given
from hypothesis import strategies as st

from explorer.records.errors import RecordError
from explorer.records.fitting.parts import Part, PartsList
from explorer.records.fitting.prices import (
    HIGHEST,
    cost,
    money,
    read_currency,
    read_price,
)

SPROCKET = Part("front-sprocket", "front sprocket", 1, "Spline.")
LINKS = Part("joining-link", "joining link", 2, "Once.")
SPARE = Part("spare", "spare link", 1, "To carry.", optional=True)
LIST = PartsList((SPROCKET, LINKS, SPARE), ())


@pytest.mark.parametrize(
    ("typed", "price"),
    [("24.50", "24.50"), (" 24,5 ", "24.5"), ("0", "0"), ("1800", "1800"), ("0.05", "0.05")],
)
def test_price_is_read(typed, price):
    assert read_price(typed) == Decimal(price)


@pytest.mark.parametrize(
    ("typed", "said"),
    [
        ("-3", "negative"),
        ("\N{MINUS SIGN}3", "negative"),
        ("1,800", "two ways"),
        ("1.800", "two ways"),
        ("1'800.00", "two ways"),
        ("24.50 EUR", "currency has its own field"),
        ("1e3", "not a price"),
        ("nan", "not a price"),
        ("<b>", "not a price"),
        ("٣", "not a price"),
        ("99999999", "higher than any"),
        ("9" * 500, "two ways"),
    ],
)
def test_what_is_no_price_gives_one_sentence(typed, said):
    with pytest.raises(RecordError, match=said) as caught:
        read_price(typed)
    assert len(caught.value.sentences) == 1


@given(st.text(max_size=30))
def test_any_text_is_read_or_refused_in_a_sentence(typed):
    try:
        price = read_price(typed)
    except RecordError as error:
        assert len(error.sentences) == 1
    else:
        assert price is None or 0 <= price <= HIGHEST


def test_sum_is_exact_where_binary_fractions_are_not():
    """0.10 + 2 × 0.10 is 0.30 to the last digit; as floats it is not."""
    assert 0.1 + 2 * 0.1 != 0.3
    priced = cost(LIST, {"front-sprocket": Decimal("0.10"), "joining-link": Decimal("0.10")}, "EUR")
    assert priced.total == Decimal("0.30")
    assert priced.sentence == "Total of the prices you typed: 0.30 EUR."


def test_missing_price_is_named_and_an_optional_part_is_not_missed():
    priced = cost(LIST, {"front-sprocket": Decimal("24.50")})
    assert priced.sentence == "Total so far: 24.50. No price yet for: joining link."


def test_prices_of_parts_not_on_the_list_are_left_alone():
    assert cost(PartsList((SPROCKET,), ()), {"chain": Decimal(90)}).total == 0


def test_nothing_to_buy_and_nothing_typed_have_their_sentences():
    assert "nothing" in cost(PartsList((), ()), {}).sentence
    assert "Type the prices" in cost(LIST, {}).sentence


@pytest.mark.parametrize("label", ["EUR", "£", "kr", "", "US$", "zł"])
def test_any_currency_and_none(label):
    assert read_currency(f" {label} ") == label
    assert money(Decimal("5"), label) == f"5 {label}".strip()


@pytest.mark.parametrize("label", ["E" * 13, "5", "EUR 3", "\x00"])
def test_label_that_would_be_taken_for_a_price_is_refused(label):
    with pytest.raises(RecordError, match="label of a currency"):
        read_currency(label)
