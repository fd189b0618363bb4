"""What the tests of the charts share: a document that counts its messages, and a look inside."""

from collections.abc import Callable, Iterator
from typing import Any

import numpy as np
import pytest
from bokeh.document import Document
from bokeh.models import ColumnDataSource, Model
from bokeh.plotting import figure


@pytest.fixture
def events_of() -> Callable[[figure, Callable[[], None]], list[Any]]:
    """Run an action and return the document events that it causes, each a set of messages."""

    def count(fig: figure, action: Callable[[], None]) -> list[Any]:
        if fig.document is None:
            Document().add_root(fig)
        events: list[Any] = []
        fig.document.on_change(events.append)
        action()
        fig.document.remove_on_change(events.append)
        return events

    return count


@pytest.fixture
def models_of() -> Callable[[figure], set[Model]]:
    """All models of a figure."""
    return lambda fig: fig.references()


@pytest.fixture
def numbers_of() -> Callable[[figure], np.ndarray]:
    """All numbers in all sources of a figure."""

    def numbers(values: Any) -> Iterator[float]:
        for value in values:
            if isinstance(value, list):
                yield from numbers(value)
            elif isinstance(value, (int, float)):
                yield value

    def collect(fig: figure) -> np.ndarray:
        sources = fig.select({"type": ColumnDataSource})
        return np.array([n for source in sources for n in numbers(source.data.values())], float)

    return collect


@pytest.fixture
def column_of() -> Callable[[figure, str], list[Any]]:
    """All values in the columns of one name in all sources of a figure."""

    def collect(fig: figure, name: str) -> list[Any]:
        sources = fig.select({"type": ColumnDataSource})
        return [value for source in sources for value in source.data.get(name, [])]

    return collect
