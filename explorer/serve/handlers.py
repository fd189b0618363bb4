"""What the server answers besides scripts and styles: front page, pages, kernels, the rest."""

import asyncio
import logging
from collections import Counter
from contextlib import suppress
from typing import Any, ClassVar

import tornado.web
from jinja2 import Environment, FileSystemLoader, select_autoescape
from jupyter_server.auth.identity import IdentityProvider, User
from jupyter_server.services.kernels.handlers import KernelHandler
from tornado.websocket import WebSocketClosedError
from voila.request_info_handler import RequestInfoSocketHandler
from voila.shutdown_kernel_handler import VoilaShutdownKernelHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler

from explorer.serve.access_log import NamelessFaults
from explorer.serve.adapters.voila import link_is_asked_for, put_ready_first, refill
from explorer.serve.assets import TEMPLATE
from explorer.serve.open_files import KEPT_FREE, has_room
from explorer.serve.settings import PAGE_FAULT
from explorer.serve.visitor_limit import network_of
from explorer.serve.visitor_websocket import WEBSOCKETS_PER_KERNEL, WRITE_BUFFER

WAIT_SECONDS = 10
"""After how long a visitor for whom there was no place asks again [s]."""

READ_ON_SECONDS = 0.05
"""How often it is looked whether a page that sends too fast may be read on [s]."""

LONGEST_START_SECONDS = 60
"""How long a page may take from its request until it has been sent [s]: several times what it takes
on a machine at its limits (README.md beside this file)."""

log = logging.getLogger("explorer")

_templates = Environment(
    loader=FileSystemLoader(TEMPLATE), autoescape=select_autoescape(default=True)
)


def plain_page(template: str, **values) -> str:
    """HTML of a page without a kernel, from one of our own templates; values are escaped."""
    return _templates.get_template(template).render(**values)


class PlainHandler(NamelessFaults, tornado.web.RequestHandler):
    """A page without a kernel."""

    def set_default_headers(self) -> None:
        for name, value in self.settings["headers"].items():
            self.set_header(name, value)
        self.set_header("X-Content-Type-Options", "nosniff")
        self.set_header("Cache-Control", "no-cache")


class FrontPageHandler(PlainHandler):
    """The list of the pages."""

    def get(self) -> None:
        self.finish(self.settings["front_page"])


class HealthHandler(PlainHandler):
    """Whether visitors can be served, for whoever watches over the server; takes no place."""

    def get(self) -> None:
        kernels = self.settings["kernel_manager"]
        server = kernels.parent
        taken, all_places = kernels.visitors, server.places - server.pool
        well = kernels.can_start()
        self.set_status(200 if well else 503)
        self.set_header("Cache-Control", "no-store")
        self.finish(
            {
                "status": "ok" if well else "no kernels can be started",
                "version": server.site.version,
                "places": all_places,
                "taken": taken,
                "free": max(0, all_places - taken),
            }
        )


class NotFoundHandler(PlainHandler):
    """Everything that is not served: one sentence and the way back."""

    def prepare(self) -> None:
        self.set_status(404)
        self.finish(self.settings["not_found_page"])

    def check_xsrf_cookie(self) -> None:
        """Nothing is done here, so there is nothing to protect."""


class NamelessVisitors(IdentityProvider):
    """Everyone is the same visitor, so nobody is given a name or the cookie to keep it."""

    def get_user(self, handler) -> User:
        return User(username="visitor")


class SentenceOnFault(NamelessFaults):
    """Answers a fault with our sentence instead of a page that names the fault."""

    def write_error(self, status_code: int, **kwargs) -> None:
        self.finish(self.settings["fault_page"](self.fault))


class PageHandler(SentenceOnFault, TornadoVoilaHandler):
    """One notebook, run for this visitor."""

    async def get(self) -> None:
        # Reading it sets the cookie with which a closing page says that its kernel may go. Without
        # it that message is refused and kernels pile up until they are culled
        # (github.com/voila-dashboards/voila/issues/1458).
        token = self.xsrf_token.decode()
        if self._is_framed_elsewhere():
            # There the browser refuses that cookie, which is "Strict", and keeps this one, apart
            # from what it keeps for us elsewhere. The site around us can't read it, and so can't
            # send what must come with it. Python 3.11 doesn't know "Partitioned".
            self.add_header(
                "Set-Cookie",
                f"_xsrf={token}; Path={self.base_url}; SameSite=None; Secure; Partitioned",
            )
        if not await self.kernel_manager.let_in(self._address()):
            self.set_status(503)
            self.set_header("Retry-After", str(WAIT_SECONDS))
            self.set_header("Cache-Control", "no-store")
            self.finish(self.settings["waiting_page"])
            return
        try:
            async with asyncio.timeout(LONGEST_START_SECONDS):
                await super().get()
            refill(self.kernel_manager, self.notebook_path)
        except TimeoutError:
            # Half of the page has been sent, and its place for outputs is open.
            log.error("A kernel did not show its page in %d s.", LONGEST_START_SECONDS)
            self.finish(f'<p class="ge-broken" role="alert">{PAGE_FAULT}</p>')
        finally:
            self.kernel_manager.arrivals.remove()

    def should_use_rendered_notebook(self, *given: Any) -> bool:
        """Whether a kernel of the pool is for this visitor: only one that stands ready."""
        if not super().should_use_rendered_notebook(*given):
            return False
        ready = put_ready_first(self.kernel_manager, self.notebook_path)
        if ready is not None:
            self.kernel_manager.hold(ready)
        return ready is not None

    def _address(self) -> str:
        """Where this visitor comes from, as far as a web server in front may say so."""
        peer, said = self.request.remote_ip, self.request.headers.get("X-Real-IP", "")
        return network_of(said if said and peer in self.settings["web_servers"] else peer)

    def _is_framed_elsewhere(self) -> bool:
        """Whether the browser says that it shows this in a frame of another site, which it may.

        It says so over https only, and of this machine itself (W3C, Fetch Metadata Request
        Headers): there it also keeps a cookie that is "Secure".
        """
        said = self.request.headers
        return bool(
            self.settings["frame_hosts"]
            and said.get("Sec-Fetch-Dest") == "iframe"
            and said.get("Sec-Fetch-Site") == "cross-site"
        )


class KernelStateHandler(NamelessFaults, KernelHandler):
    """Lets a page ask whether its kernel lives; a page ends its kernel by its closing message."""

    SUPPORTED_METHODS = ("GET",)

    def get(self, kernel_id: str) -> None:
        self.kernel_manager.note_question(kernel_id)
        return super().get(kernel_id)


class KernelEndHandler(NamelessFaults, VoilaShutdownKernelHandler):
    """A closing page lets its kernel go."""

    SUPPORTED_METHODS = ("POST",)


class KernelChannelsHandler(SentenceOnFault, VoilaKernelWebsocketHandler):
    """The websocket between a page and its kernel."""

    _websockets: ClassVar[Counter[str]] = Counter()

    async def get(self, kernel_id: str) -> None:
        """Lasts as long as the websocket."""
        if self._websockets[kernel_id] >= WEBSOCKETS_PER_KERNEL:
            raise tornado.web.HTTPError(429)
        if not has_room(kept=KEPT_FREE // 2):
            raise tornado.web.HTTPError(503)
        self._websockets[kernel_id] += 1
        try:
            await super().get(kernel_id)
        finally:
            self._websockets[kernel_id] -= 1
            if not self._websockets[kernel_id]:
                del self._websockets[kernel_id]

    async def pre_get(self) -> None:
        await super().pre_get()
        if self.connection is None:
            # Given up by the page while its kernel was asked.
            raise tornado.web.Finish

    def get_compression_options(self) -> dict[str, int]:
        # RFC 7692. What a page's widgets say on its first visit becomes an eighth; windows of 32 kB
        # and little memory for the rest suffice for that.
        return {"compression_level": 6, "mem_level": 5}

    async def on_message(self, ws_message: str | bytes) -> None:
        super().on_message(ws_message)
        # The next one is read when this returns; that nobody is there any more is found by answers.
        while self.connection.must_wait:
            await asyncio.sleep(READ_ON_SECONDS)

    def on_ping(self, data: bytes) -> None:
        if self.connection is not None:
            self.connection.admit(len(data))

    def on_close(self) -> None:
        if self.connection is not None:
            super().on_close()

    async def open(self, kernel_id: str) -> None:
        self.ws_connection.stream.max_write_buffer_size = WRITE_BUFFER
        try:
            await super().open(kernel_id)
        except Exception:
            # Tornado ends a websocket that could not be opened, and does not tell its handler.
            self.on_connection_close()
            raise

    def write_message(self, message: bytes | dict[str, Any], binary: bool = False) -> None:
        # A page that has just been closed hears no more; that is no fault.
        with suppress(WebSocketClosedError):
            sent = super().write_message(message, binary)
            if sent is not None:
                sent.add_done_callback(lambda done: done.cancelled() or done.exception())


class LinkHandler(SentenceOnFault, RequestInfoSocketHandler):
    """Tells a kernel of the pool the link with which its visitor came.

    Voilà's own answers anybody for any id, and forgets another kernel's websocket when one of two
    with the same id closes: that kernel would wait for ever, and its visitor with it.
    """

    def prepare(self) -> None:
        kernel_id = self.path_kwargs["kernel_id"]
        if kernel_id not in self.settings["kernel_manager"] or link_is_asked_for(kernel_id):
            raise tornado.web.HTTPError(404)
