"""No sentence claims a sign that its band does not carry, over random bikes, pairs and tyres.

What carries a sign is counted here draw by draw, not read off the interval that the pages use. The
verdict's figure is that of the bench's tile, of the bench's words and of the ground page, digit by
digit.
"""

import random
import re

import numpy as np
import pytest

from explorer.app.controls import tyre_sizes
from explorer.records.setups.comparison import Fitment
from explorer.study import fit_result
from explorer.study.study import FITTED, Study
from explorer.study.table import sold_pairs
from explorer.study.verdict import verdicts_of
from explorer.tasks.bench.words import TILES, RowWords
from explorer.tasks.fit.page import _verdict
from explorer.tasks.gearing.words import top_speed_change
from explorer.tasks.ground.words import sure_sentences
from tests.study.test_one_answer import drawn

CASES, LONG_CASES = 60, 150
CARRIED = 0.95
"""Share of the draws that must agree with a sign; an interval's one end leaves out 2.5 %."""


def cases(count):
    """Studies of a random bike with three random pairs, the last on another size of tyre."""
    for seed in range(count):
        choice, _ = drawn(seed)
        rng = random.Random(seed)
        pairs = rng.sample(sold_pairs(choice.bike), 3)
        setup, fitted = choice.setup, choice.bike.tyre.rear
        other = rng.choice([size for size, _ in tyre_sizes(fitted, fitted) if size != fitted])
        tyres = [(setup.tyre, setup.rollout)] * 2 + [(other, None)]
        others = [Fitment(*pair, *tyre) for pair, tyre in zip(pairs, tyres, strict=True)]
        yield choice, Study(choice.bike, setup, (Fitment.fitted_to(choice.bike, *others), *others))


def carried(study, name, index):
    """Share of the draws in which a figure differs from the fitted one's as it does as given."""
    sampled = study.estimate(name)
    apart = sampled.draws[:, index] - sampled.draws[:, FITTED]
    return np.mean(np.sign(apart) == np.sign(sampled.value[index] - sampled.value[FITTED]))


@pytest.fixture(scope="module")
def studies(long_run):
    return list(cases(LONG_CASES if long_run else CASES))


def test_the_sign_of_the_top_speed_is_carried_by_its_band(studies):
    signs = {"+": 0, "−": 0, "no": 0}
    for choice, study in studies:
        for index, verdict in enumerate(verdicts_of(study, choice.measured)):
            said = re.search(r"Top speed: (\S)", verdict.sentence("metric"))
            if not said:
                continue
            share = carried(study, "top", index)
            if said[1] in "+−":
                assert share >= CARRIED, verdict.sentence("metric")
                change = study.top.speed[index] - study.top.speed[FITTED]
                assert (change > 0) == (said[1] == "+")
                signs[said[1]] += 1
            else:
                signs["no"] += 1
    assert min(signs.values()) > 5, signs


def test_harder_and_faster_are_said_only_where_the_tyres_leave_no_doubt(studies):
    doubtful = 0
    for choice, study in studies:
        for index, verdict in enumerate(verdicts_of(study, choice.measured)):
            said = verdict.sentence("metric")
            if re.search(r"harder|faster", said):
                assert carried(study, "geared", index) >= CARRIED, said
            doubtful += "may gear either way" in said
    assert doubtful


def test_the_figure_is_that_of_every_page_digit_by_digit(studies):
    """Of a hundred: each is worked out anew for every one of its pairs."""
    compared = 0
    for choice, study in studies[:100]:
        words, top = RowWords(study), TILES.index("top")
        for index, verdict in enumerate(verdicts_of(study, choice.measured)):
            system = choice.setup.units
            if not verdict.notices_top or "Top speed: no" in verdict.sentence(system):
                continue
            if index == FITTED or verdict.keep or verdict.top is None:
                continue
            figure = re.search(r"Top speed: (.*?)[.;] ", verdict.sentence(system))[1]
            assert figure == words.tiles(index, verdict)[top][0]
            alone = Study.of(choice.bike, study.fitments[index].on(choice.setup))
            assert figure == top_speed_change(alone)
            assert f"Top speed: {figure} against fitted." in sure_sentences(alone)
            there = choice.__class__(choice.bike, alone.setup, choice.measured)
            assert f"Top speed: {figure}" in _verdict(fit_result.compute(there))
            compared += 1
    assert compared > 20
