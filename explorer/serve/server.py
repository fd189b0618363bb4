"""The web server: Voilà, cut down to our pages and dressed in our own template."""

import logging
import signal
import socket
from collections.abc import Callable, Sequence
from typing import Any

import tornado.httpserver
import tornado.ioloop
from traitlets import Any as AnyTrait
from traitlets import Int, Unicode, default
from voila.app import Voila, _kernel_id_regex
from voila.configuration import VoilaConfiguration
from voila.paths import collect_template_paths
from voila.request_info_handler import RequestInfoSocketHandler
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler

from explorer.serve.assets import TEMPLATE, asset_handlers, extension_folders, own_mark
from explorer.serve.contents import PageEntry
from explorer.serve.handlers import (
    WAIT_SECONDS,
    FrontPageHandler,
    KernelChannelsHandler,
    KernelStateHandler,
    NamelessVisitors,
    NotFoundHandler,
    PageHandler,
    plain_page,
)
from explorer.serve.settings import CONTENT_SECURITY_POLICY, PAGE_FAULT


class ExplorerServer(Voila):
    """Serves the front page, our pages and nothing else.

    Voilà's own tree of files, its file, template and theme addresses are not served at all; what
    a page needs of them is listed in `explorer.serve.assets`. No settings file of Voilà's is
    read, so nothing on the machine can loosen `explorer.serve.settings`.
    """

    pages: Sequence[PageEntry] = AnyTrait()
    sockets: Sequence[socket.socket] = AnyTrait()
    places = Int(help="Most kernels at once, those of the pool included.")
    pool = Int(help="Kernels of the first page that stand ready.")
    logbook_folder = Unicode(
        help="Folder of the rider's own logbook; empty on a server for others."
    )
    loopback_address = Unicode("127.0.0.1", help="Where a kernel on this machine finds the server.")
    when_listening: Callable[[], None] = AnyTrait()

    @default("identity_provider_class")
    def _nameless_visitors(self) -> type:
        return NamelessVisitors

    def initialize(self, argv: Sequence[str] | None = None) -> None:
        self._init_asyncio_patch()
        self.voila_configuration = VoilaConfiguration(parent=self)
        self.voila_configuration.page_config_hook = self.page_config
        self.setup_template_dirs()
        # A refused request is no fault of ours, and its line would name the visitor's address.
        logging.getLogger("tornado").setLevel(logging.ERROR)
        signal.signal(signal.SIGTERM, self._handle_signal_stop)

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
                "pages": self.pages,
                "fault": PAGE_FAULT,
            },
        }

    def init_settings(self) -> dict[str, Any]:
        settings = super().init_settings()
        places = {"assets": self.assets, "home": self.base_url}
        return {
            **settings,
            "compress_response": True,
            "headers": {"Content-Security-Policy": CONTENT_SECURITY_POLICY},
            "ws_ping_timeout": 30_000,
            "xsrf_cookie_kwargs": {"samesite": "Strict", "path": self.base_url},
            "default_handler_class": NotFoundHandler,
            "front_page": plain_page("front_page.html.j2", pages=self.pages, **places),
            "not_found_page": plain_page(
                "sentence.html.j2",
                title="No such page",
                sentence="There is nothing at this address.",
                **places,
            ),
            "fault_page": plain_page(
                "sentence.html.j2", title="Not available", sentence=PAGE_FAULT, **places
            ),
            "waiting_page": plain_page(
                "waiting.html.j2",
                places=self.places - self.pool,
                seconds=WAIT_SECONDS,
                **places,
            ),
            "log_function": self.log_request,
        }

    def log_request(self, handler) -> None:
        """Log a request without its query or the visitor's address."""
        self.log.info(
            "%d %s %s", handler.get_status(), handler.request.method, handler.request.path
        )

    def init_handlers(self) -> list[tuple]:
        base = self.base_url
        handlers: list[tuple] = [(base, FrontPageHandler)]
        for page in self.pages:
            arguments = {
                "notebook_path": page.notebook,
                "template_paths": self.template_paths,
                "config": self.config,
                "voila_configuration": self.voila_configuration,
            }
            handlers.append((f"{base}{page.name}", PageHandler, arguments))
        handlers += [
            (f"{base}api/kernels/{_kernel_id_regex}", KernelStateHandler),
            (f"{base}api/kernels/{_kernel_id_regex}/channels", KernelChannelsHandler),
            (f"{base}voila/api/shutdown/(.*)", VoilaShutdownKernelHandler),
        ]
        if self.voila_configuration.preheat_kernel:
            handlers.append((f"{base}voila/query/{_kernel_id_regex}", RequestInfoSocketHandler))
        return handlers + asset_handlers(self.assets)

    def listen(self) -> None:
        """Serve on the sockets that the command has bound already, until told to stop."""
        self.http_server = tornado.httpserver.HTTPServer(self.app)
        self.http_server.add_sockets(self.sockets)
        self.ioloop = tornado.ioloop.IOLoop.current()
        self.ioloop.add_callback(self.when_listening)
        try:
            self.ioloop.start()
        except KeyboardInterrupt:
            self.log.info("Stopping")
        finally:
            self.stop()

    def stop(self) -> None:
        # A second Ctrl+C would leave half of it standing.
        signal.signal(signal.SIGINT, signal.SIG_IGN)
        # First, so that nothing waits for a kernel that is still on its way.
        self.kernel_manager.warm_process.end()
        super().stop()
