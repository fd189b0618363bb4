"""One answer: random bikes and wishes get the same verdict on bench, short list and fit page.

Every other bike is a rider's own, all its numbers drawn and entered by the form; the others are
demo bikes with links, adjuster room and rider drawn anew. Wishes are drawn of every kind. The
sentences are read from what the pages show. ``--long`` draws 200, as ``.ci/run`` does, else 20.
"""

import base64
import random
import re
from dataclasses import replace

import numpy as np
import pytest

from explorer.app.gearing_views import tradeoff_view
from explorer.calc.chain.chain_choice import Choice, Reach
from explorer.calc.chain.chain_fit import Verdict
from explorer.calc.course.course_rider import RIDERS
from explorer.charts.gearing import wants_chart
from explorer.charts.pair_points import chain_key, chain_marks
from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.bikes.own_bike import read_own_bike
from explorer.records.fitting.fit import Measurements
from explorer.records.ground.course import courses
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.link import MINE, encode
from explorer.records.setups.setup import Setup
from explorer.study import fit_result
from explorer.study.certainty import is_real
from explorer.study.choice import PageChoice
from explorer.study.course import ride_all
from explorer.study.course_said import NOT_THE_TIME, SAME_TIME
from explorer.study.fit_chain import UNKNOWN, fit_map, verdicts_sold
from explorer.study.pairs import pairs_of
from explorer.study.study import Study
from explorer.study.table import unpacked
from explorer.study.verdict import verdicts_of
from explorer.study.wants.kinds import WANTS
from explorer.study.wants.mixes import TERRAIN_IDS, terrains
from explorer.study.wants.wants_link import Wishes
from explorer.study.wants.wants_rank import ranked
from explorer.study.wants.wants_result import compute
from explorer.study.wants.wants_short_list import COMPROMISE, equal, short_list
from explorer.tasks.bench.state import BenchState
from explorer.tasks.bench.table import table_of
from explorer.tasks.fit.page import _verdict
from explorer.tasks.ground.course_words import course_sentences
from explorer.tasks.wants.honest import list_words
from explorer.tasks.wants.views import chart_view
from explorer.tasks.wants.words import listed_words, recommendation
from tests.study.wants.brute_force_wants import random_want

CASES, LONG_CASES = 20, 150
SURFACES = ("dry-asphalt", "forest-soil", "wet-grass", "hard-packed-gravel", "loose-sand")


def own_bike(rng: random.Random) -> Bike:
    """A bike as a rider enters it: from a child's to one for the open road."""
    gears, limit = rng.randint(4, 6), rng.randrange(7000, 12000, 100)
    first, top = rng.uniform(2.2, 3.2), rng.uniform(0.8, 1.1)
    ratios = (first * (top / first) ** (at / (gears - 1)) for at in range(gears))
    weight = rng.randint(65, 170)
    typed = {
        "name": "Meadow",
        "pair": f"{rng.randint(11, 16)}/{rng.randint(38, 54)}",
        "tyre": rng.choice(("90/100-16", "100/90-19", "110/100-18", "120/90-18", "140/80-18")),
        "gears": "/".join(f"{each:.2f}" for each in ratios),
        "primary": f"{rng.uniform(2.4, 3.6):.2f}",
        "limit": str(limit),
        "peak": f"{weight * rng.uniform(0.06, 0.25):.1f} kW at {0.9 * limit:.0f}",
        "weight": str(weight),
        "chain": f"{rng.choice(('420', '428', '520'))} x {rng.randrange(108, 126, 2)}",
    }
    read = read_own_bike(typed)
    assert read.bike, read.problems
    return read.bike


def drawn(seed: int) -> tuple[PageChoice, Wishes]:
    """A bike with what was measured of it, on a ground, and what its rider wants."""
    rng, numbers = random.Random(seed), np.random.default_rng(seed)
    name, bike = rng.choice(sorted(demo_bikes().items()))
    if seed % 2:
        name, bike = MINE, own_bike(rng)
    setup = Setup.for_bike(name, bike).changed(
        surface=rng.choice(SURFACES),
        rider_mass=rng.uniform(50.0, 100.0),
        altitude=rng.uniform(0.0, 2000.0),
    )
    measured = Measurements.for_bike(bike).changed(
        {
            "links": str(bike.chain.links + rng.choice((-2, 0, 0, 2))),
            "room_forward": f"{rng.uniform(0, 25):.0f} mm",
            "room_back": f"{rng.uniform(0, 25):.0f} mm",
            "centre_distance": "",
        }
    )
    kinds = rng.sample([kind for kind in WANTS if kind != "spend"], rng.randint(1, 4))
    wants = tuple(random_want(numbers, kind, len(bike.gearbox.ratios)) for kind in kinds)
    ridden = tuple((terrain, 1.0) for terrain in rng.sample(TERRAIN_IDS, rng.randint(0, 2)))
    return PageChoice(bike, setup, measured), Wishes(wants, ridden)


@pytest.fixture(scope="module")
def cases(long_run):
    found = []
    for seed in range(LONG_CASES if long_run else CASES):
        choice, wishes = drawn(seed)
        listing = short_list(compute(choice.bike, choice.setup, choice.measured, wishes))
        found.append((choice, listing))
    return found


def on_the_bench(choice: PageChoice, pairs: list[tuple[int, int]]) -> list[str]:
    """Its verdicts: the fitted gearing and up to three others at a time, as it holds them."""
    setup, said = choice.setup, []
    fitted = Fitment.fitted_to(choice.bike, Fitment.chosen_in(setup))
    for at in range(0, len(pairs), 3):
        others = [Fitment(*pair, setup.tyre, setup.rollout) for pair in pairs[at : at + 3]]
        study = Study(choice.bike, setup, (fitted, *others))
        said += [each.sentence(setup.units) for each in verdicts_of(study, choice.measured)[1:]]
    return said


def on_the_fit_page(choice: PageChoice, pair: tuple[int, int]) -> str:
    """The sentence below its headline."""
    there = replace(choice, setup=choice.setup.changed(front=pair[0], rear=pair[1]))
    html = _verdict(fit_result.compute(there))
    return re.search(r'"ge-in-short">(.*?)</p>', html).group(1)


def test_short_list_bench_and_fit_page_say_the_same_of_a_pair(cases):
    for choice, listing in cases:
        others = [each for each in listing.entries if each.index != listing.result.now]
        pairs = [(each.front, each.rear) for each in others]
        said = [listed_words(listing, each)[0] for each in others]
        assert said == on_the_bench(choice, pairs), pairs
        if others:
            assert said[0] == on_the_fit_page(choice, pairs[0])


def test_what_is_recommended_is_called_worse_nowhere(cases):
    """What it costs stands in its own sentence; what does not fit or is not felt is not advised."""
    tried = 0
    for choice, listing in cases:
        what, why = recommendation(listing)
        fitted = listing.result.pair(listing.result.now)
        if not what.startswith("Try "):
            assert what in ("Nothing wanted yet", "Keep {}/{}".format(*fitted))
            continue
        tried += 1
        best = listing.best
        said = on_the_fit_page(choice, (best.front, best.rear))
        why, compromise, _ = why.partition(" A compromise. Worse than now: ")
        assert bool(compromise) == (COMPROMISE in best.roles)
        assert why == said and "Keep what you have" not in said and "does not fit" not in said
        study = Study.of(choice.bike, choice.setup.changed(front=best.front, rear=best.rear))
        before, after = study.top.speed
        if 0 < after < 0.97 * before:
            costs = "Top speed: −" if is_real(*study.change("top")) else "Top speed: no real change"
            assert costs in said
        # What is gained and what it costs, pull and speed, stand in one sentence.
        assert "pull" in said and " % " in said
    assert tried >= len(cases) / 10


def test_a_recommendation_that_loses_time_says_why_where_the_time_is_seen(cases):
    """Over each course of the mix, easy and raced: the ground page, and the list itself; of every
    other case, and of the rest until one loses time."""
    slower = 0
    for at, (choice, listing) in enumerate((*cases[::2], *cases[1::2])):
        if slower and at > len(cases) / 2:
            break
        result, best = listing.result, listing.best
        if not recommendation(listing)[0].startswith("Try "):
            continue
        setup = choice.setup.changed(front=best.front, rear=best.rear)
        above_the_list = " ".join(list_words(listing))
        for course_id in {terrains()[name].course for name in result.wishes.mix}:
            course = courses()[course_id]
            for rider in RIDERS:
                study = Study.of(choice.bike, setup.changed(course_rider=rider))
                ridden = ride_all(study, course.arrays(setup.tyre_kind))
                lost = ridden.change().value
                said = course_sentences(ridden, course.label)
                if not lost >= SAME_TIME:
                    assert NOT_THE_TIME not in said
                    continue
                slower += 1
                assert NOT_THE_TIME in said
                if rider == "race":
                    reason = (
                        f"Raced over “{course.label}”, {best.front}/{best.rear} is {lost:.1f} s"
                    )
                    assert reason in above_the_list and said[-2].startswith("Ridden easy")
                    assert said[-2] in above_the_list
    assert slower


def test_every_page_counts_the_same_pairs(cases):
    """Pairs sold, and pairs that go on the chain as it is: short list, trade-off and fit's map."""
    for choice, listing in cases:
        chains, result = listing.result.chains, listing.result
        on_the_map = fit_map(choice.bike, choice.measured).verdict.ravel()
        tradeoff = pairs_of(choice.bike, choice.setup).tradeoff
        sold = set(zip(tradeoff.front.flat, tradeoff.rear.flat, strict=True))
        assert set(map(result.pair, range(result.ratio.size))) == sold
        keeps = (chains.verdict == Verdict.FITS) & (chains.choice == Choice.KEEP_CHAIN)
        kept = {result.pair(each) for each in np.flatnonzero(keeps)} - {result.pair(result.now)}
        mapped = {
            pair
            for pair, code in zip(
                zip(tradeoff.front.flat, tradeoff.rear.flat, strict=True), on_the_map, strict=True
            )
            if code == Verdict.FITS
        } - {result.pair(result.now)}
        assert UNKNOWN not in on_the_map and kept == mapped


def test_every_chart_tells_the_same_chains_apart(cases):
    """Your chain, another one, none: on the bench, the short list's chart and the trade-off; each
    case has all pairs sold, so that one in four is enough."""
    told = set()
    for choice, listing in cases[::4]:
        listed, traded = (
            chart_view(listing, None),
            tradeoff_view(Study.of(choice.bike, choice.setup), choice.measured),
        )
        query = encode(choice.setup, choice.bike, choice.bike)
        bench = BenchState.from_link(query, dict(demo_bikes()))[0].choice
        bench = replace(bench, measured=choice.measured)
        _, arrays = unpacked(base64.b64decode(table_of(bench).text))
        charts = [
            dict(zip(zip(front.tolist(), rear.tolist(), strict=True), reach.tolist(), strict=True))
            for front, rear, reach in (
                (listed.front, listed.rear, listed.reach),
                (traded.front, traded.rear, traded.reach),
                (arrays["map_front"], arrays["map_rear"], arrays["map_chain"]),
            )
        ]
        assert charts[0] == charts[1] == charts[2]
        chains = listing.result.chains
        for verdict, reach in zip(chains.verdict, listed.reach, strict=True):
            assert (reach == Reach.NONE) == (verdict >= Verdict.TOO_SHORT)
        told |= set(charts[0].values())
    assert told == {Reach.YOURS, Reach.ANOTHER, Reach.NONE}


def test_where_nobody_measured_no_page_counts_a_chain():
    """Before the adjuster is measured the short list's chart knows of the fitted pair alone, as
    the map of the fit page does."""
    bike = own_bike(random.Random(3))
    setup, measured = Setup.for_bike(MINE, bike), Measurements.for_bike(bike)
    shown = chart_view(short_list(compute(bike, setup, measured, Wishes())), None)
    mapped = verdicts_sold(bike, measured).ravel()
    fitted = shown.index(shown.fitted)
    assert np.array_equal(shown.reach == Reach.UNKNOWN, mapped == UNKNOWN)
    assert np.flatnonzero(shown.reach != Reach.UNKNOWN).tolist() == [fitted]
    assert shown.reach[fitted] == Reach.YOURS and mapped[fitted] == Verdict.FITS
    rest = mapped.size - 1
    said = f"Your chain goes round 1 of {mapped.size} pairs; not known for {rest}."
    assert wants_chart.describe(shown).endswith(said)
    assert chain_key(shown.reach) == f"1 ● your chain, {rest} * not known"
    assert chain_marks(shown.reach)["marker"].count("asterisk") == rest


def test_of_pairs_that_score_alike_the_one_with_fewest_parts_is_first(cases):
    """Alike as the list itself says it: by less than what is unsure, draw by draw."""
    decided = 0
    for _, listing in cases:
        result, draws = listing.result, listing.result.robust
        others = [each for each in ranked(result) if each != result.now]
        if not listing.wanted or not others:
            continue
        top = max(result.score[each].round(3) for each in others)
        best = max(
            (each for each in others if result.score[each].round(3) == top),
            key=lambda each: draws.mean[draws.place(each)].round(2),
        )
        alike = [each for each in others if each == best or equal(result, draws, best, each)]
        parts = [result.costs.parts[each] for each in alike]
        assert others[0] in alike and result.costs.parts[others[0]] == min(parts)
        decided += result.costs.parts[best] > min(parts)
    assert decided
