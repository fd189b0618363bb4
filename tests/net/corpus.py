"""The frozen corpus: links, and what each page said for them and the numbers behind it.

links.txt holds a line for each: page, query, and buttons pressed then. A file of the folder frozen
holds what one page said, each text once. To see what a change says otherwise, run the test of this
folder; where that is meant, freeze the page anew and review::

    uv run --group test python -m pytest tests/net/test_corpus.py --long  # each difference
    uv run --group test python -m tests.net.freeze check method  # what this checkout says now

Commit the frozen page with the change that it belongs to, and say in the message which texts it is
about. A merge conflict in one is settled by freezing that page again after the merge. A link that
is new in links.txt is frozen with its page.
"""

import json
import lzma
import os
import subprocess
import sys
from collections.abc import Iterable
from difflib import unified_diff
from itertools import takewhile
from pathlib import Path

from tests.net.page_said import END

HERE = Path(__file__).resolve().parent
LINKS, FROZEN = HERE / "links.txt", HERE / "frozen"
SPEAKER = HERE / "page_said.py"
CLUB = "data/club"
"""Whose members' page it is; no other page knows of the club."""

Said = list[tuple[str, str]]


def links() -> dict[str, list[str]]:
    """By page: queries, with buttons to press."""
    found: dict[str, list[str]] = {}
    for line in LINKS.read_text("utf-8").splitlines():
        page, _, query = line.partition(" ")
        found.setdefault(page, []).append(query)
    return found


class Speaker:
    """A process of a checkout that says what pages say; it loads their modules once.

    The checkout's own Python, if it has one. To be closed, by ``with`` or `close`.
    """

    def __init__(self, repository: Path) -> None:
        self.repository = repository
        python = repository / ".venv/bin/python"
        own = ("PYTHONPATH", "GEARING_EXPLORER_CLUB")
        environment = {name: value for name, value in os.environ.items() if name not in own}
        environment["PYTHONHASHSEED"] = "0"  # of a checkout that puts equals in an order by chance
        self._process = subprocess.Popen(
            [python if python.exists() else sys.executable, SPEAKER],
            stdin=subprocess.PIPE,
            stdout=subprocess.PIPE,
            text=True,
            cwd=repository,
            env=environment,
        )

    def say(self, page: str, queries: Iterable[str], club: Path | str = "") -> list[Said]:
        """What a page says for each query, in a process that has made no other page."""
        if page == "members":
            club = club or self.repository / CLUB
        asked = json.dumps([f"notebooks/{page}.ipynb", str(club), list(queries)])
        print(asked, file=self._process.stdin, flush=True)
        lines = iter(self._process.stdout.readline, f"{END}\n")
        found = list(takewhile(str.strip, lines))  # an empty line: it has died
        return [[(where, text) for where, text in json.loads(line)] for line in found]

    def close(self) -> None:
        self._process.communicate()

    def __enter__(self) -> "Speaker":
        return self

    def __exit__(self, *_: object) -> None:
        self.close()


def write(page: str, said: dict[str, Said]) -> None:
    """Keep what a page said for each query."""
    place: dict[str, int] = {}
    rows = [
        [query, [place.setdefault("\t".join(each), len(place)) for each in texts]]
        for query, texts in said.items()
    ]
    content = json.dumps([rows, list(place)], ensure_ascii=False, separators=(",", ":"))
    (FROZEN / f"{page}.json.xz").write_bytes(lzma.compress(content.encode(), preset=9))


def read(page: str) -> dict[str, Said]:
    """What was kept, by query."""
    rows, texts = json.loads(lzma.decompress((FROZEN / f"{page}.json.xz").read_bytes()))
    return {
        query: [tuple(texts[place].split("\t", 1)) for place in places] for query, places in rows
    }


def difference(before: Said, after: Said) -> str:
    """What is said otherwise, for people: where, and the lines before (-) and after (+)."""
    lines = unified_diff(_lines(before), _lines(after), n=0, lineterm="")
    return "\n".join(line[:600] for line in lines if not line.startswith(("---", "+++", "@@")))


def _lines(said: Said) -> list[str]:
    # A line for each element of a text: one number is found in a page of words.
    return [
        f"{where}: {line}"
        for where, text in said
        for line in text.replace("><", ">\n<").splitlines() or [""]
        if line or where != "text"  # an empty place says nothing
    ]
