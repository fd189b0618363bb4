"""Each sentence of data/words is said by its page, and what a page takes from there is there."""

import re
from pathlib import Path

import pytest

from explorer.records.prose import read_prose

ROOT = Path(__file__).parents[2]
PAGES = sorted(file.stem for file in (ROOT / "data/words").glob("*.toml"))

# SAY["wear"], SAY["drag-unknown" if result.coasts else "no-coasts"], in f-strings other quotes.
_SAID = re.compile(r"SAY\[([^\]]+)\]")
_NAME = re.compile(r"[\"']([a-z-]+)[\"']")


def said_by(page: str) -> set[str]:
    """Names of the sentences that a page's files take."""
    source = "\n".join(file.read_text() for file in (ROOT / "explorer/tasks" / page).glob("*.py"))
    names = {name for taken in _SAID.findall(source) for name in _NAME.findall(taken)}
    # The check page takes what stands in for a table without rows by a name in a row of it.
    return names | set(re.findall(r'_rows\(result\), "([a-z-]+)"', source))


def test_the_files_were_found():
    assert len(PAGES) >= 4


@pytest.mark.parametrize("page", PAGES)
def test_every_sentence_is_said_and_every_one_that_is_said_is_there(page):
    assert said_by(page) == set(read_prose(f"words/{page}"))
