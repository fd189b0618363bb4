"""The built package, and the image that the container's file makes of it: each made once."""

import fcntl
import os
import re
import shutil
import subprocess
from collections.abc import Callable
from pathlib import Path

import pytest

PUBLISH = Path("explorer/serve/publish")
IMAGE_PYTHON = "/usr/bin/python3"
"""In the place of the image's: one that every user may run."""


def run(*command: str | Path, cwd: Path) -> str:
    done = subprocess.run(command, cwd=cwd, capture_output=True, text=True, timeout=600)
    assert done.returncode == 0, done.stderr
    return done.stdout


@pytest.fixture(scope="session")
def once(tmp_path_factory) -> Callable[[str, Callable[[Path], None]], Path]:
    """``once(name, make)``: a folder that ``make`` has filled, whichever worker asked first."""
    shared = tmp_path_factory.getbasetemp()
    if "PYTEST_XDIST_WORKER" in os.environ:
        shared = shared.parent

    def made(name: str, make: Callable[[Path], None]) -> Path:
        folder, done = shared / name, shared / f"{name}.made"
        with (shared / f"{name}.lock").open("w") as lock:
            fcntl.flock(lock, fcntl.LOCK_EX)
            if not done.exists():
                folder.mkdir()
                make(folder)
                done.touch()
        return folder

    return made


@pytest.fixture(scope="session")
def wheel(once, repository) -> Path:
    """Made from the source archive that lies beside it."""
    built = once("built", lambda to: run("uv", "build", "--out-dir", to, repository, cwd=to))
    return next(built.glob("*.whl"))


@pytest.fixture(scope="session")
def steps(repository) -> list[tuple[str, str]]:
    """The instructions of the container's file in turn, each with what stands behind it."""
    text = (repository / PUBLISH / "Containerfile").read_text("utf-8")
    joined = re.sub(r"\\\n\s*", " ", re.sub(r"(?m)^#.*\n", "", text))
    return [tuple(line.split(maxsplit=1)) for line in joined.splitlines() if line]


@pytest.fixture(scope="session")
def image(once, wheel, repository, steps, long_run) -> Path:
    """What is in the image below /opt, and its /tmp, in a folder outside the checkout."""
    if not long_run:
        pytest.skip("installs into an empty environment: --long")
    if not Path(IMAGE_PYTHON).exists():
        pytest.skip("no Python here that every user may run")
    context = [wheel, repository / PUBLISH / "constraints.txt"]

    def make(root: Path) -> None:
        for name in ("build", "opt", "tmp"):
            (root / name).mkdir()
        (root / "tmp").chmod(0o1777)
        for instruction, said in steps:
            if instruction == "COPY" and not said.startswith("--from"):
                for file in context:
                    if any(file.match(pattern) for pattern in said.split()[:-1]):
                        shutil.copy(file, root / "build")
            elif instruction == "RUN":
                command = said.replace("/opt/", f"{root}/opt/")
                command = command.replace("python -m venv", f"{IMAGE_PYTHON} -m venv")
                # Nor does a run of tests keep elsewhere what pip compiles in the image.
                alone = ("env", "-u", "PYTHONPYCACHEPREFIX")
                run(*alone, "sh", "-ec", command, cwd=root / "build")

    return once("image", make)
