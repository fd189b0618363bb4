"""Voilà's script comes with its parts: all that are listed, and none of them changed."""

import gzip
from urllib.request import Request, urlopen

import pytest

from explorer.serve import assets
from explorer.serve.assets import library_folders, own_mark, voila_script, voila_scripts
from explorer.serve.together import LIBRARY_PARTS, VOILA_PARTS, parts, voila_with_parts


@pytest.fixture(scope="module")
def installed():
    """Voilà's folder and those of the widget libraries."""
    return voila_scripts(), library_folders()


def test_every_part_that_is_listed_is_installed_here(installed):
    found = [int(path.name.partition(".")[0]) for path in parts(*installed)]
    listed = [*VOILA_PARTS, *(number for some in LIBRARY_PARTS.values() for number in some)]
    assert sorted(found) == sorted(listed)


def test_parts_come_first_and_those_of_another_version_are_left_out(tmp_path):
    for name in ("voila.js", "73.voila.js", "1.voila.js"):
        (tmp_path / name).write_text(f'"use strict";say("{name}") // the end')
    assert voila_with_parts(tmp_path, {}).decode() == (
        '(() => {"use strict";say("73.voila.js") // the end\n})();\n'
        '"use strict";say("voila.js") // the end'
    )


@pytest.mark.parametrize("accepted", ["gzip", "identity"])
def test_it_is_served_compressed_or_not_and_kept_for_a_year(server, accepted):
    address = f"{server.url}assets/{own_mark()}/voila/voila.js"
    with urlopen(Request(address, headers={"Accept-Encoding": accepted}), timeout=60) as answer:
        assert answer.headers["Content-Type"].startswith("text/javascript")
        assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
        assert (answer.headers["Content-Encoding"] == "gzip") == (accepted == "gzip")
        sent = answer.read()
    script = gzip.decompress(sent) if accepted == "gzip" else sent
    assert script == voila_script()


def test_its_address_changes_with_any_part(monkeypatch):
    """A browser keeps it for a year, and a library may change without ipywidgets or Voilà."""
    before = own_mark()
    monkeypatch.setattr(assets, "voila_script", lambda: b"another")
    assert own_mark() != before


def test_it_can_be_asked_for_without_its_content(server):
    address = f"{server.url}assets/{own_mark()}/voila/voila.js"
    with urlopen(Request(address, method="HEAD"), timeout=60) as answer:
        assert (answer.status, answer.read()) == (200, b"")
