"""Prices that a rider types beside the shopping list, and what they add up to.

Money is decimal throughout: no price is ever a binary fraction.
"""

import re
from collections.abc import Mapping
from dataclasses import dataclass
from decimal import Decimal
from typing import cast

from explorer.records.errors import RecordError
from explorer.records.fitting.parts import Part, PartsList
from explorer.records.typed_text import quote, tidy

HIGHEST = Decimal(10_000_000)
"""Above any price of a sprocket, in any currency."""

LONGEST_CURRENCY = 12

_PRICE = re.compile(r"[0-9]{1,9}(?:[.,][0-9]{1,2})?")
_PART = re.compile("[a-z][a-z-]{0,39}")
_MOST_PRICES = 20
_EXAMPLE = "write for example 24.50"


@dataclass(frozen=True)
class CostLine:
    """One part with its price for one piece; None while no price is given."""

    part: Part
    price: Decimal | None

    @property
    def cost(self) -> Decimal | None:
        """Price of all pieces."""
        return None if self.price is None else self.price * self.part.quantity


@dataclass(frozen=True)
class Cost:
    """What a shopping list costs, in its order; the currency's label as typed, or none."""

    lines: tuple[CostLine, ...]
    currency: str

    @property
    def total(self) -> Decimal:
        """Sum of all parts that have a price."""
        return sum((line.cost for line in self.lines if line.cost is not None), Decimal(0))

    @property
    def unpriced(self) -> tuple[Part, ...]:
        """Parts that are needed and have no price yet."""
        return tuple(
            line.part for line in self.lines if line.price is None and not line.part.optional
        )

    @property
    def sentence(self) -> str:
        """The total, and what is missing from it."""
        if not self.lines:
            return "Nothing to buy, so it costs nothing."
        if all(line.price is None for line in self.lines):
            return "Type the prices you are offered, and the total appears here."
        total = money(self.total, self.currency)
        if not self.unpriced:
            return f"Total of the prices you typed: {total}."
        missing = ", ".join(part.name for part in self.unpriced)
        return f"Total so far: {total}. No price yet for: {missing}."


def read_price(text: str) -> Decimal | None:
    """Read a price for one piece: at most two decimals after a point or comma; None for a blank.

    >>> read_price("24,50"), read_price(" ")
    (Decimal('24.50'), None)
    """
    entry = tidy(text)
    if not entry:
        return None
    if entry.startswith("-"):
        raise RecordError(f"{quote(entry)} is negative; a price is zero or more: {_EXAMPLE}.")
    if not _PRICE.fullmatch(entry):
        if re.fullmatch(r"[0-9][0-9., ']*", entry):
            raise RecordError(
                f"{quote(entry)} can be read in two ways; write thousands without a mark and at "
                f"most two decimals: {_EXAMPLE}."
            )
        raise RecordError(
            f"{quote(entry)} is not a price; write the number alone, the currency has its own "
            f"field: {_EXAMPLE}."
        )
    price = Decimal(entry.replace(",", "."))
    if price > HIGHEST:
        raise RecordError(
            f"{quote(entry)} is higher than any price accepted here ({HIGHEST:,}); check the "
            f"number: {_EXAMPLE}."
        )
    return price


def read_prices(text: str) -> tuple[dict[str, Decimal], str]:
    """Read a rider's prices in one text, as a link carries them: of one piece by the part's id,
    and the currency's label.

    >>> read_prices("EUR: chain 60, front-sprocket 24.50")
    ({'chain': Decimal('60'), 'front-sprocket': Decimal('24.50')}, 'EUR')
    """
    currency, _, rest = text.rpartition(":")
    found = {}
    for each in filter(None, map(tidy, rest.split(","))):
        part, _, price = each.rpartition(" ")
        if not _PART.fullmatch(part) or len(found) >= _MOST_PRICES:
            raise RecordError(
                f"{quote(each)} is no price of a part; write for example chain 60, and at most "
                f"{_MOST_PRICES} of them."
            )
        found[part] = cast(Decimal, read_price(price))
    return found, read_currency(currency)


def write_prices(prices: Mapping[str, Decimal | None], currency: str) -> str:
    """The text of prices and currency that `read_prices` reads; empty for none.

    >>> write_prices({"chain": Decimal("60"), "front-sprocket": None}, "")
    ':chain 60'
    """
    said = ", ".join(f"{part} {price:f}" for part, price in prices.items() if price is not None)
    return f"{currency}:{said}" if said or currency else ""


def read_currency(text: str) -> str:
    """Read a currency's label, such as "EUR" or "£"; any is accepted, and none.

    >>> read_currency(" EUR ")
    'EUR'
    """
    label = tidy(text)
    if len(label) > LONGEST_CURRENCY or not label.isprintable() or re.search(r"\d", label):
        raise RecordError(
            f"{quote(text)} cannot be the label of a currency; write at most {LONGEST_CURRENCY} "
            'letters or signs and no digits, for example "EUR", or leave it empty.'
        )
    return label


def money(amount: Decimal, currency: str) -> str:
    """An amount with its currency, with as many decimals as were typed.

    >>> money(Decimal("24.50"), "EUR"), money(Decimal("1800"), "")
    ('24.50 EUR', '1800')
    """
    return f"{amount:f} {currency}".rstrip()


def cost(parts: PartsList, prices: Mapping[str, Decimal | None], currency: str = "") -> Cost:
    """Add up what a shopping list costs.

    Args:
        prices: For one piece by the id of the part; what is not on the list is left alone, so
            prices outlive a change of the pair.

    >>> pin = Part("split-pin", "split pin", 2, "Bent once.")
    >>> cost(PartsList((pin,), ()), {"split-pin": Decimal("0.35")}, "EUR").sentence
    'Total of the prices you typed: 0.70 EUR.'
    """
    return Cost(tuple(CostLine(part, prices.get(part.id)) for part in parts.buy), currency)
