"""Voilà's script comes with its parts: all that are listed, and none of them changed."""

import gzip
from pathlib import Path
from urllib.request import Request, urlopen

import pytest

from explorer.serve.assets import extension_folders, own_mark, voila_scripts
from explorer.serve.together import LIBRARY_PARTS, VOILA_PARTS, parts, voila_with_parts


@pytest.fixture(scope="module")
def installed():
    """Voilà's folder and those of the widget libraries."""
    libraries = extension_folders().items()
    return voila_scripts(), {name: Path(each["ext_path"]) for name, each in libraries}


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
def test_it_is_served_compressed_or_not_and_kept_for_a_year(server, installed, accepted):
    address = f"{server.url}assets/{own_mark()}/voila/voila.js"
    with urlopen(Request(address, headers={"Accept-Encoding": accepted}), timeout=60) as answer:
        assert answer.headers["Content-Type"].startswith("text/javascript")
        assert answer.headers["Cache-Control"] == "public, max-age=31536000, immutable"
        assert (answer.headers["Content-Encoding"] == "gzip") == (accepted == "gzip")
        sent = answer.read()
    script = gzip.decompress(sent) if accepted == "gzip" else sent
    assert script == voila_with_parts(*installed)
