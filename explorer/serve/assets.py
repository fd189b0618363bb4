"""Scripts and styles of the pages, all served from here and kept by the browser for a year.

Every address carries a mark made from the files' versions and contents, so a browser that has
the files asks for none of them again until one changes.
"""

import gzip
import hashlib
import io
import re
from functools import lru_cache
from importlib.metadata import version
from pathlib import Path
from typing import Any, BinaryIO

import bokeh
from jupyterlab_server.config import get_federated_extensions
from tornado.web import HTTPError, RequestHandler, StaticFileHandler
from voila.paths import collect_static_paths
from voila.utils import get_voila_labextensions_path

from explorer.serve import together
from explorer.serve.access_log import NamelessFaults

TEMPLATE = Path(__file__).parent / "template"
STATIC = TEMPLATE / "static"
BOKEH_SCRIPTS = Path(bokeh.__file__).parent / "server" / "static" / "js"

# The widget libraries that a page needs. Whatever else is installed here stays off the pages: a
# stranger's extension can break them.
EXTENSIONS = (
    "@jupyter-widgets/jupyterlab-manager",
    "@voila-dashboards/widgets-manager8",
    "@bokeh/jupyter_bokeh",
)

_BENCH = (
    *("fields.js", "bench_table.js", "bench_plot.js", "bench_charts.js", "bench_touch.js"),
    *("bench_run.js", "bench_offers.js", "bench_picture.js", "bench_glide.js", "bench.js"),
    "bench_site.js",
)
"""Parts of the bench in the order in which they need each other."""


def own_mark() -> str:
    """Short mark of everything served by this module; changes when any of it does."""
    digest = hashlib.sha256()
    for package in ("bokeh", "jupyter_bokeh", "ipywidgets", "voila"):
        digest.update(f"{package} {version(package)}\n".encode())
    for path in sorted(STATIC.iterdir()):
        digest.update(path.read_bytes())
    digest.update(voila_script())
    return digest.hexdigest()[:16]


PIECE = 64 * 2**10
"""How much of a script is handed on at a time [byte]."""


@lru_cache(maxsize=256)
def compressed(path: str) -> bytes:
    """A file's contents in gzip's form."""
    return gzip.compress(Path(path).read_bytes())


def keep_for_a_year(answer: RequestHandler) -> None:
    """Say how long the browser may keep what is sent, and that it is what it is said to be."""
    answer.set_header("Cache-Control", "public, max-age=31536000, immutable")
    answer.set_header("X-Content-Type-Options", "nosniff")


async def send(answer: RequestHandler, body: BinaryIO) -> None:
    """Send piece by piece, each when the last has gone; who never reads fills no memory."""
    while piece := body.read(PIECE):
        answer.write(piece)
        await answer.flush()


class AssetHandler(NamelessFaults, StaticFileHandler):
    """One folder of files, for a year, by addresses that change with the files."""

    async def get(self, path: str, include_body: bool = True) -> None:
        if "\0" in path:  # no file has it in its name, and Python fails at it
            raise HTTPError(404)
        asked = self.request.headers
        if "gzip" not in asked.get("Accept-Encoding", "") or "Range" in asked:
            await super().get(path, include_body)
            return
        self.path = self.parse_url_path(path)
        absolute = self.get_absolute_path(self.root, self.path)
        self.absolute_path = self.validate_absolute_path(self.root, absolute)
        if self.absolute_path is None:  # answered already
            return
        self.modified = self.get_modified_time()
        self.set_headers()
        if self.should_return_304():
            self.set_status(304)
            return
        self.set_header("Content-Encoding", "gzip")
        body = compressed(self.absolute_path)
        self.set_header("Content-Length", len(body))
        if include_body:
            await send(self, io.BytesIO(body))

    def set_extra_headers(self, path: str) -> None:
        keep_for_a_year(self)


class ScriptHandler(NamelessFaults, RequestHandler):
    """A script that is no file, given in gzip's form; for a year, too."""

    def initialize(self, script: bytes) -> None:
        self.script = script

    async def get(self) -> None:
        """Answer GET, and HEAD, for which Tornado leaves the script away."""
        keep_for_a_year(self)
        self.set_header("Content-Type", "text/javascript")
        script = io.BytesIO(self.script)
        if "gzip" in self.request.headers.get("Accept-Encoding", ""):
            self.set_header("Content-Encoding", "gzip")
            self.set_header("Content-Length", len(self.script))
            await send(self, script)
        else:
            with gzip.open(script) as unpacked:
                await send(self, unpacked)

    head = get


def voila_scripts() -> Path:
    """The folder of Voilà's own scripts."""
    for folder in map(Path, collect_static_paths(["voila"], "base")):
        if (folder / "voila.js").is_file():
            return folder
    raise FileNotFoundError("voila.js, a part of the package voila, is not installed here")


def extension_folders() -> dict[str, dict[str, Any]]:
    """Name to description of each widget library of `EXTENSIONS`, all of which must be there."""
    installed = get_federated_extensions(get_voila_labextensions_path())
    return {name: installed[name] for name in EXTENSIONS}


def library_folders() -> dict[str, Path]:
    """Name to folder of each widget library."""
    return {name: Path(each["ext_path"]) for name, each in extension_folders().items()}


def voila_script() -> bytes:
    """Voilà's script, with the parts of it and of the widget libraries that pages ask for."""
    return together.voila_with_parts(voila_scripts(), library_folders())


def classic_script() -> str:
    """The bench's modules as one script: from a folder (file://) browsers load no module."""
    parts = [
        "(() => {\nconst modules = {};\nconst found = (name) => Promise.resolve(modules[name]);"
    ]
    imported = re.compile(r'^import (\{[^}]+\}) from "(\./[\w.]+)";$', re.M)
    for name in _BENCH:
        text = imported.sub(r'const \1 = modules["\2"];', (STATIC / name).read_text("utf-8"))
        given = re.findall(r"^export (?:async )?(?:function|class|const) (\w+)", text, re.M)
        text = re.sub(r"^export ", "", text, flags=re.M).replace("import(`", "found(`")
        back = f"return {{ {', '.join(given)} }};"
        parts.append(f'modules["./{name}"] = (() => {{\n{text}\n{back}\n}})();')
    return "\n".join([*parts, "})();\n"])


def asset_handlers(prefix: str) -> list[tuple]:
    """Handlers for everything below ``prefix``, an address that ends with a slash."""
    bench, voila = (gzip.compress(each) for each in (classic_script().encode(), voila_script()))
    libraries = {
        rf"extensions/{name}/(static/[\w.-]+)": folder for name, folder in library_folders().items()
    }
    folders = {
        r"own/(.*)": STATIC,
        r"bokeh/(bokeh\.min\.js)": BOKEH_SCRIPTS,
        r"voila/([\w.-]+)": voila_scripts(),
    }
    return [
        (rf"{prefix}own/bench_whole\.js", ScriptHandler, {"script": bench}),
        (rf"{prefix}voila/voila\.js", ScriptHandler, {"script": voila}),
        *((prefix + at, AssetHandler, {"path": to}) for at, to in (folders | libraries).items()),
    ]
