"""One sprocket only."""

from dataclasses import dataclass

from explorer.study.wants.want import Measured, Want


@dataclass(frozen=True, kw_only=True)
class OneSprocketOnly(Want):
    """Change one sprocket at most."""

    kind, place = "one-sprocket", 10
    label = "One sprocket only"
    help = "Number of sprockets to change, one at most."
    margin_kind = "count"
    none_in_hand = True

    def tolerance(self, limiter):
        return 0.5

    def measure(self, every):
        fitted = every.bike.sprockets
        changed = (every.front != fitted.front).astype(float) + (every.rear != fitted.rear)
        return Measured(changed, 1.0 - changed)

    def amount_words(self, value, system):
        return f"{abs(value):.0f} sprocket{'' if round(abs(value)) == 1 else 's'}"

    def value_words(self, value, gear, limit, system):
        return f"{self.amount_words(value, system)} to change"
