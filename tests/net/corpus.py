"""The frozen corpus: links, and what each page said for them and the numbers behind it.

links.txt holds a line for each: page, query, and buttons pressed then. corpus.json.xz holds what
was said, each text once. To see what a change says otherwise, run the test of this folder; where
that is meant, freeze anew and review::

    python -m pytest tests/net/test_corpus.py --long    # each link that says another thing: what
    python -m tests.net.freeze                          # takes what this checkout says now

Commit the corpus with the change that it belongs to, and say in the message which texts it is
about. A link that is new in links.txt is frozen with the rest.
"""

import json
import lzma
import os
import subprocess
import sys
from collections.abc import Iterable, Iterator
from difflib import unified_diff
from pathlib import Path

HERE = Path(__file__).resolve().parent
LINKS, STORE = HERE / "links.txt", HERE / "corpus.json.xz"
SPEAKER = HERE / "page_said.py"
CLUB = "data/club"
"""Whose members' page it is; no other page knows of the club."""

Said = list[tuple[str, str]]


def links() -> list[tuple[str, str]]:
    """Page, and query with buttons to press."""
    lines = LINKS.read_text("utf-8").splitlines()
    return [(page, query) for page, _, query in (line.partition(" ") for line in lines)]


def say(repository: Path, page: str, queries: Iterable[str]) -> Iterator[Said]:
    """What a page of a checkout says for each query; the checkout's own Python, if it has one."""
    python = repository / ".venv/bin/python"
    environment = {name: value for name, value in os.environ.items() if name != "PYTHONPATH"}
    environment.pop("GEARING_EXPLORER_CLUB", None)
    if page == "members":
        environment["GEARING_EXPLORER_CLUB"] = str(repository / CLUB)
    process = subprocess.run(
        [python if python.exists() else sys.executable, SPEAKER, f"notebooks/{page}.ipynb"],
        input="".join(f"{query}\n" for query in queries),
        stdout=subprocess.PIPE,
        text=True,
        cwd=repository,
        env=environment,
        check=True,
    )
    for line in process.stdout.splitlines():
        yield [(where, text) for where, text in json.loads(line)]


def write(said: dict[tuple[str, str], Said]) -> None:
    """Keep what was said."""
    place: dict[str, int] = {}
    rows = [
        [page, query, [place.setdefault("\t".join(each), len(place)) for each in texts]]
        for (page, query), texts in said.items()
    ]
    content = json.dumps([rows, list(place)], ensure_ascii=False, separators=(",", ":"))
    filters = [{"id": lzma.FILTER_LZMA2, "preset": 9, "dict_size": 1 << 26}]
    STORE.write_bytes(lzma.compress(content.encode(), format=lzma.FORMAT_XZ, filters=filters))


def read() -> dict[tuple[str, str], Said]:
    """What was kept."""
    rows, texts = json.loads(lzma.decompress(STORE.read_bytes()))
    return {
        (page, query): [tuple(texts[place].split("\t", 1)) for place in places]
        for page, query, places in rows
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
    ]
