"""The container's file: linted, and its steps run one by one, as no container engine is at hand."""

import json
import os
import re
import shutil
import subprocess
from pathlib import Path

import psutil
import pytest
import yaml

from tests.conftest import start_server

PUBLISH = Path("explorer/serve/publish")
IMAGE_PYTHON = "/usr/bin/python3"
"""In the place of the image's: one that every user may run."""
NOBODY = 10001


@pytest.fixture(scope="module")
def steps(repository) -> list[tuple[str, str]]:
    """The file's instructions in turn, each with what stands behind it."""
    text = (repository / PUBLISH / "Containerfile").read_text("utf-8")
    joined = re.sub(r"\\\n\s*", " ", re.sub(r"(?m)^#.*\n", "", text))
    return [tuple(line.split(maxsplit=1)) for line in joined.splitlines() if line]


def last(steps: list[tuple[str, str]], name: str) -> str:
    return [said for instruction, said in steps if instruction == name][-1]


def test_the_linter_finds_nothing(repository):
    file = repository / PUBLISH / "Containerfile"
    done = subprocess.run(["hadolint", file], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stdout) == (0, "")


def test_it_runs_as_a_user_without_rights_and_says_how_it_is(steps):
    assert last(steps, "USER") == f"{NOBODY}:{NOBODY}"
    assert re.fullmatch(r"python:3\.\d+-slim-\w+", last(steps, "FROM"))
    assert "/health" in last(steps, "HEALTHCHECK")


def test_compose_takes_rights_away_and_limits_each_service(repository):
    services = yaml.safe_load((repository / PUBLISH / "compose.yml").read_text("utf-8"))["services"]
    for service in services.values():
        assert service["read_only"] is True
        assert service["security_opt"] == ["no-new-privileges:true"]
        assert re.fullmatch(r"\d+m", service["mem_limit"])
    pages = services["explorer"]
    assert pages["cap_drop"] == ["ALL"]
    assert "ports" not in pages  # only nginx reaches it
    assert pages["ulimits"]["nofile"] == 65536
    for volume in services["nginx"]["volumes"]:
        assert volume.endswith(":ro")
    # What nginx passes on to is what the container listens on.
    port = re.search(r'"--port", "(\d+)"', (repository / PUBLISH / "Containerfile").read_text())[1]
    assert f"127.0.0.1:{port};" in (repository / PUBLISH / "nginx-one.conf").read_text("utf-8")


def allowed(folder: Path) -> dict[str, int]:
    """Whom to run as: nobody, where this is root and the system has a Python for everybody."""
    if os.geteuid() != 0:
        return {}
    for each in (folder, *folder.parents):
        if each.owner() == "root" and each != Path("/") and each != Path("/tmp"):
            each.chmod(each.stat().st_mode | 0o055)
    return {"user": NOBODY, "group": NOBODY}


def test_its_steps_one_by_one(steps, repository, tmp_path_factory, long_run):
    if not long_run:
        pytest.skip("installs into an empty environment: --long")
    if not Path(IMAGE_PYTHON).exists():
        pytest.skip("no Python here that every user may run")
    root = tmp_path_factory.mktemp("image")
    for name in ("build", "opt", "tmp"):
        (root / name).mkdir()
    (root / "tmp").chmod(0o1777)
    subprocess.run(["uv", "build", "--wheel", "-o", root / "context", repository], check=True)
    shutil.copy(repository / PUBLISH / "constraints.txt", root / "context")

    def here(text: str) -> str:
        return text.replace("/opt/", f"{root}/opt/").replace("8871", "0")

    for instruction, said in steps:
        if instruction == "COPY" and not said.startswith("--from"):
            for pattern in said.split()[:-1]:
                for file in (root / "context").glob(pattern):
                    shutil.copy(file, root / "build")
        elif instruction == "RUN":
            command = here(said).replace("python -m venv", f"{IMAGE_PYTHON} -m venv")
            subprocess.run(["sh", "-ec", command], cwd=root / "build", check=True, timeout=600)

    before = {file: file.stat().st_mtime_ns for file in (root / "opt").rglob("*")}
    command = [
        here(part) for name in ("ENTRYPOINT", "CMD") for part in json.loads(last(steps, name))
    ]
    environment = {"HOME": str(root / "tmp"), "TMPDIR": str(root / "tmp")}
    settings = dict(pair.split("=") for pair in last(steps, "ENV").split())
    running = start_server(
        command,
        root / "log.txt",
        cwd=root / "tmp",
        env={"PATH": os.environ["PATH"], **settings, **environment},
        **allowed(root),
    )
    try:
        port = running.url.rstrip("/").rpartition(":")[2]
        check = json.loads(last(steps, "HEALTHCHECK").partition("CMD ")[2])
        asked = [here(part).replace(":0/", f":{port}/") for part in check]
        subprocess.run(asked, check=True, timeout=60)
        assert os.geteuid() != 0 or psutil.Process(running.process.pid).uids().real == NOBODY
    finally:
        running.stop()
    # Nothing was written but in /tmp: the file system may be read-only.
    assert {file: file.stat().st_mtime_ns for file in (root / "opt").rglob("*")} == before
