"""Names of the demo courses, known without reading them: links and set-ups only need the name."""

from functools import cache

from explorer.data_folder import DATA

DEFAULT_COURSE = "woods-loop"


@cache
def course_ids() -> tuple[str, ...]:
    """Ids of all courses of data/courses.

    Returns: In alphabetical order.

    >>> DEFAULT_COURSE in course_ids()
    True
    """
    folder = DATA / "courses"
    return tuple(sorted(path.stem for path in folder.glob("*.csv")))
