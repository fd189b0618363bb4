"""The floors of the house: imports run downward only, and notebooks hold nothing but a page.

notebooks -> tasks -> app -> panels, charts -> study -> records -> calc; explorer.units
with its table beside them; serve on its own, imported by nobody.
"""

import ast
import json
import subprocess
import sys
from collections.abc import Iterator
from pathlib import Path

import pytest

ROOT = Path(__file__).parents[1]

# Which floors of explorer each floor may import. serve may import anything.
ALLOWED_FLOORS = {
    "calc": {"calc"},
    "data_folder": set(),
    "unit_kinds": {"data_folder"},
    "units": {"calc", "unit_kinds"},
    "records": {"calc", "units", "records", "data_folder"},
    "study": {"calc", "units", "records", "study"},
    "charts": {"calc", "units", "records", "study", "charts"},
    "panels": {"calc", "units", "records", "study", "panels"},
    "app": {"calc", "units", "records", "study", "charts", "panels", "app", "data_folder"},
    "tasks": {"calc", "units", "records", "study", "charts", "panels", "app", "tasks"},
}

# Packages that belong to certain floors only.
HOME_FLOORS = {
    "pint": {"units", "records"},
    "pandas": {"records", "panels", "app", "tasks"},
    "ipywidgets": {"panels", "app"},
    "IPython": {"panels", "app", "tasks"},
    "bokeh": {"charts", "app"},
    "jupyter_bokeh": {"app"},
    # Panels do no arithmetic.
    "numpy": {"calc", "units", "records", "study", "charts", "app", "tasks"},
    "scipy": {"calc", "records", "study"},
}

CALC_PACKAGES = {"numpy", "scipy"} | set(sys.stdlib_module_names)

LONGEST_NOTEBOOK = 12
"""Lines of code, all cells together."""


def imported_modules(tree: ast.AST, package: str) -> Iterator[str]:
    """Full names of all modules that a file imports, wherever in it."""
    for node in ast.walk(tree):
        if isinstance(node, ast.Import):
            yield from (alias.name for alias in node.names)
        elif isinstance(node, ast.ImportFrom):
            base = node.module or ""
            if node.level:
                parents = package.split(".")
                parents = parents[: len(parents) - node.level + 1]
                base = ".".join([*parents, base] if base else parents)
            # "from explorer import charts" names the floor only together with the alias.
            yield from (f"{base}.{alias.name}" for alias in node.names)


def floor_of(module: str) -> str:
    parts = module.split(".")
    return parts[1] if parts[0] == "explorer" and len(parts) > 1 else ""


def violations(root: Path) -> list[str]:
    """One line for each import that breaks a floor, for all files of explorer under root."""
    found = []
    for file in sorted((root / "explorer").rglob("*.py")):
        path = file.relative_to(root).with_suffix("")
        floor = path.parts[1] if path.parts[1] != "__init__" else ""
        if floor == "serve":
            continue
        tree = ast.parse(file.read_text(encoding="utf-8"))
        for module in imported_modules(tree, ".".join(path.parts[:-1])):
            package = module.split(".")[0]
            if package == "explorer":
                allowed = floor_of(module) in ALLOWED_FLOORS.get(floor, set())
            elif floor == "calc":
                allowed = package in CALC_PACKAGES
            else:
                allowed = floor in HOME_FLOORS.get(package, {floor})
            if not allowed:
                found.append(f"{path} imports {module}")
    return found


def test_imports_run_downward():
    assert list((ROOT / "explorer" / "calc").glob("*.py")), "explorer.calc was not found"
    assert violations(ROOT) == []


def test_every_floor_is_known():
    floors = {
        entry.stem
        for entry in (ROOT / "explorer").iterdir()
        if (entry.suffix == ".py" and entry.stem != "__init__") or (entry / "__init__.py").exists()
    }
    assert floors <= {*ALLOWED_FLOORS, "serve"}


@pytest.mark.parametrize(
    ("floor", "line"),
    [
        ("calc", "import pint"),
        ("calc", "from pandas import DataFrame"),
        ("calc", "from explorer.records import tyre"),
        ("calc", "from ..records import tyre"),
        ("calc", "from explorer import units"),
        ("records", "def late():\n    import explorer.charts.drawing"),
        ("records", "import ipywidgets"),
        ("charts", "from ipywidgets import VBox"),
        ("charts", "from explorer.panels import teeth"),
        ("charts", "import pint"),
        ("panels", "import numpy as np"),
        ("panels", "from explorer.charts import drawing"),
        ("panels", "import bokeh.plotting"),
        ("study", "import ipywidgets"),
        ("study", "from explorer.panels import html"),
        ("charts", "from explorer.app import faults"),
        ("app", "from explorer.tasks.fit import page"),
        ("tasks", "from explorer.serve import server"),
        ("tasks", "import pint"),
    ],
)
def test_a_broken_floor_is_found(tmp_path, floor, line):
    folder = tmp_path / "explorer" / floor
    folder.mkdir(parents=True)
    (folder / "planted.py").write_text(line, encoding="utf-8")
    assert len(violations(tmp_path)) == 1


def test_calc_stays_light():
    """Importing explorer.calc loads no units, tables, widgets or charts, not even by proxy."""
    program = """
import importlib, pkgutil, sys
import explorer.calc
found = pkgutil.walk_packages(explorer.calc.__path__, "explorer.calc.")
names = [module.name for module in found]
for name in names:
    importlib.import_module(name)
heavy = {"pint", "pandas", "pydantic", "ipywidgets", "IPython", "bokeh", "tornado", "matplotlib"}
print(len(names), sorted(heavy & set(sys.modules)))
"""
    run = subprocess.run(
        [sys.executable, "-c", program], capture_output=True, text=True, cwd=ROOT, check=True
    )
    count, loaded = run.stdout.split(maxsplit=1)
    assert int(count) >= 10
    assert loaded.strip() == "[]"


NOTEBOOKS = sorted((ROOT / "notebooks").glob("*.ipynb"))


def test_there_are_notebooks():
    assert NOTEBOOKS


@pytest.mark.parametrize("notebook", NOTEBOOKS, ids=lambda path: path.name)
def test_notebook_only_opens_a_page(notebook):
    cells = json.loads(notebook.read_text(encoding="utf-8"))["cells"]
    code_cells = [cell for cell in cells if cell["cell_type"] == "code"]
    assert all(cell["outputs"] == [] for cell in code_cells), "stored outputs"
    assert all(cell["execution_count"] is None for cell in code_cells), "stored execution counts"
    source = "\n".join("".join(cell["source"]) for cell in code_cells)
    lines = [line for line in source.splitlines() if line.strip() and line.strip()[0] != "#"]
    assert len(lines) <= LONGEST_NOTEBOOK
    tree = ast.parse(source)
    computing = ast.FunctionDef | ast.AsyncFunctionDef | ast.ClassDef | ast.Lambda
    assert not [node for node in ast.walk(tree) if isinstance(node, computing)]
    floors = {
        floor_of(module)
        for module in imported_modules(tree, "")
        if module.split(".")[0] == "explorer"
    }
    assert floors <= {"app", "tasks"}
