"""The plans of the lesson: which steps come in 20, 40 and 90 minutes, and how long each takes."""

from collections.abc import Mapping

from explorer.tasks.lesson.step import WHOLE
from explorer.tasks.lesson.steps import STEPS


def shared_out(wanted: Mapping[int, int], whole: int) -> dict[int, int]:
    """Minutes of a plan, shared out as its steps want them.

    Where they want as much as there is, each gets that. A step that came since makes the others
    shorter in proportion, so that the plan still ends in time.

    Args:
        wanted: Minutes that each step wants [min].
        whole: Of the plan [min].

    >>> shared_out({1: 5, 2: 15}, 20)
    {1: 5, 2: 15}
    >>> shared_out({1: 5, 2: 15, 3: 4}, 20)
    {1: 4, 2: 13, 3: 3}
    """
    exact = {step: each * whole / sum(wanted.values()) for step, each in wanted.items()}
    minutes = {step: int(each) for step, each in exact.items()}
    # Whole minutes: what rounding left over goes where most of a minute was cut off.
    by_rest = sorted(exact, key=lambda step: minutes[step] - exact[step])
    for step in by_rest[: whole - sum(minutes.values())]:
        minutes[step] += 1
    return minutes


def _plan(whole: int) -> dict[int, int]:
    steps = sorted(STEPS, key=lambda each: each.place)
    wanted = {each.number: each.wants(whole) for each in steps}
    return shared_out({step: minutes for step, minutes in wanted.items() if minutes}, whole)


PLANS: Mapping[int, Mapping[int, int]] = {whole: _plan(whole) for whole in WHOLE}
"""Steps of a plan in their order, with their minutes, by the minutes of the whole."""
