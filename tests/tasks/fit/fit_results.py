"""The fit page's result for a link and some answers."""

from explorer.records.bikes.bike_library import demo_bikes
from explorer.study.fit_result import compute
from explorer.tasks.fit.state import FitState

LIBRARY = dict(demo_bikes())


def result_of(query="", bike="marram-250", **answers):
    state, complaints = FitState.from_link(f"bike={bike}{query}", LIBRARY)
    assert not complaints
    state.answer(**answers)
    return compute(state.choice)


def said(sentences):
    return " ".join(sentences)
