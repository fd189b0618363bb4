"""The examples in docstrings above calc (whose own are in test_docstrings) say what comes out."""

import doctest
import importlib
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]
FILES = [
    file.relative_to(ROOT)
    for file in sorted((ROOT / "explorer").rglob("*.py"))
    if "calc" not in file.parts and ">>> " in file.read_text("utf-8")
]


@pytest.mark.parametrize("file", FILES, ids=lambda file: file.as_posix())
def test_examples_are_true(file):
    name = ".".join(file.with_suffix("").parts)
    module = importlib.import_module(name.removesuffix(".__init__"))
    report = []
    # An answer that is longer than a line of a docstring goes on, indented, on the next.
    runner = doctest.DocTestRunner(verbose=False, optionflags=doctest.NORMALIZE_WHITESPACE)
    for example in doctest.DocTestFinder().find(module):
        runner.run(example, out=report.append)
    result = runner.summarize(verbose=False)
    assert result.attempted > 0
    assert result.failed == 0, "".join(report)
