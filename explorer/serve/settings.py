"""What the server allows: read-only pages, idle visitors let go, nothing from another host."""

import base64
import hashlib
from collections.abc import Sequence
from pathlib import Path

from traitlets.config import Config

from explorer.serve.contents import PageEntry
from explorer.serve.kernels import SamePythonKernelSpec, VisitorKernelManager

IDLE_SECONDS = 600
"""A kernel whose visitor has gone is ended after so long [s]; an open page keeps its kernel."""
IDLE_CHECK_SECONDS = 60
"""How often idle kernels are looked for [s]."""

PAGE_FAULT = (
    "This page could not be prepared. Reload it to try again; if it fails again, "
    "tell the person who runs this site."
)

# The only script written inside a page: Voilà's sign of life while a kernel is at work.
_HEARTBEAT = "window.voila_heartbeat()"
_HEARTBEAT_HASH = base64.b64encode(hashlib.sha256(_HEARTBEAT.encode()).digest()).decode()

CONTENT_SECURITY_POLICY = "; ".join(
    [
        # Whatever ends up on a page, the browser asks no other host for anything.
        "default-src 'self'",
        # No script written inside a page runs, so text from a link or a file can't become one.
        # The widget library compiles its message checks with Function(), hence 'unsafe-eval'.
        f"script-src 'self' 'unsafe-eval' 'sha256-{_HEARTBEAT_HASH}'",
        # Widgets and charts write their styles into the page.
        "style-src 'self' 'unsafe-inline'",
        "img-src 'self' data: blob:",
        "font-src 'self' data:",
        "object-src 'none'",
        "base-uri 'none'",
        "form-action 'self'",
        "frame-ancestors 'self'",
    ]
)


def server_settings(
    pages: Sequence[PageEntry], notebooks: Path, base_path: str, pool: int
) -> Config:
    """Voilà's settings for these pages.

    Parameters
    ----------
    pages : sequence of PageEntry
        The pages served.
    notebooks : Path
        Folder of the notebooks.
    base_path : str
        Path of the front page; begins and ends with a slash.
    pool : int
        How many kernels of the first page stand ready before a visitor asks [-]; 0 for none.

    Returns
    -------
    Config
        Every key is a trait of the class it names (tests/serve/test_settings.py).
    """
    config = Config()
    config.Voila.root_dir = str(notebooks)
    config.Voila.base_url = base_path
    config.Voila.log_level = "ERROR"

    voila = config.VoilaConfiguration
    voila.strip_sources = True
    voila.show_tracebacks = False
    voila.file_allowlist = []
    voila.file_denylist = [".*"]
    voila.template = "base"
    voila.theme = "light"
    voila.allow_template_override = "NO"
    voila.allow_theme_override = "NO"
    voila.preheat_kernel = pool > 0
    voila.kernel_spec_manager_class = SamePythonKernelSpec
    voila.multi_kernel_manager_class = VisitorKernelManager

    config.VoilaExecutor.cell_error_instruction = PAGE_FAULT
    config.VoilaExecutor.cell_timeout_instruction = PAGE_FAULT

    kernels = config.MappingKernelManager
    kernels.cull_idle_timeout = IDLE_SECONDS
    kernels.cull_interval = IDLE_CHECK_SECONDS
    kernels.cull_connected = False

    # A notebook that is no page of ours gets no kernel, though it lies in the folder.
    config.VoilaKernelManager.kernel_pools_config = {
        "default": {"pool_size": 0},
        # Kernels of the first page only: each takes 140 MB, and getting several ready at once
        # would slow down the visitor who has just come.
        **{page.notebook: {"pool_size": pool} for page in pages[:1]},
    }
    # The page that has just been sent out is drawn in these seconds, on a visitor's own machine by
    # the same processor: let it finish before the next kernel is got ready [s].
    config.VoilaKernelManager.fill_delay = 4.0
    return config
