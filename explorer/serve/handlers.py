"""What the server answers besides scripts and styles: front page, pages, kernels, the rest."""

import tornado.web
from jinja2 import Environment, FileSystemLoader, select_autoescape
from jupyter_server.auth.identity import IdentityProvider, User
from jupyter_server.services.kernels.handlers import KernelHandler
from voila.tornado.handler import TornadoVoilaHandler
from voila.tornado.kernel_websocket_handler import VoilaKernelWebsocketHandler

from explorer.serve.assets import TEMPLATE
from explorer.serve.settings import CONTENT_SECURITY_POLICY

WAIT_SECONDS = 10
"""After how long a visitor for whom there was no place asks again [s]."""

_templates = Environment(
    loader=FileSystemLoader(TEMPLATE), autoescape=select_autoescape(default=True)
)


def plain_page(template: str, **values) -> str:
    """HTML of a page without a kernel, from one of our own templates; values are escaped."""
    return _templates.get_template(template).render(**values)


class PlainHandler(tornado.web.RequestHandler):
    """A page without a kernel."""

    def set_default_headers(self) -> None:
        self.set_header("Content-Security-Policy", CONTENT_SECURITY_POLICY)
        self.set_header("X-Content-Type-Options", "nosniff")
        self.set_header("Cache-Control", "no-cache")


class FrontPageHandler(PlainHandler):
    """The list of the pages."""

    def get(self) -> None:
        self.finish(self.settings["front_page"])


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


class SentenceOnFault:
    """Answers a fault with our sentence instead of a page that names the fault."""

    def write_error(self, status_code: int, **kwargs) -> None:
        self.finish(self.settings["fault_page"])


class PageHandler(SentenceOnFault, TornadoVoilaHandler):
    """One notebook, run for this visitor."""

    async def get(self) -> None:
        # Reading it sets the cookie with which a closing page says that its kernel may go. Without
        # it that message is refused and kernels pile up until they are culled
        # (github.com/voila-dashboards/voila/issues/1458).
        _ = self.xsrf_token
        if not self.kernel_manager.let_in():
            self.set_status(503)
            self.set_header("Retry-After", str(WAIT_SECONDS))
            self.set_header("Cache-Control", "no-store")
            self.finish(self.settings["waiting_page"])
            return
        try:
            await super().get()
        finally:
            self.kernel_manager.arrivals.remove()


class KernelStateHandler(KernelHandler):
    """Lets a page ask whether its kernel lives; a page ends its kernel by its closing message."""

    SUPPORTED_METHODS = ("GET",)


class KernelChannelsHandler(SentenceOnFault, VoilaKernelWebsocketHandler):
    """The line between a page and its kernel."""
