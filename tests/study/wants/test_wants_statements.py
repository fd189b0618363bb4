"""What is found in print and is false comes out of no answer; what is disputed is not settled."""

import re
from functools import cache

import numpy as np
import pytest

from explorer.calc.drivetrain.top_speed import Limit
from explorer.records.bikes.bike_library import demo_bikes
from explorer.study.wants.complaints import COMPLAINTS
from explorer.study.wants.kinds import WANTS
from explorer.study.wants.mixes import TERRAIN_IDS
from explorer.tasks.wants import honest as wants_honest
from explorer.tasks.wants import words as wants_words
from tests.study.wants.wants_answers import answer, everything_said

FALSE_STATEMENTS = {
    "gearing up by a smaller front or a larger rear": r"(smaller front|larger rear|more rear teeth)"
    r"[^.]{0,60}(taller|top speed|higher speed|faster bike|boost)",
    "shorter by a larger front or a smaller rear": r"(larger front|smaller rear|fewer rear teeth)"
    r"[^.]{0,60}(shorter gearing|shortens|more pull)",
    "ratio upside down": r"(front ÷ rear|rear turns? (per|for each) front turn)",
    "ratios for riding of all bikes": r"\b[34]:1\b",
    "one percentage for pull and speed": r"same \d+(\.\d+)? ?%",
    "air at 10 000 ft": r"0\.736",
    "sprockets make power": r"(more|adds|gives) (engine )?(power|torque)[^.]{0,30}sprocket|"
    r"sprocket[^.]{0,40}(more|adds|gives) (engine )?(power|torque)\b",
    "a sprocket closes a gap": r"sprocket[^.]{0,30}(?<!No )\b(closes|narrows|shrinks) the gap",
    "invented percentages of riders": r"% of (all )?riders",
}
"""Statements found in print and false, as patterns; see the trade's own arithmetic in calc."""


@cache
def corpus():
    """Answers for every bike, every want, every complaint and every mix, and all fixed texts."""
    every = [(kind, {}) for kind in WANTS]
    shares = [(terrain, 1.0) for terrain in TERRAIN_IDS]
    return (
        *(answer(name, *every, shares=shares) for name in demo_bikes()),
        *(answer("bracken-125", *each.proposes) for each in COMPLAINTS.values()),
        answer("marram-250", ("top-speed", {"speed": "130 km/h"}), units="imperial"),
    )


def test_false_statements_never_come_out():
    said = [
        *(text for c in COMPLAINTS.values() for _, text in wants_honest.complaint_words(c)),
        *(argument for side in wants_honest.FRONT_OR_REAR for argument in side.arguments),
        wants_words.SAY["careful"],
        wants_words.SAY["before-buying"],
        wants_words.SAY["score"],
        wants_words.SAY["axle-place"],
        *(want.help for want in WANTS.values()),
    ]
    for listing in corpus():
        said += everything_said(listing)
    assert len(said) > 500
    for name, pattern in FALSE_STATEMENTS.items():
        found = [text for text in said if re.search(pattern, text, re.IGNORECASE)]
        assert not found, (name, found[:3])
    assert not [text for text in said if re.search(r"\bnan\b|\binf\b|None", text)]


@pytest.mark.parametrize(
    ("name", "sentence"),
    [
        ("gearing up by a smaller front or a larger rear", "More rear teeth raise the top speed."),
        ("shorter by a larger front or a smaller rear", "A larger front shortens the gearing."),
        ("ratios for riding of all bikes", "Use 3:1 for technical ground."),
        ("one percentage for pull and speed", "You lose the same 15 % off the top end."),
        ("air at 10 000 ft", "Air weighs 0.736 kg/m³ there."),
        ("sprockets make power", "A bigger rear sprocket gives more power."),
        ("invented percentages of riders", "70 % of riders break a chain."),
    ],
)
def test_the_patterns_do_find_what_is_false(name, sentence):
    assert re.search(FALSE_STATEMENTS[name], sentence, re.IGNORECASE)


def test_taller_and_shorter_are_said_the_right_way_round():
    """Of every listed pair: more rear over front teeth is shorter, pulls more and is slower."""
    for listing in corpus():
        result, now = listing.result, listing.result.now
        for entry in listing.entries:
            ratio = entry.rear * int(result.front[now]) / entry.front / int(result.rear[now])
            said = " ".join(wants_words.listed_words(listing, entry))
            if entry.index == now or listing.verdicts[entry.index].keep:
                assert "harder" not in said and "faster at" not in said
                continue
            pair = f"{entry.front}/{entry.rear}"
            assert (f"{pair} pulls {(ratio - 1) * 100:.1f} % harder" in said) == (ratio > 1)
            assert (f"{pair} runs {(1 / ratio - 1) * 100:.1f} % faster" in said) == (ratio < 1)


def test_the_trades_disagreement_is_shown_and_not_settled():
    """Both sides have their arguments, and neither is called right."""
    front, rear = wants_honest.FRONT_OR_REAR
    assert len(front.arguments) >= 3 and len(rear.arguments) >= 3
    words = " ".join((*front.arguments, *rear.arguments)).lower()
    assert not re.search(r"\b(best|always better|should|right choice)\b", words)
    teeth = wants_honest.front_or_rear_words(demo_bikes()["bracken-125"])
    # 50 / 12 and 50 / 14.
    assert "≈ 4.2 more at the rear" in teeth and "≈ 3.6 fewer at the rear" in teeth


def test_where_no_gear_holds_a_speed_none_is_said():
    """Loose sand, 30 % up, on the tallest pair: not "0.0 km/h in 1st"."""
    listing = answer(
        "bracken-125", ("top-speed", {"speed": "60 km/h"}), surface="loose-sand", slope=0.3
    )
    tallest = int(np.argmin(listing.result.ratio))
    assert listing.result.judged[0].limit[tallest] == Limit.CANNOT_HOLD
    said = listing.result.judged[0].value_words(tallest, "metric")
    assert said == "no gear holds a steady speed"
