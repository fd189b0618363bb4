"""A bicycle's gear: moments from pedal to tyre, and the way of one pedal turn."""

from tests.tasks.lesson.lesson_checks import by_definition, less_at_the_tyre

STEP = 13

CLAIMS = [
    (r"A weight hangs on the level pedal, a scale holds the tyre\..*", by_definition),
    (r"Less force at the tyre, more way for one pedal turn\.", less_at_the_tyre),
    (r"A gear trades force for distance and adds no power\.", less_at_the_tyre),
    (r"With the smaller rear sprocket less force at the tyre, and more .*", less_at_the_tyre),
    (r"A larger (?:one|rear sprocket) does the reverse\.", less_at_the_tyre),
]
