"""Misconceptions and experiments of the lesson: each has its moment, its cautions and no answer."""

import re

import pytest

from explorer.tasks.lesson.experiments import EXPERIMENTS
from explorer.tasks.lesson.misconceptions import MISCONCEPTIONS, of_step
from explorer.tasks.lesson.steps import STEPS
from tests.tasks.lesson.lesson_facts import BIKES, STEP, facts_of

# Said in print and false; so that no rewording brings one in (trade notes, common practice).
FALSE_STATEMENTS = [
    r"gear(?:ing)? up\W+(?:means |is |= ?)?(?:a )?smaller front",
    r"gear(?:ing)? down\W+(?:means |is |= ?)?(?:a )?larger front",
    r"rear (?:sprocket |wheel )?turns (?:per|for each|for one turn of the) front",
    r"3:1 for technical|4:1 for fast",
    r"(?:larger front|smaller rear)[^.;]*(?:shortens|is shorter|shorter gearing)",
    r"more rear teeth (?:raise|increase)[^.;]*top speed",
    r"(?:smaller front|larger rear)[^.;]*boosts? speed",
    r"same \d+ % off the top",
    r"0\.736 kg",
]


def test_every_misconception_has_its_moment():
    assert set(MISCONCEPTIONS) == set(range(1, 19))
    assert sum(len(of_step(step.number)) for step in STEPS) == 18
    # What each must be about (the trade's list of what people get wrong), in its step.
    subjects = {
        1: (1, "power"), 2: (6, "torque times engine speed"), 3: (6, "power"),
        4: (3, "never the same"), 5: (1, "rear ÷ front"), 6: (2, "fewer teeth at the rear"),
        7: (4, "every gear by the same factor"), 8: (5, "Primary reduction"),
        9: (8, "power is the limit"), 10: (8, "rev limit"), 11: (10, "clutch comes first"),
        12: (7, "torque falls"), 13: (10, "roll-out"), 14: (2, "rear ÷ (front − 1)"),
        15: (9, "in line"), 16: (10, "costs speed"), 17: (3, "Driven from a wheel"),
        18: (2, "wear faster"),
    }  # fmt: skip
    for number, (step, words) in subjects.items():
        assert MISCONCEPTIONS[number].step == step
        assert words in MISCONCEPTIONS[number].true


@pytest.mark.parametrize("bike_id", BIKES)
@pytest.mark.parametrize("units", ["metric", "imperial"])
def test_no_false_statement_and_one_system_of_units(bike_id, units):
    facts = facts_of(bike_id, units=units)
    texts = [each for m in MISCONCEPTIONS.values() for each in m]
    for step in STEPS:
        question = step.ask(facts)
        texts += [step.title, step.watch, question.text, *question.options, *step.answer(facts)]
    for each in EXPERIMENTS:
        texts += [each.how, *each.cautions, each.found]
    whole = " ".join(map(str, texts))
    for statement in FALSE_STATEMENTS:
        assert not re.search(statement, whole, re.IGNORECASE), statement
    if units == "imperial":
        assert not re.search(r"\d (?:km/h|N|kW|mm)\b", whole)


def test_the_false_statements_are_found():
    """The list above bites: each pattern finds the statement it stands for."""
    said = [
        "Gearing up = smaller front", "gearing down: larger front",
        "how often the rear turns per front turn", "3:1 for technical trails",
        "a larger front or smaller rear shortens the gearing", "more rear teeth raise top speed",
        "smaller front or larger rear boosts speed", "same 15 % off the top end",
        "air weighs 0.736 kg/m3",
    ]  # fmt: skip
    assert len(said) == len(FALSE_STATEMENTS)
    for text, statement in zip(said, FALSE_STATEMENTS, strict=True):
        assert re.search(statement, text, re.IGNORECASE), text


def test_experiments_with_a_motorcycle_carry_their_cautions():
    assert {each.step for each in EXPERIMENTS} <= set(STEP)
    for each in EXPERIMENTS:
        cautions = " ".join(each.cautions)
        if "motorcycle" in each.need and "20 m" in each.need:
            assert "Closed" in cautions and "helmet" in cautions and "outdoors" in cautions
            assert "cover in its place" in cautions and "ride" in cautions
        elif "motorcycle" in each.need:
            assert "Engine off" in cautions and "level ground" in cautions
        if "Take the cover" in each.how or "Take out plug" in each.how:
            assert "goes back on, tight as the manual says" in cautions
        if "on a stand" in each.need:
            assert "upright on a stand on level ground, one person holding it" in cautions
            assert "key out" in cautions
            assert "hair, sleeves and laces stay clear of chain" in cautions


def test_a_wheel_that_turns_the_engine_has_its_plug_out_and_nothing_on_the_crankshaft():
    [each] = [each for each in EXPERIMENTS if "crankshaft" in each.how]
    cautions = " ".join(each.cautions)
    assert "Spark plug out" in cautions and "earthed" in cautions and "starter" in cautions
    assert "neutral," not in cautions, "top gear is in"
    assert "spanner for the crankshaft" not in each.need and "whirls" in cautions
    assert "as the manual says" in each.how.replace("\n", " ")


def test_what_is_brought_is_what_the_experiment_needs():
    bicycle, pins = (
        next(each for each in EXPERIMENTS if title in each.title)
        for title in ("Force against distance", "String and three pins")
    )
    assert "pedal that points to the rear wheel" in bicycle.how
    assert "smaller rear sprocket" in bicycle.how and "smaller rear sprocket" in bicycle.found
    assert "card as the swingarm" in pins.need and "strip of card" in pins.how


def test_no_experiment_tells_the_answer_of_its_step(facts):
    for each in EXPERIMENTS:
        before = f"{each.title} {each.need} {each.how}"
        assert "in line" not in before and "÷ (front" not in before
        assert not each.found or each.found not in before
