"""Writes the versions that the README's two commands install: the newest that the ranges allow.

    python -m tests.releases.constrain

They go to two places, as uv and pip read different ones: ``[tool.uv]`` in pyproject.toml, and
explorer/serve/publish/constraints.txt, which environment.yml and an installed package use. Neither
names a registry, as a lock file would. Run the tests before a commit, and tests.releases.ends too.
"""

import re
import subprocess
import tempfile
from pathlib import Path

ROOT = Path(__file__).parents[2]
PROJECT = ROOT / "pyproject.toml"
FILE = ROOT / "explorer" / "serve" / "publish" / "constraints.txt"
_LIST = re.compile(r"(?<=^constraint-dependencies = \[\n).*?(?=^\])", re.DOTALL | re.MULTILINE)


def newest(project: str) -> list[str]:
    """One version for each package that the project's text asks for, tests included."""
    with tempfile.TemporaryDirectory() as folder:
        # With the list emptied, and no code: only what the project asks for is looked at.
        Path(folder, "pyproject.toml").write_text(_LIST.sub("", project), "utf-8")
        command = ["uv", "export", "--all-groups", "--no-emit-project", "--no-hashes"]
        command += ["--no-annotate", "--no-header", "--fork-strategy", "fewest", "--quiet"]
        asked = subprocess.run(command, cwd=folder, capture_output=True, text=True, check=True)
    return asked.stdout.splitlines()


def written(project: str, pins: list[str]) -> str:
    """The project's text with these versions as its list."""
    return _LIST.sub("".join(f'    "{pin.replace(chr(34), chr(39))}",\n' for pin in pins), project)


if __name__ == "__main__":
    text = PROJECT.read_text("utf-8")
    pins = newest(text)
    PROJECT.write_text(written(text, pins), "utf-8")
    FILE.write_text("\n".join(pins) + "\n", "utf-8")
    print(f"{len(pins)} versions written.")
