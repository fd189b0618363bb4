"""What the documents name is there: files by their path or name, measurements by their address."""

import re
from pathlib import Path

import pytest

from tests.test_floors import ROOT

DOCUMENTS = sorted(
    file
    for place in ("*.md", "data/*.md", "explorer/**/*.md", "tests/**/*.md")
    for file in ROOT.glob(place)
)
MADE = {"bench_whole.js"}
"""Files that are made when they are asked for."""

_FILE = re.compile(r"(?<![>\w./-])[\w./-]*\w\.(?:py|js|css|toml|j2|ipynb)\b")
_MODULE = re.compile(r"python -m (tests\.[\w.]+\w)(?![.\w])")


def missing(text: str, there: set[str]) -> set[str]:
    """Files and modules that a text names, without those of these paths from the root."""
    names = {name for path in there for name in (path, path.rpartition("/")[2])}
    files = {name for name in _FILE.findall(text) if "/" not in name.lstrip("/")}
    paths = set(_FILE.findall(text)) - files
    modules = {f"{name.replace('.', '/')}.py" for name in _MODULE.findall(text)}
    ends = {path for path in paths if any(f"/{each}".endswith(f"/{path}") for each in there)}
    return {name for name in files | paths - ends | modules if name not in names}


def paths_of(root: Path) -> set[str]:
    folders = ("explorer", "tests", "data", "notebooks")
    files = (file for folder in folders for file in (root / folder).rglob("*.*"))
    return {file.relative_to(root).as_posix() for file in files} | {"pyproject.toml"}


@pytest.mark.parametrize("document", DOCUMENTS, ids=lambda file: str(file.relative_to(ROOT)))
def test_what_a_document_names_is_there(document):
    found = missing(document.read_text(encoding="utf-8"), paths_of(ROOT))
    assert {name for name in found if name.rpartition("/")[2] not in MADE} == set()


def test_what_is_missing_is_found():
    text = "See app/page.py, gone.py and `python -m tests.bench.gone`."
    assert missing(text, {"explorer/app/page.py"}) == {"gone.py", "tests/bench/gone.py"}
