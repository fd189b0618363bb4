"""Parts for so much money."""

import math
from dataclasses import dataclass
from decimal import Decimal

from explorer.records.fitting.prices import money
from explorer.records.riding.want_values import Ask
from explorer.study.wants.reasons import Reason, Why
from explorer.study.wants.want import Measured, Want


@dataclass(frozen=True, kw_only=True)
class SpendAtMost(Want):
    """Parts for at most so much money."""

    kind, place = "spend", 9
    label = "Spend at most"
    help = "Sum of the prices that you typed for all needed parts."
    margin_kind = "money"
    needs_prices = True
    asks = (
        Ask("amount", "at most", "In the currency of your prices.", "money", "60"),
        Ask("currency", "currency", "Any label, or none.", "currency", ""),
    )

    amount: Decimal
    currency: str

    def tolerance(self, limiter):
        return max(1.0, 0.1 * self.si("amount"))

    def measure(self, every):
        costs = every.costs
        missing = ", ".join(costs.needed[part] for part in costs.unpriced)
        unknown = f"Type a price for: {missing}." if missing else ""
        return Measured(costs.total, self.si("amount") - costs.total, unknown=unknown)

    def why_not(self, unmet):
        return Why(Reason.MONEY)

    def amount_words(self, value, system):
        return money(Decimal(f"{abs(value):.2f}"), self.currency)

    def value_words(self, value, gear, limit, system):
        return "not known" if math.isnan(value) else self.amount_words(value, system)
