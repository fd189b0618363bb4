"""Freeze what pages say, or some: ``uv run --group test python -m tests.net.freeze [PAGE …]``.

See corpus.py. Another checkout (``--of``), such as one of an older commit with a Python of its own
in .venv, is asked with today's links and today's way of writing down.
"""

from argparse import ArgumentParser
from concurrent.futures import ThreadPoolExecutor
from pathlib import Path

from tests.net import corpus

SIDE_BY_SIDE = 2


def main() -> None:
    links = corpus.links()
    parser = ArgumentParser(description=__doc__.split(":")[0])
    parser.add_argument("--of", type=Path, default=Path(), help="a checkout; this one")
    parser.add_argument("page", nargs="*", default=list(links), help="all of them")
    asked = parser.parse_args()

    def freeze(page: str) -> None:
        with corpus.Speaker(asked.of.resolve()) as speaker:
            said = speaker.say(page, links[page])
        corpus.write(page, dict(zip(links[page], said, strict=True)))
        print(f"{page}: {len(links[page])} links", flush=True)

    with ThreadPoolExecutor(SIDE_BY_SIDE) as workers:
        list(workers.map(freeze, asked.page))


if __name__ == "__main__":
    main()
