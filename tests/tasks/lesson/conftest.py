"""Set-up that the tests of this folder share."""

import pytest

from explorer.tasks.lesson.page import LessonPage
from tests.tasks.lesson.lesson_facts import BIKES, facts_of


@pytest.fixture
def page():
    return LessonPage("step=1")


@pytest.fixture(params=BIKES, scope="module")
def facts(request):
    return facts_of(request.param)
