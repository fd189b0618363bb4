"""What `.ci/run` says of a run of tests: its exit code, with a stand-in for the tests."""

import os
import shutil
import subprocess
from pathlib import Path

import pytest

PASSED = ("2 passed", 0)
ONE_FAILED = ("FAILED tests/a.py::b[1 2] - no\nERROR tests/a.py::b[1 2] - nor that\n1 failed", 1)
FOUR_FAILED = ("\n".join(f"FAILED tests/a.py::{name} - no" for name in "abcd"), 1)
SKIPPED = ("SKIPPED [1] tests/browser/test_a.py:1: no browser\n1 passed, 1 skipped", 0)

STAND_IN = """#!/bin/sh
# In the place of uv: every run of pytest has said what stands in the next file.
case "$*" in
    *pytest*)
        echo "$@" >>"$RUNS/asked"
        number=$(wc -l <"$RUNS/asked" | tr -d " ")
        cat "$RUNS/said$number"
        exit "$(cat "$RUNS/code$number")" ;;
    *mypy*) exit "$MYPY" ;;
esac
"""


@pytest.mark.parametrize(
    ("runs", "checks", "code"),
    [
        ([PASSED], 0, 0),
        ([PASSED], 1, 1),
        ([ONE_FAILED, PASSED], 0, 0),
        ([ONE_FAILED, ONE_FAILED], 0, 1),
        ([FOUR_FAILED], 0, 1),
        ([SKIPPED], 0, 1),
        ([("no tests ran", 5)], 0, 5),
    ],
    ids=[
        "all passed",
        "the linter found something",
        "passed alone",
        "failed twice",
        "too many failed",
        "a browser test was skipped",
        "no tests",
    ],
)
def test_it_fails_where_something_failed_and_nowhere_else(
    repository: Path, tmp_path, runs, checks, code
):
    shutil.copytree(repository / ".ci", tmp_path / "checkout" / ".ci")
    programs = tmp_path / "programs"
    programs.mkdir()
    for name in ("uv", "chromium", "nginx"):
        (programs / name).write_text(STAND_IN)
        (programs / name).chmod(0o755)
    for number, (said, ended) in enumerate(runs, start=1):
        (tmp_path / f"said{number}").write_text(f"{said}\n")
        (tmp_path / f"code{number}").write_text(f"{ended}\n")
    environment = {"PATH": f"{programs}:{os.environ['PATH']}", "RUNS": tmp_path, "MYPY": checks}
    done = subprocess.run(
        ["bash", tmp_path / "checkout" / ".ci" / "run"],
        env={name: str(value) for name, value in environment.items()},
        capture_output=True,
        text=True,
        timeout=60,
    )
    assert done.returncode == code, done.stdout + done.stderr
    asked = (tmp_path / "asked").read_text().splitlines()
    assert len(asked) == len(runs)
    assert all("--last-failed" in words for words in asked[1:])
