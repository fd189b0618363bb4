"""A quiz with generated numbers: the same seed always gives the same questions.

The wrong options are what people really take for the answer, each a known misconception, and none
of them ever reads like the right one.
"""

import random
from dataclasses import dataclass

from explorer.records.errors import RecordError
from explorer.records.lessons import quiz_kinds
from explorer.records.prose import read_prose
from explorer.records.typed_text import quote, tidy

_PROSE = read_prose("quiz")

FEWEST_WRONG = 2
"""Wrong options that a question has at least [count]."""

LARGEST_SEED = 999_999
"""Short enough to be read out in a class."""

LENGTH = 6
"""Questions of one quiz."""


@dataclass(frozen=True)
class Question:
    """One question as it is asked.

    Attributes:
        kind: A key of `quiz_kinds.KINDS`.
        options: What can be picked, in the order shown.
        why_wrong: For each wrong option, what was mixed up by whoever picks it.
        misconceptions: Numbers of the misconceptions behind the wrong options.
    """

    kind: str
    text: str
    options: tuple[str, ...]
    right: str
    working: str
    why_wrong: dict[str, str]
    misconceptions: tuple[int, ...]


def quiz(seed: int) -> tuple[Question, ...]:
    """The `LENGTH` questions of one seed, of different kinds, half of them arithmetic.

    >>> questions = quiz(7)
    >>> len(questions), questions == quiz(7), all(q.right in q.options for q in questions)
    (6, True, True)
    """
    chance = random.Random(seed)
    half = LENGTH // 2
    kinds = chance.sample(list(quiz_kinds.SUMS), half) + chance.sample(list(quiz_kinds.IDEAS), half)
    chance.shuffle(kinds)
    return tuple(_ask(kind, chance) for kind in kinds)


def question(kind: str, seed: int) -> Question:
    """One question of a given kind.

    >>> question("front-turns", 1) == question("front-turns", 1)
    True
    """
    return _ask(kind, random.Random(seed))


def read_seed(text: str) -> int:
    """Read the number of a quiz.

    >>> read_seed(" 42 ")
    42
    """
    entry = tidy(text)
    if entry.isascii() and entry.isdigit() and len(entry) <= 6:
        return int(entry)
    raise RecordError(
        f"{quote(text)} is not the number of a quiz; give a whole number from 0 to {LARGEST_SEED}, "
        'for example "42".'
    )


def _ask(kind: str, chance: random.Random) -> Question:
    prose = _PROSE[kind]
    wrong: dict[str, tuple[int, str]] = {}
    # Rounding can make a wrong option read like the right one, or like another; with too few left,
    # other numbers are drawn.
    while len(wrong) < FEWEST_WRONG:
        numbers = quiz_kinds.KINDS[kind](chance)
        said = {part: prose[part].format(**numbers) for part in ("text", "right", "working")}
        wrong = {
            option.format(**numbers): (number, why.format(**numbers))
            for option, number, why in prose["wrong"]
        }
        wrong.pop(said["right"], None)
    options = [said["right"], *wrong]
    chance.shuffle(options)
    return Question(
        kind=kind,
        options=tuple(options),
        why_wrong={option: why for option, (_, why) in wrong.items()},
        misconceptions=tuple(sorted({number for number, _ in wrong.values()})),
        **said,
    )
