"""The static site: each bike's bench as files, for any web host, a folder, or no signal at all.

The tables are those of the served bench (explorer/tasks/bench/table.py) and so is what shows them
(template/static/bench*.js): nothing is computed a second time, and nothing in the browser.
"""

import argparse
import hashlib
import json
import re
import shutil
import sys
import time
from collections.abc import Iterator, Mapping, Sequence
from dataclasses import replace
from pathlib import Path
from typing import NamedTuple
from urllib.parse import quote

from jinja2 import Environment, FileSystemLoader
from markupsafe import Markup

from explorer.records.bikes.bike import Bike
from explorer.records.bikes.bike_library import demo_bikes
from explorer.records.errors import RecordError
from explorer.records.fitting.fit import Measurements
from explorer.records.ground.surfaces import surfaces
from explorer.records.prose import read_prose
from explorer.records.setups.comparison import Fitment
from explorer.records.setups.setup import Setup
from explorer.records.tyre import same_size
from explorer.serve.assets import BOKEH_SCRIPTS, STATIC, TEMPLATE, classic_script
from explorer.serve.contents import PAGES
from explorer.serve.export_pages import more_files
from explorer.serve.site import Site, club_in, site_of
from explorer.tasks.bench.first import CAUTIONS, first_answer
from explorer.tasks.bench.state import BenchChoice, proposed
from explorer.tasks.bench.table import BenchTable, table_of, tyres_of

TYRES = 5
GROUNDS = 4
UNITS = ("metric", "imperial")

AS_FILES = ("gearing", "wants", "fit", "lesson")
"""Pages that can be files; what a club's pages leave out is neither written nor linked."""

_STEP = re.compile(r"(tables|bikes)/|more/.+/(riding|lesson)\.html$")

_COPIED = ("explorer.css", "bench.css", "mark.svg", "static_lesson.js")


class Case(NamedTuple):
    """What a table is for: one of the bike's tyres, a ground, a unit system."""

    tyre: str
    ground: str
    units: str


def choice_for(bike_id: str, bike: Bike, case: Case) -> BenchChoice:
    """What the served bench asks when a rider puts all set-ups on this tyre and ground."""
    setup = Setup.for_bike(bike_id, bike).changed(surface=case.ground, units=case.units)
    fitted = Fitment.fitted_to(bike)
    others = proposed(bike, fitted)
    if not same_size(case.tyre, fitted.tyre):
        others = tuple(replace(each, tyre=case.tyre, rollout=None) for each in others)
    return BenchChoice(bike, others[0].on(setup), Measurements.for_bike(bike), others, 0)


def tyres_for(bike_id: str, bike: Bike) -> list[str]:
    """The fitted tyre and those next to it in roll-out, smallest first."""
    sizes = tyres_of(choice_for(bike_id, bike, Case(bike.tyre.rear, _grounds()[0], UNITS[0])))
    at = sizes.index(bike.tyre.rear)
    begin = max(0, min(at - TYRES // 2, len(sizes) - TYRES))
    return sizes[begin : begin + TYRES]


def _grounds() -> list[str]:
    """The ground that a page starts with, and others from the most grip to the least."""
    first = str(Setup.model_fields["surface"].default)
    by_grip = sorted(surfaces(), key=lambda name: -surfaces()[name].grip_typical)
    others = [name for name in by_grip if name != first]
    last = len(others) - 1
    spread = [others[round(last * step / (GROUNDS - 2))] for step in range(GROUNDS - 1)]
    return [first, *spread]


def cases_for(bike_id: str, bike: Bike) -> list[list[list[Case]]]:
    """All cases of a bike, by tyre, ground and unit system."""
    return [
        [[Case(tyre, ground, each) for each in UNITS] for ground in _grounds()]
        for tyre in tyres_for(bike_id, bike)
    ]


def steps_of_a_bike(site: Site) -> int:
    """Its tables, bench, short lists and lessons; how many sheets, is known when they are made."""
    bench = TYRES * GROUNDS * len(UNITS) + 1
    lists = site.serves("wants") or site.serves("fit")
    return bench * site.serves("gearing") + len(UNITS) * (lists + site.serves("lesson"))


def _in_order(site: Site) -> list[tuple[int, str]]:
    """Each system of units with its place in the links, that of the site first."""
    return sorted(enumerate(UNITS), key=lambda each: each[1] != site.units)


def _more(site: Site) -> list[tuple[str, str, str]]:
    """The pages of a bike beside its bench: file, what links to it say, and what else is there."""
    found = []
    if site.serves("wants"):
        sheets = " and fitting sheets" if site.serves("fit") else ""
        found.append(("riding", "what bothers you?", f" Short lists{sheets}"))
    elif site.serves("fit"):
        found.append(("riding", "fitting sheets", ""))
    return found + [("lesson", "lesson", "")] * site.serves("lesson")


def _bike_files(environment: Environment, bike_id: str, bike: Bike) -> Iterator[tuple[str, str]]:
    """Name and text of each file of one bike: its tables, then its page."""
    tyres, grounds = tyres_for(bike_id, bike), _grounds()
    units = _in_order(environment.globals["site"])
    shown = (tyres.index(bike.tyre.rear), 0, units[0][0])
    tables: list[str] = []
    for t, by_ground in enumerate(cases_for(bike_id, bike)):
        for g, by_units in enumerate(by_ground):
            for u, case in enumerate(by_units):
                table = table_of(choice_for(bike_id, bike, case))
                tables.append(f'benchTable("{t}-{g}-{u}", "{table.text}");\n')
                yield f"tables/{bike_id}/{t}-{g}-{u}.js", tables[-1]
                if (t, g, u) == shown:
                    first = BenchTable(table.text, table.mark, {**table.meta, "tyres": tyres})
    known = {
        "tables": f"../tables/{quote(bike_id)}/",
        "tyres": tyres,
        "grounds": [[name, surfaces()[name].label] for name in grounds],
        "units": list(UNITS),
        "shown": shown,
        "mark": _mark(*tables),
    }
    yield (
        f"bikes/{bike_id}.html",
        environment.get_template("static_bench.html.j2").render(
            bike=bike,
            bike_id=quote(bike_id),
            first=Markup(first_answer(first, served=False)),
            known=Markup(json.dumps(known).replace("<", "\\u003c")),
            grounds=[(at, surfaces()[name].label) for at, name in enumerate(grounds)],
            units=units,
            cautions=CAUTIONS,
        ),
    )


def _mark(*contents: str) -> str:
    """What follows an address whose content changes with it, so that browsers may keep it."""
    return f"?v={hashlib.sha256(''.join(contents).encode()).hexdigest()[:12]}"


def export(bikes: Mapping[str, Bike], site: Site, out: Path, served_at: str = "") -> Iterator[str]:
    """Write the site, and say the name of each file once it is there.

    Args:
        out: An empty folder, or one that an export made.
        served_at: Address of the served pages, linked for what static pages cannot do; or none.
    """
    served_at = served_at and f"{served_at.rstrip('/')}/"
    environment = Environment(loader=FileSystemLoader(TEMPLATE), autoescape=True)
    environment.globals |= {"site": site, "served_at": served_at, "more": _more(site)}
    files: dict[str, str] = {}

    def put(name: str, content: str) -> str:
        path = out / name
        path.parent.mkdir(parents=True, exist_ok=True)
        path.write_text(content, encoding="utf-8")
        files[name] = hashlib.sha256(content.encode()).hexdigest()
        return name

    own = {name: (STATIC / name).read_text(encoding="utf-8") for name in _COPIED}
    own["bench.js"] = classic_script()
    own["bokeh.min.js"] = (BOKEH_SCRIPTS / "bokeh.min.js").read_text(encoding="utf-8")
    environment.globals["mark"] = own_mark = _mark(*own.values())
    for name, content in own.items():
        yield put(f"own/{name}", content)
    for bike_id, bike in bikes.items():
        fitted = tyres_for(bike_id, bike).index(bike.tyre.rear)
        if site.serves("gearing"):
            for name, content in _bike_files(environment, bike_id, bike):
                yield put(name, content)
        for at, units in enumerate(UNITS):
            about = {"bike": bike, "bike_id": quote(bike_id), "case": f"{fitted}-0-{at}"}
            for name, content in more_files(environment, about, dict(bikes), bike_id, units):
                yield put(name, content)
    links = [(quote(bike_id), bike.name) for bike_id, bike in bikes.items()]
    front = environment.get_template("static_front.html.j2")
    yield put("index.html", front.render(bikes=links, units=_in_order(site)))
    icon = {"src": "own/mark.svg", "sizes": "any", "type": "image/svg+xml"}
    manifest = {"name": site.title, "start_url": "./index.html", "display": "browser"}
    yield put("manifest.webmanifest", json.dumps(manifest | {"icons": [icon]}))
    mark = hashlib.sha256(json.dumps(files, sort_keys=True).encode()).hexdigest()[:16]
    worker = (TEMPLATE / "worker.js").read_text(encoding="utf-8").replace("MARK", mark)
    # At once what each page needs; a bike's other tables once its page is looked at.
    kept = [f"own/{name}{own_mark}" for name in own] + ["index.html", "manifest.webmanifest"]
    yield put("worker.js", worker.replace('"FILES"', json.dumps(kept)))


def parser() -> argparse.ArgumentParser:
    """The options of ``explorer export``."""
    command = argparse.ArgumentParser(
        prog="explorer export", description="Write each bike's bench as a site of plain files."
    )
    told = read_prose("options")["export"]
    command.add_argument("--club", default="", metavar="FOLDER", help=told["club"])
    command.add_argument("--out", required=True, type=Path, metavar="FOLDER", help=told["out"])
    command.add_argument("--served-at", default="", metavar="ADDRESS", help=told["served-at"])
    return command


def main(argv: Sequence[str]) -> int:
    """Export; 2 where something is wrong with what was given."""
    options = parser().parse_args(argv)
    out: Path = options.out
    try:
        if options.served_at and not re.match(r"https?://[^\s\"<>]+$", options.served_at):
            raise RecordError("--served-at is no web address; begin it with https:// or http://.")
        if out.exists() and (not out.is_dir() or (any(out.iterdir()) and not _ours(out))):
            raise RecordError(f"{out} holds other files; give an empty folder.")
        club = club_in(options.club, PAGES)
        bikes, site = demo_bikes() if club is None else club.bikes, site_of(club, PAGES)
        if not any(map(site.serves, AS_FILES)):
            raise RecordError(
                f"None of the club's pages can be a file; these can: {', '.join(AS_FILES)}."
            )
    except RecordError as problems:
        print(*problems.sentences, sep="\n", file=sys.stderr)
        return 2
    for name in ("tables", "bikes", "more"):
        shutil.rmtree(out / name, ignore_errors=True)
    began, size, done = time.monotonic(), 0, 0
    for name in export(bikes, site, out, options.served_at):
        size += (out / name).stat().st_size
        done += bool(_STEP.match(name))
        if sys.stderr.isatty():
            part = done / (steps_of_a_bike(site) * len(bikes))
            print(f"\r[{'#' * int(30 * part):30}] {part:4.0%}", end="", file=sys.stderr)
    print(
        f"\n{out}: {len(bikes)} bikes, {size / 1e6:.1f} MB, in {time.monotonic() - began:.0f} s. "
        f"Open {out / 'index.html'}, or copy the folder to a web host."
    )
    return 0


def _ours(folder: Path) -> bool:
    return (folder / "worker.js").is_file() and (folder / "own" / "bench.js").is_file()
