"""Prediction against measurement: do the two agree, and was the measurement good enough to tell?

Agreement alone proves little: a sloppy measurement agrees with everything. So a prediction counts
as confirmed only if the measurement could also have told that it was wrong by an amount that
matters.

Args:
    predicted: What was computed, with its standard uncertainty [any unit].
    matters (float, positive): Smallest difference worth telling; for a change of gearing the size
        of the change that was promised, so that a measurement which could not tell it from no
        change confirms nothing [unit of predicted].
"""

from enum import Enum
from typing import NamedTuple

import numpy as np
from scipy.special import ndtr

from explorer.calc.statistics.repeated_runs import (
    LEVEL_OF_CONFIDENCE,
    Mean,
    coverage_factor,
    effective_degrees_of_freedom,
)

MOST_RUNS = 30
"""More runs each way than anybody rides; beyond it, another way of measuring is needed [count]."""


class Outcome(Enum):
    """What a comparison says."""

    AS_PREDICTED = "as predicted"
    NOT_AS_PREDICTED = "not as predicted"
    TOO_NOISY = "too noisy to tell"


class Verdict(NamedTuple):
    """What a comparison found.

    Attributes:
        difference: Measured less predicted [any unit].
        expanded: Half the width of the 95 % interval about the difference [unit of difference].
        score: Normalised error: the difference over its expanded uncertainty; beyond ±1 the two
            disagree [-].
        matters: Smallest difference worth telling [unit of difference].
        outcome: The verdict [-].
    """

    difference: float
    expanded: float
    score: float
    matters: float
    outcome: Outcome


def compare(predicted: Mean, measured: Mean, matters: float, correlation: float = 0.0) -> Verdict:
    r"""Compare a measurement with its prediction, both with their uncertainty.

    .. math:: E_n = \frac{x - X}{k\,\sqrt{u_x^2 + u_X^2 - 2 r u_x u_X}}

    Args:
        measured: What was measured [unit of predicted].
        correlation (float, -1 to 1): Of the errors of the two; 0 if they share none [-].

    Returns: Disagreement where the score exceeds 1; else agreement if the expanded uncertainty is
        below what matters; else too noisy [unit of predicted].

    Notes:
        k is Student's t for the effective degrees of freedom instead of the usual 2, since riders
        make few runs. With many runs and no correlation the score is the E_n number of proficiency
        tests.

    References:
        E_n number: ISO 13528 and ISO/IEC 17043 (named from memory; form read in texts that apply
        them). Combination of correlated parts: JCGM 100:2008 (GUM), 5.2.2 (number from memory).

    >>> few = Mean(5.4, 0.04, 4.0)
    >>> verdict = compare(Mean(5.3, 0.06, np.inf), few, matters=0.4)
    >>> print(verdict.outcome.value, f"{verdict.score:.2f}")
    as predicted 0.69
    """
    parts = np.array([predicted.standard_uncertainty, measured.standard_uncertainty])
    shared = 2 * correlation * parts[0] * parts[1]
    combined = np.sqrt(max(float((parts**2).sum()) - shared, 0.0))
    freedom = effective_degrees_of_freedom(
        parts, [predicted.degrees_of_freedom, measured.degrees_of_freedom]
    )
    expanded = float(coverage_factor(freedom) * combined)
    difference = measured.value - predicted.value
    score = difference / expanded if expanded > 0 else np.copysign(np.inf, difference)
    score = 0.0 if difference == 0 else score
    outcome = Outcome.AS_PREDICTED if expanded < matters else Outcome.TOO_NOISY
    if abs(score) > 1:
        outcome = Outcome.NOT_AS_PREDICTED
    return Verdict(difference, expanded, float(score), matters, outcome)


def change(before: Mean, after: Mean, shared_uncertainty: float = 0.0) -> Mean:
    """After less before, of what was measured with the same instrument.

    Args:
        before, after: Measured before the change and after it [any unit].
        shared_uncertainty (float, non-negative): Part of both standard uncertainties that comes
            from one and the same error, as of one instrument or one mass; it cancels [unit of
            before].

    Returns: The change [unit of before].

    References:
        JCGM 100:2008 (GUM), 5.2.2 and F.1.2.3 (numbers from memory): the shared variance is the
        covariance.

    >>> sooner = change(Mean(5.4, 0.05, np.inf), Mean(5.0, 0.05, np.inf), 0.03)
    >>> print(f"{sooner.value:.2f} s, standard uncertainty {sooner.standard_uncertainty:.3f} s")
    -0.40 s, standard uncertainty 0.057 s
    """
    own = [
        np.sqrt(max(mean.standard_uncertainty**2 - shared_uncertainty**2, 0.0))
        for mean in (before, after)
    ]
    return Mean(
        after.value - before.value,
        float(np.hypot(*own)),
        effective_degrees_of_freedom(own, [before.degrees_of_freedom, after.degrees_of_freedom]),
    )


def runs_needed(predicted: Mean, scatter: float, matters: float) -> float:
    """Runs each way that would make the comparison sharp enough.

    Args:
        scatter (float, non-negative): Standard deviation of a single run about the mean of its
            direction [unit of predicted].

    Returns: Number of runs each way, 2 to 30; infinite if even 30 would not do [count].

    >>> runs_needed(Mean(5.3, 0.06, np.inf), 0.3, 0.4), runs_needed(Mean(5.3, 0.5, np.inf), 0, 0.4)
    (3.0, inf)
    """
    for runs in range(2, MOST_RUNS + 1):
        parts = np.array([predicted.standard_uncertainty, scatter / np.sqrt(2 * runs)])
        freedom = effective_degrees_of_freedom(
            parts, [predicted.degrees_of_freedom, 2 * (runs - 1)]
        )
        if coverage_factor(freedom) * np.hypot(*parts) < matters:
            return float(runs)
    return np.inf


class HillVerdict(NamedTuple):
    """Computed chance of what was seen on a hill [-], and the verdict."""

    chance: float
    outcome: Outcome


def compare_hill(steepest: Mean, slope: Mean, held: bool) -> HillVerdict:
    """Compare a hill that was held, or was not, with the steepest slope that a gear should hold.

    Args:
        steepest, slope: Computed steepest slope, and measured slope of the hill [any unit].
        held (bool): Whether the speed stayed up to the top.

    Returns: As predicted where the chance of what was seen is above 95 %, not as predicted where it
        is below 5 %; between them this hill can't tell [-].

    Notes:
        One climb is a yes or a no, so the verdict is the computed chance of what was seen, with
        both slopes taken as normally distributed.

    >>> compare_hill(Mean(0.30, 0.02, np.inf), Mean(0.20, 0.01, np.inf), True).outcome.value
    'as predicted'
    """
    spare = steepest.value - slope.value
    spread = np.hypot(steepest.standard_uncertainty, slope.standard_uncertainty)
    sure = float(ndtr(spare / spread)) if spread > 0 else float(spare >= 0)
    chance = sure if held else 1 - sure
    if chance > LEVEL_OF_CONFIDENCE:
        return HillVerdict(chance, Outcome.AS_PREDICTED)
    unlikely = chance < 1 - LEVEL_OF_CONFIDENCE
    return HillVerdict(chance, Outcome.NOT_AS_PREDICTED if unlikely else Outcome.TOO_NOISY)
