"""What the tests of links share: a process that says what pages say."""

from collections.abc import Iterator
from pathlib import Path

import pytest

from tests.net.corpus import Speaker


@pytest.fixture(scope="session")
def speaker(repository: Path) -> Iterator[Speaker]:
    """Of this checkout."""
    with Speaker(repository) as speaker:
        yield speaker
