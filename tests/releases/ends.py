"""Runs the tests with the oldest, or the newest, of all that pyproject.toml allows.

    python -m tests.releases.ends oldest [pytest's arguments]
    python -m tests.releases.ends newest [pytest's arguments]

By hand before a release, and once a week by .github/workflows/weekly.yml. "Oldest" is the lower
bound of each direct dependency, with the newest that fits of what those need in turn.
"""

import argparse
import subprocess
import sys
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
PINS_ONLY = "tests/test_environment.py::test_every_package_that_is_installed_here_is_pinned"
RESOLUTION = {"oldest": "lowest-direct", "newest": "highest"}


def run(end: str, arguments: list[str]) -> int:
    """Exit code of pytest in an environment of its own, which is gone afterwards."""
    with tempfile.TemporaryDirectory() as folder:
        # From another folder, so that the project's own list of versions has no say.
        python = f"{folder}/environment/bin/python"
        subprocess.run(["uv", "venv", "--quiet", "environment"], cwd=folder, check=True)
        install = ["uv", "pip", "install", "--quiet", "--python", python]
        install += ["--resolution", RESOLUTION[end], "--editable", str(ROOT)]
        install += ["--group", f"{ROOT}/pyproject.toml:test"]
        subprocess.run(install, cwd=folder, check=True)
        subprocess.run(["uv", "pip", "freeze", "--python", python], cwd=folder, check=True)
        return subprocess.run(
            [python, "-m", "pytest", "--deselect", PINS_ONLY, *arguments], cwd=ROOT
        ).returncode


if __name__ == "__main__":
    parser = argparse.ArgumentParser(description=__doc__.partition("\n")[0])
    parser.add_argument("end", choices=RESOLUTION)
    known, rest = parser.parse_known_args()
    sys.exit(run(known.end, rest))
