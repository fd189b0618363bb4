"""Formulas of uncertainty, for the method page."""

from explorer.calc.statistics import pair_bands, sampling, sensitivity, spreads, uncertainty
from explorer.study.certainty import INPUT_NAMES
from explorer.tasks.method.entry import Entry, Group

UNCERTAINTY = Group(
    "Uncertainty",
    "Inputs are not exact, so neither are results. Two set-ups of one motorcycle share their "
    "errors: their difference is much surer than either level, and a difference smaller than its "
    "spread is said to be so. A band holds 95 % of 64 draws (GUM Supplement 1): every input "
    "is evenly spread between its bounds, independent of the others: "
    + "; ".join(
        f"{INPUT_NAMES[each.input]}, {each.reason}"
        for each in (*spreads.USUAL_SPREADS, *spreads.DRIVE_SPREADS)
    )
    + "; roll-out, ±0.3 % measured or ±3 % from the tyre's size; rolling resistance and grip, the "
    "range printed for the ground. On the trade-off, bands are drawn at 17 ratios and "
    "interpolated between them.",
    (
        Entry(
            "Standard uncertainty from bounds",
            spreads.standard_uncertainty,
            {"u": "result", "a": "low", "b": "high"},
        ),
        Entry(
            "Propagation to a result",
            uncertainty.propagate,
            {
                "f": "the result with the inputs as given [unit of the result]",
                "f_+": "the result with one input moved up to its bound [unit of the result]",
                "f_-": "the result with that input moved down to its bound [unit of the result]",
                "Z_i": "contribution of input i [unit of the result]",
                "Z_j": "contribution of input j [unit of the result]",
                "Q_i": "what input i adds by curvature [unit of the result]",
                "r_ij": "correlation of inputs i and j [-]",
                "u": "standard uncertainty of the result [unit of the result]",
            },
        ),
        Entry(
            "Which input matters most",
            sensitivity.shares_of_variance,
            {
                "s_i": "share of input i [-]",
                "Z_i": "contributions",
                "Z_j": "contribution of input j [any unit]",
                "Q_i": "curvatures",
                "r_ij": "correlation",
                "u": "standard uncertainty of the result [any unit]",
            },
        ),
    ),
    (
        spreads.surface_spreads,
        spreads.rollout_spreads,
        spreads.varied,
        spreads.inputs_of,
        spreads.replaced,
        sampling.drawn,
        sampling.interval,
        uncertainty.estimate,
        uncertainty.combined,
        uncertainty.variance_terms,
        uncertainty.difference,
        uncertainty.distinguishable,
        pair_bands.ratio_nodes,
        pair_bands.interpolated_band,
    ),
)
