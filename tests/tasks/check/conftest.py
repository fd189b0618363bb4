"""Set-up that the tests of this folder share."""

import pytest

from explorer.tasks.check.page import CheckPage


@pytest.fixture
def page():
    return CheckPage("?bike=marram-250&rear=51")
