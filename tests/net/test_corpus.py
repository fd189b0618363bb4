"""Each frozen link still opens the page that says what it said, with the numbers that it had.

A quick run asks a sample of the links of each page, ``--long`` all. corpus.py says how to freeze
anew what is meant to be said otherwise.
"""

import pytest

from tests.net import corpus

LINKS = corpus.links()
EACH_OF_A_QUICK_RUN = 6


def test_the_corpus_is_large_and_holds_the_links_of_the_list():
    assert sum(map(len, LINKS.values())) >= 500
    assert {page: list(corpus.read(page)) for page in LINKS} == LINKS


@pytest.mark.parametrize("page", LINKS)
def test_a_page_says_what_it_said(page, speaker, long_run):
    frozen, queries = corpus.read(page), LINKS[page]
    if not long_run:
        queries = queries[:: max(1, len(queries) // EACH_OF_A_QUICK_RUN)]
    otherwise = []
    for query, said in zip(queries, speaker.say(page, queries), strict=True):
        difference = corpus.difference(frozen[query], said)
        if difference:
            otherwise.append(f"{page} {query}\n{difference}")
    if otherwise:
        pytest.fail(refusal(page, otherwise), pytrace=False)


def refusal(page, otherwise):
    """What says another thing, and what to do where that is meant."""
    said = "\n\n".join(otherwise)
    return (
        f"{len(otherwise)} links say another thing:\n\n{said}\n\nIf all of that is meant, run "
        f"`uv run --group test python -m tests.net.freeze {page}` and commit it with the change."
    )


def test_a_failure_names_the_command_that_freezes_the_page():
    said = refusal("wants", ["wants rear=50\n-text: 1\n+text: 2"])
    assert said.startswith("1 links say another thing:\n\nwants rear=50\n-text: 1")
    assert "`uv run --group test python -m tests.net.freeze wants`" in said


def test_a_difference_names_where_what_was_and_what_is():
    before = [
        ("text", "<p>Top speed</p><p>92 km/h</p>"),
        ("FloatSlider Slope [%]", "0 in -30 … 60"),
    ]
    after = [("text", "<p>Top speed</p><p>91 km/h</p>"), ("FloatSlider Slope [%]", "0 in -30 … 60")]
    assert corpus.difference(before, before) == ""
    assert corpus.difference(before, after) == "-text: <p>92 km/h</p>\n+text: <p>91 km/h</p>"
