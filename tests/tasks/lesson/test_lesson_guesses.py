"""Numbers that a class guesses: read as people say them, and judged."""

import pytest

from explorer.records.errors import RecordError
from explorer.tasks.lesson.question import is_right, read_number
from tests.tasks.lesson.lesson_facts import asked, facts_of


def test_a_typed_guess_is_read_and_judged():
    question = asked(facts_of("bracken-125"), 8)
    half_way = abs(question.trap - question.value) / 2
    for off, right in ((-0.9, True), (0.9, True), (-1.1, False), (1.1, False)):
        guess = question.value + off * half_way
        assert half_way < 0.05 * question.value and is_right(question, f"{guess:.2f}") == right
    far = asked(facts_of("bracken-125"), 2)  # where nothing is taken for the answer, 5 %
    assert is_right(far, f"{far.value * 0.96:.2f}") and not is_right(far, f"{far.value * 0.94:.2f}")
    assert not is_right(question, f"{question.value * 1.5:.0f}")
    # What the table promises is what the question is there to undo.
    assert not is_right(question, f"{question.trap:.0f}")
    close = asked(facts_of("bracken-125", front=13, rear=52), 3)
    assert close.trap == pytest.approx(4.0)  # 52 ÷ 50 − 1
    assert not is_right(close, "4.0") and is_right(close, "3.8")
    same = asked(facts_of("bracken-125", front=13, rear=50), 3)
    assert is_right(same, "0") and not is_right(same, "3")
    pick = asked(facts_of("bracken-125"), 1)
    right = pick.options.index(pick.right)
    assert [is_right(pick, str(each)) for each in range(3)] == [each == right for each in range(3)]
    for bad in ("fast", "12 mph", "1e9", "9" * 40, "<b>", "1,2,3", ""):
        with pytest.raises(RecordError) as refused:
            read_number(bad, "km/h")
        assert len(refused.value.sentences) == 1 and "write for example" in str(refused.value)


@pytest.mark.parametrize(
    ("said", "unit", "number"),
    [
        ("4,2", "", 4.2), ("9 500", "rpm", 9500), ("9500 rpm", "rpm", 9500), ("4 teeth", "", 4),
        ("down 7.7", "%", 7.7), ("-7,7 %", "%", 7.7), ("about 96 km/h", "km/h", 96),
        ("by 8 per cent", "%", 8), ("~90", "km/h", 90),
    ],
)  # fmt: skip
def test_numbers_are_taken_as_people_say_them(said, unit, number):
    assert read_number(said, unit) == number
