"""The ``explorer`` command: serve the pages on this machine and open them in a browser."""

import argparse
import errno
import re
import socket
import sys
import webbrowser
from collections.abc import Callable, Sequence
from importlib.metadata import version
from pathlib import Path
from typing import Any

from tornado.netutil import bind_sockets

from explorer.data_folder import DATA, shipped
from explorer.records.prose import read_prose
from explorer.serve.contents import PAGES, PageEntry

CANNOT_START = 2
"""Exit code when the server could not start, as for a wrong argument."""
STOPPED = 130
"""Exit code after Ctrl+C before the server stood, as shells have it."""
LOOPBACK = ("127.0.0.1", "::1", "localhost")
"""Addresses that only this machine can reach."""


def base_path(text: str) -> str:
    """The path of the front page, with a slash at either end.

    >>> base_path("club"), base_path("/")
    ('/club/', '/')
    """
    path = f"/{text.strip('/')}/".replace("//", "/")
    if not re.fullmatch(r"[A-Za-z0-9/_~.-]+", path) or ".." in path:
        raise argparse.ArgumentTypeError(
            f"{text!r} can't be a path; use letters, digits, '-', '_' and '/', such as /gearing/"
        )
    return path


def number(what: str, least: int, most: int) -> Callable[[str], int]:
    """Reads an option that is a whole number within limits; the error says which these are."""

    def read(text: str) -> int:
        if not re.fullmatch(r"[0-9]{1,5}", text) or not least <= int(text) <= most:
            raise argparse.ArgumentTypeError(
                f"{text!r} is not {what}; use a number from {least} to {most}"
            )
        return int(text)

    return read


def parser() -> argparse.ArgumentParser:
    """The command's options; their help is data/options.toml."""
    command = argparse.ArgumentParser(
        prog="explorer",
        description="Serve the gearing pages and open them in a browser. Stop with Ctrl+C.",
        epilog="explorer export --out FOLDER writes each bike's bench as a site of plain files, "
        "for any web host or without a signal; explorer export --help says more.",
    )
    told = read_prose("options")["explorer"]

    def option(name: str, **how: Any) -> None:
        help_text = told[name].replace("{club}", str(DATA / "club"))
        command.add_argument(f"--{name}", help=help_text, **how)

    option("port", type=number("a port", 0, 65535), default=8866)
    option("address", default="127.0.0.1")
    option("base-path", type=base_path, default="/")
    option("pool", type=number("a pool size", 0, 99), default=1)
    option("visitors", type=number("a number of visitors", 1, 99999), default=0, metavar="N")
    option("behind", action="append", default=[], metavar="ADDRESS")
    option("no-browser", action="store_true")
    option("access-log", default="", metavar="FILE")
    option("logbook", choices=("home", "visit"))
    option("club", default="", metavar="FOLDER")
    option("check", action="store_true")
    command.add_argument(
        "--version", action="version", version=f"gearing explorer {version('gearing-explorer')}"
    )
    return command


def logbook_at_home(options: argparse.Namespace) -> bool:
    """Whether the logbook is the rider's own file: never by default on a server for others.

    >>> [logbook_at_home(parser().parse_args(given)) for given in ([], ["--no-browser"])]
    [True, False]
    """
    if options.logbook:
        return options.logbook == "home"
    for_others = options.no_browser or options.base_path != "/"
    return not for_others and options.address in LOOPBACK


def bound_sockets(address: str, port: int) -> list[socket.socket]:
    """Sockets listening on the port, or an `OSError` whose text is one plain sentence."""
    try:
        return bind_sockets(port, address)
    except socket.gaierror:
        raise OSError(f"{address!r} is not an address of this machine.") from None
    except OSError as fault:
        if fault.errno == errno.EADDRINUSE:
            sentence = f"Port {port} is in use already; choose another one with --port."
        elif fault.errno == errno.EACCES:
            sentence = f"Port {port} needs rights that you don't have; choose one above 1023."
        else:
            sentence = f"Can't listen on {address}, port {port}: {fault.strerror}."
        raise OSError(sentence) from None


def bracketed(host: str) -> str:
    """The host as it stands in an address of the web.

    >>> bracketed("::1"), bracketed("127.0.0.1")
    ('[::1]', '127.0.0.1')
    """
    return f"[{host}]" if ":" in host else host


def check_libraries() -> int:
    """Say which library does not fit, and what is done instead; 2 where nothing could be served."""
    from explorer.serve.adapters.fit import can_serve, everything_that_does_not_fit

    print(*(everything_that_does_not_fit() or ["All libraries fit."]), sep="\n")
    return 0 if can_serve() else CANNOT_START


def serve(options: argparse.Namespace, pages: Sequence[PageEntry], notebooks: Path) -> int:
    """Serve the pages until stopped; the exit code is 2 if the server can't start."""
    missing = [page.notebook for page in pages if not (notebooks / page.notebook).is_file()]
    if missing:
        lacking = f"The pages are not in this installation ({', '.join(missing)})"
        print(f"{lacking}; install it again.", file=sys.stderr)
        return CANNOT_START
    # Reading bikes loads much; --help need not wait for it.
    from explorer.records.errors import RecordError
    from explorer.serve.access_log import AccessLog
    from explorer.serve.adapters.jsonschema import leave_addresses_out
    from explorer.serve.site import club_in, site_of, what_is_there

    leave_addresses_out()
    try:
        club = club_in(options.club, pages)
        if options.check:
            print(what_is_there(club))
            return check_libraries()
    except RecordError as problems:
        print(*problems.sentences, sep="\n", file=sys.stderr)
        return CANNOT_START
    try:
        access_log = AccessLog(options.access_log) if options.access_log else None
        sockets = bound_sockets(options.address, options.port)
    except OSError as fault:
        print(fault, file=sys.stderr)
        return CANNOT_START

    # Loading the server takes a while; --help, and the sentences above, need not wait for it.
    from explorer.records.logbook.logbook_place import home_folder
    from explorer.serve.adapters.fit import can_serve, what_does_not_fit
    from explorer.serve.adapters.names import misfits
    from explorer.serve.adapters.voila import POOL
    from explorer.serve.kernels import kernel_share
    from explorer.serve.open_files import raise_limit
    from explorer.serve.server import ExplorerServer
    from explorer.serve.settings import server_settings
    from explorer.serve.visitor_limit import visitors_here

    raise_limit()
    for sentence in what_does_not_fit():
        print(sentence, file=sys.stderr)
    if not can_serve():
        return CANNOT_START
    site = site_of(club, pages)
    places = options.visitors or visitors_here(kernel_share())
    # A place that the pool takes is no visitor's.
    pool = min(options.pool, places - 1) if not misfits(POOL) else 0
    everywhere = options.address in ("", "0.0.0.0", "::")
    port = sockets[0].getsockname()[1]
    host = "localhost" if everywhere else options.address
    url = f"http://{bracketed(host)}:{port}{options.base_path}"

    def announce() -> None:
        print(f"The pages are at {url}", flush=True)
        if not options.no_browser:
            webbrowser.open(url)

    server = ExplorerServer.instance(
        config=server_settings(site.pages, notebooks, options.base_path, pool),
        site=site,
        club_folder=str(Path(options.club).resolve()) if options.club else "",
        places=places,
        pool=pool,
        logbook_folder=str(home_folder()) if logbook_at_home(options) else "",
        only_here=logbook_at_home(options) and options.address in LOOPBACK,
        sockets=sockets,
        web_servers=options.behind,
        port=port,
        ip=options.address,
        loopback_address="127.0.0.1" if everywhere else bracketed(options.address),
        access_log=access_log,
        when_listening=announce,
    )
    server.initialize([])
    server.start()
    return 0


def main(argv: Sequence[str] | None = None) -> int:
    """The ``explorer`` command."""
    given = sys.argv[1:] if argv is None else list(argv)
    try:
        if given[:1] == ["export"]:
            from explorer.serve.export import main as export

            return export(given[1:])
        return serve(parser().parse_args(given), PAGES, shipped("notebooks"))
    except KeyboardInterrupt:  # before there was a server to stop
        return STOPPED


if __name__ == "__main__":
    sys.exit(main())
