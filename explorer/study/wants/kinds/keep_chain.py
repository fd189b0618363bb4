"""The chain that is on the bike."""

import math
from dataclasses import dataclass

from explorer.study.wants.want import Measured, Want


@dataclass(frozen=True, kw_only=True)
class KeepChain(Want):
    """Keep the chain that is on the bike, uncut."""

    kind, place = "keep-chain", 8
    label = "Keep the chain"
    help = "The present chain, uncut, reaches within the adjuster."
    margin_kind = "length"
    value_is_margin = True

    def tolerance(self, limiter):
        return 0.002

    def measure(self, every):
        chains = every.chains
        return Measured(chains.keep_margin, chains.keep_margin, unknown=chains.unknown)

    def value_words(self, value, gear, limit, system):
        if math.isnan(value):
            return "not known"
        said = self.amount_words(value, system)
        return f"{said} of the adjuster left" if value >= 0 else f"{said} of adjuster missing"
