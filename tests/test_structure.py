"""How large a file, a function, a folder may be, and that no two files need each other.

Complexity is ruff's to check (pyproject.toml, C901).
"""

import ast
import re
from collections import Counter
from graphlib import CycleError, TopologicalSorter
from pathlib import Path

import pytest

from tests.test_floors import ROOT, imported_modules

LONGEST_FILE = 450
LONGEST_PAGE = 300
"""Lines of explorer/app/page.py: whatever all pages do, read in five minutes [count]."""
LONGEST_FUNCTION = 80
MOST_FILES = 25
"""Python files in one folder [count]."""
MOST_LINES = 51_000
"""Lines of the package's Python; what comes new makes room for itself [count]."""

_WITH_CLASSES = {".py", ".js", ".j2", ".html", ".ipynb", ".toml"}
"""Endings of files that give elements their classes."""


def files_of(root: Path) -> list[Path]:
    return sorted((root / "explorer").rglob("*.py"))


def imports_between_files(root: Path) -> dict[str, set[str]]:
    """For each module of explorer those that it imports: late ones and those for types as well."""
    modules = {}
    for file in files_of(root):
        parts = file.relative_to(root).with_suffix("").parts
        name = ".".join(parts[:-1] if parts[-1] == "__init__" else parts)
        modules[name] = imported_modules(ast.parse(file.read_text()), ".".join(parts[:-1]))

    def module_of(imported: str) -> str:
        while imported and imported not in modules:
            imported = imported.rpartition(".")[0]
        return imported

    return {
        name: {module_of(each) for each in found} - {name, ""} for name, found in modules.items()
    }


def circle(root: Path) -> list[str]:
    """Modules that import each other in a circle, the first once more at the end; or none."""
    imports = imports_between_files(root)
    try:
        TopologicalSorter(imports).prepare()
    except CycleError as error:
        return error.args[1]
    return []


def long_functions(root: Path) -> dict[str, int]:
    """Lines of each function that is too long, its decorators and docstring included."""
    return {
        f"{file.relative_to(root)}: {node.name}": lines
        for file in files_of(root)
        for node in ast.walk(ast.parse(file.read_text()))
        if isinstance(node, ast.FunctionDef | ast.AsyncFunctionDef)
        and (lines := node.end_lineno - node.lineno + 1) > LONGEST_FUNCTION
    }


def long_files(root: Path) -> dict[str, int]:
    """Lines of each file that is too long, the tests' among them."""
    lines = {
        str(file.relative_to(root)): len(file.read_text().splitlines())
        for file in [*files_of(root), *(root / "tests").rglob("*.py")]
    }
    return {file: count for file, count in lines.items() if count > LONGEST_FILE}


def test_no_two_files_need_each_other():
    assert circle(ROOT) == []


def test_no_function_is_too_long():
    assert long_functions(ROOT) == {}


def test_no_file_is_too_long():
    assert long_files(ROOT) == {}


def test_what_all_pages_do_is_read_in_five_minutes():
    lines = len((ROOT / "explorer/app/page.py").read_text().splitlines())
    assert 0 < lines <= LONGEST_PAGE


def test_the_package_grows_no_further():
    lines = sum(len(file.read_text().splitlines()) for file in files_of(ROOT))
    assert 0 < lines <= MOST_LINES


def test_no_folder_is_too_full():
    full = Counter(file.parent for file in [*files_of(ROOT), *(ROOT / "tests").rglob("*.py")])
    assert {folder: count for folder, count in full.items() if count > MOST_FILES} == {}


STYLES = re.compile(r"\.((?:ge|bn)-[\w-]+)")


def test_every_style_is_used():
    files = (file for file in (ROOT / "explorer").rglob("*.*") if file.suffix in _WITH_CLASSES)
    words = set(re.findall(r"[\w-]+", "\n".join(file.read_text() for file in files)))
    sheets = (ROOT / "explorer/serve/template/static").glob("*.css")
    styles = {name for sheet in sheets for name in STYLES.findall(sheet.read_text())}
    assert styles and styles <= words, styles - words


@pytest.mark.parametrize(
    "back",
    [
        "from explorer.calc import first",
        "from explorer.calc.first import something",
        "from .first import something",
        "def late():\n    import explorer.calc.first",
        "from typing import TYPE_CHECKING\nif TYPE_CHECKING:\n    from explorer.calc import first",
    ],
)
def test_a_circle_is_found(tmp_path, back):
    folder = tmp_path / "explorer" / "calc"
    folder.mkdir(parents=True)
    (folder / "first.py").write_text("from explorer.calc import second")
    (folder / "second.py").write_text(back)
    assert len(circle(tmp_path)) == 3


def test_what_is_too_long_is_found(tmp_path):
    (tmp_path / "explorer").mkdir()
    body = "    pass\n"
    (tmp_path / "explorer" / "planted.py").write_text(
        f"def right():\n{body * (LONGEST_FUNCTION - 1)}def wrong():\n{body * LONGEST_FUNCTION}"
        + "\n" * LONGEST_FILE
    )
    assert list(long_functions(tmp_path)) == ["explorer/planted.py: wrong"]
    assert list(long_files(tmp_path)) == ["explorer/planted.py"]
