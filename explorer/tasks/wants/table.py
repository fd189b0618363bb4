"""The short list as a table to see or to download."""

import pandas as pd

from explorer.records.fitting.prices import money
from explorer.study.certainty import signed_percent
from explorer.study.wants.wants_short_list import ShortList
from explorer.tasks.wants.words import chain_words, role_words


def short_list_table(listing: ShortList) -> pd.DataFrame:
    """One row for each set-up, best first, one column for each want; texts, not escaped."""
    result = listing.result
    rows = []
    for entry in listing.entries:
        missing = entry.cost is not None and entry.cost.unpriced
        if entry.total:
            total = money(entry.total, result.currency)
        else:
            total = "no price typed yet" if missing else "nothing to pay"
        parts = [] if entry.parts is None else [p.name for p in entry.parts.buy if not p.optional]
        row = {
            "front/rear": f"{entry.front}/{entry.rear}",
            "listed as": role_words(entry),
            "final drive ratio": f"{result.ratio[entry.index]:.2f}",
            "pull at the tyre": signed_percent(
                float(result.ratio[entry.index] / result.ratio[result.now] - 1)
            ),
            "score": f"{entry.score:.2f}",
            "best, alone or tied": f"{entry.share_best * 100:.0f} %",
            "chain": chain_words(result, entry),
            "parts": "; ".join(parts) or "none",
            "cost": f"{total} and parts without a price" if missing and entry.total else total,
        }
        # Two wants may read alike; a number keeps their columns apart.
        row |= {
            f"{number}. {judged.name}": judged.margin_words(entry.index, result.system)
            for number, judged in enumerate(result.judged, 1)
        }
        rows.append(row)
    return pd.DataFrame(rows, dtype=str)
