"""The web server: Voilà, cut down to our pages and dressed in our own template."""

import logging
import signal
import socket
from collections.abc import Callable, Sequence
from typing import Any

import tornado.ioloop
import tornado.web
from jupyter_server.services.kernels.kernelmanager import EventLogger
from traitlets import Any as AnyTrait
from traitlets import Bool, Instance, Int, Unicode, default
from voila.app import Voila
from voila.configuration import VoilaConfiguration
from voila.paths import collect_template_paths

from explorer.app import FAULT_TYPE, FIRST_TYPE
from explorer.serve import handlers
from explorer.serve.access_log import AccessLog, CountedBytes, say_nothing
from explorer.serve.assets import TEMPLATE, asset_handlers, extension_folders, own_mark
from explorer.serve.contents import PageEntry
from explorer.serve.handlers import WAIT_SECONDS, plain_page
from explorer.serve.open_files import BoundedServer
from explorer.serve.settings import (
    IDLE_CONNECTION_SECONDS,
    LARGEST_BODY,
    LARGEST_HEADER,
    PAGE_FAULT,
    content_security_policy,
)
from explorer.serve.site import Site
from explorer.serve.visitor_limit import LOOK_SECONDS
from explorer.serve.visitor_websocket import LARGEST_MESSAGE, websocket_class

KERNEL_ID = r"(?P<kernel_id>\w+-\w+-\w+-\w+-\w+)"

STOP_SIGNALS = (signal.SIGINT, signal.SIGTERM)
"""What Ctrl+C sends, and what a service manager does."""


def with_number(sentence: str, number: str) -> str:
    """The sentence about a fault, with the number by which a visitor can name it."""
    return f"{sentence} The number of this fault in the server's log is {number}."


class ExplorerServer(Voila):
    """Serves the front page, our pages and nothing else.

    Voilà's own tree of files, its file, template and theme addresses are not served at all; what
    a page needs of them is listed in `explorer.serve.assets`. No settings file of Voilà's is
    read, so nothing on the machine can loosen `explorer.serve.settings`.
    """

    site: Site = AnyTrait()
    club_folder = Unicode(help="Folder of the club whose pages these are; empty without one.")
    sockets: Sequence[socket.socket] = AnyTrait()
    web_servers: Sequence[str] = AnyTrait(())
    places = Int(help="Most kernels at once, those of the pool included.")
    pool = Int(help="Kernels of the first page that stand ready.")
    logbook_folder = Unicode(
        help="Folder of the rider's own logbook; empty on a server for others."
    )
    only_here = Bool(
        help="Whether pages are refused that were asked for by another name than this machine's "
        "own. A stranger's page can have its name lead here, and is then one of ours to a browser."
    )
    loopback_address = Unicode("127.0.0.1", help="Where a kernel on this machine finds the server.")
    access_log: AccessLog | None = AnyTrait(None)
    event_logger = Instance(
        EventLogger,
        (),
        help="One for all kernels, which look for it here: each made its own otherwise, and those "
        "stay in Python's table of loggers for good.",
    )
    when_listening: Callable[[], None] = AnyTrait()

    @property
    def pages(self) -> Sequence[PageEntry]:
        """The only pages that are served."""
        return self.site.pages

    @default("identity_provider_class")
    def _nameless_visitors(self) -> type:
        return handlers.NamelessVisitors

    def initialize(self, argv: Sequence[str] | None = None) -> None:
        getattr(self, "_init_asyncio_patch", lambda: None)()  # on Windows only
        self.voila_configuration = VoilaConfiguration(parent=self)
        self.voila_configuration.page_config_hook = self.page_config
        self.setup_template_dirs()
        # A refused request is no fault of ours, and its line would name the visitor's address.
        logging.getLogger("tornado").setLevel(logging.ERROR)

    def setup_template_dirs(self) -> None:
        self.template_paths = [
            str(TEMPLATE),
            *collect_template_paths(["voila", "nbconvert"], "base", prune=True),
        ]
        self.assets = f"{self.base_url}assets/{own_mark()}/"
        self.extensions = extension_folders()

    def page_config(
        self, config: dict[str, Any], *, notebook_path: str, **_: Any
    ) -> dict[str, Any]:
        """What the page's scripts are told, and (under ``explorer``) what our template needs."""
        entry = next(page for page in self.pages if page.notebook == notebook_path)
        return {
            "baseUrl": config["baseUrl"],
            "appUrl": "",
            "fullStaticUrl": f"{self.assets}voila",
            "fullLabextensionsUrl": f"{self.assets}extensions",
            "federated_extensions": [
                extension
                for extension in config["federated_extensions"]
                if extension["name"] in self.extensions
            ],
            "progressiveRendering": False,
            "fullMathjaxUrl": f"{self.assets}own/no_formulas.js",
            "mathjaxConfig": "none",
            "explorer": {
                "assets": self.assets,
                "home": self.base_url,
                "title": entry.title,
                "name": entry.name,
                "site": self.site,
                "fault": PAGE_FAULT,
                "fault_type": FAULT_TYPE,
                "first_type": FIRST_TYPE,
                "has_bench": entry.has_bench,
                "with_number": with_number,
            },
        }

    def init_settings(self) -> dict[str, Any]:
        settings = super().init_settings()
        places = {"assets": self.assets, "home": self.base_url, "site": self.site}
        return {
            **settings,
            "headers": {"Content-Security-Policy": content_security_policy(self.site.frame_hosts)},
            "frame_hosts": self.site.frame_hosts,
            "web_servers": self.web_servers,
            "xsrf_cookie_kwargs": {"samesite": "Strict", "path": self.base_url},
            "default_handler_class": handlers.NotFoundHandler,
            "front_page": plain_page("front_page.html.j2", **places),
            "not_found_page": plain_page(
                "sentence.html.j2",
                title="No such page",
                sentence="There is nothing at this address.",
                **places,
            ),
            "fault_page": lambda number: plain_page(
                "sentence.html.j2",
                title="Not available",
                sentence=with_number(PAGE_FAULT, number) if number else PAGE_FAULT,
                **places,
            ),
            "waiting_page": plain_page(
                "waiting.html.j2", places=self.places - self.pool, seconds=WAIT_SECONDS, **places
            ),
            "kernel_websocket_connection_class": websocket_class(),
            "websocket_max_message_size": LARGEST_MESSAGE,
            "allow_remote_access": not self.only_here,
            "log_function": self.access_log.note if self.access_log else say_nothing,
            # The one that counts bytes is the last.
            "transforms": [tornado.web.GZipContentEncoding, CountedBytes],
        }

    def init_handlers(self) -> list[tuple]:
        base = self.base_url
        answers: list[tuple] = [
            (base, handlers.FrontPageHandler),
            (f"{base}health", handlers.HealthHandler),
            (f"{base}api/kernels/{KERNEL_ID}", handlers.KernelStateHandler),
            (f"{base}api/kernels/{KERNEL_ID}/channels", handlers.KernelChannelsHandler),
            (f"{base}voila/api/shutdown/{KERNEL_ID}", handlers.KernelEndHandler),
        ]
        if self.voila_configuration.preheat_kernel:
            answers.append((f"{base}voila/query/{KERNEL_ID}", handlers.LinkHandler))
        for page in self.pages:
            arguments = {
                "notebook_path": page.notebook,
                "template_paths": self.template_paths,
                "config": self.config,
                "voila_configuration": self.voila_configuration,
            }
            answers.append((f"{base}{page.name}", handlers.PageHandler, arguments))
        return answers + asset_handlers(self.assets)

    def listen(self) -> None:
        """Serve on the sockets that the command has bound already, until told to stop."""
        self.http_server = BoundedServer(
            self.app,
            max_header_size=LARGEST_HEADER,
            max_body_size=LARGEST_BODY,
            idle_connection_timeout=IDLE_CONNECTION_SECONDS,
            body_timeout=IDLE_CONNECTION_SECONDS,
        )
        self.http_server.add_sockets(self.sockets)
        self.http_server.rest_when_full(self.sockets)
        self.ioloop = tornado.ioloop.IOLoop.current()
        self.ioloop.add_callback(self.when_listening)
        kernels = self.kernel_manager
        looks = kernels.end_the_greediest, kernels.end_the_unseen, kernels.share_the_processors
        for look in looks:
            tornado.ioloop.PeriodicCallback(look, LOOK_SECONDS * 1000).start()
        # Python's own way with Ctrl+C is an exception wherever it is just then; while it answers a
        # request, Tornado notes that in the log and goes on serving.
        for number in STOP_SIGNALS:
            signal.signal(number, self._stop_on_signal)
        try:
            self.ioloop.start()
        finally:
            self.stop()

    def _stop_on_signal(self, *_: Any) -> None:
        # A second one would leave half of it standing.
        for number in STOP_SIGNALS:
            signal.signal(number, signal.SIG_IGN)
        self.ioloop.add_callback_from_signal(self.ioloop.stop)

    def stop(self) -> None:
        # First, so that nothing waits for a kernel that is still on its way.
        self.kernel_manager.warm_process.end()
        super().stop()
