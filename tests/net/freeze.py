"""Freeze what the pages say: ``python -m tests.net.freeze [CHECKOUT]``; see corpus.py.

Another checkout, such as one of an older commit with a Python of its own in .venv, is asked with
today's links and today's way of writing down.
"""

import sys
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.net import corpus

SIDE_BY_SIDE = 2


def main() -> None:
    repository = Path(sys.argv[1] if len(sys.argv) > 1 else ".").resolve()
    links = corpus.links()
    pages = list(dict.fromkeys(page for page, _ in links))

    def of_page(page: str) -> dict:
        queries = [query for each, query in links if each == page]
        said = zip(queries, corpus.say(repository, page, queries), strict=True)
        return {(page, query): texts for query, texts in said}

    with ThreadPoolExecutor(SIDE_BY_SIDE) as workers:
        parts = list(workers.map(of_page, pages))
    corpus.write({link: texts for part in parts for link, texts in part.items()})
    print(f"{len(links)} links, {corpus.STORE.stat().st_size / 1e3:.0f} kB")


if __name__ == "__main__":
    main()
