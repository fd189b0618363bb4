"""What the server allows: read-only pages, idle visitors let go, nothing from another host."""

import base64
import hashlib
import os
import socket
import sys
from collections.abc import Sequence
from pathlib import Path
from tempfile import gettempdir

from traitlets.config import Config

from explorer.serve.contents import PageEntry
from explorer.serve.kernels import SamePythonKernelSpec, VisitorKernelManager
from explorer.serve.prompt_client import PromptKernelClient

IDLE_SECONDS = 600
"""A kernel whose visitor has gone is ended after so long [s]; an open page keeps its kernel."""
IDLE_CHECK_SECONDS = 60
"""How often idle kernels are looked for [s]."""

LARGEST_HEADER = 64 * 2**10
"""Most that a request may have before its body, its link included [byte]: links have some 2 kB, and
none longer than 8192 characters is read (explorer/records/setups/link.py)."""
LARGEST_BODY = 64 * 2**10
"""Most that a request may have as its body [byte]: a closing page sends a token of 100 B."""
IDLE_CONNECTION_SECONDS = 75
"""How long a connection may stay without a request, or with half of one [s]; then it is closed, so
that nobody holds many of them for long. Browsers open another without a word."""

PAGE_FAULT = (
    "This page could not be prepared. Reload it to try again; if it fails again, "
    "tell the person who runs this site."
)

# The only script written inside a page: Voilà's sign of life while a kernel is at work.
_HEARTBEAT = "window.voila_heartbeat()"
_HEARTBEAT_HASH = base64.b64encode(hashlib.sha256(_HEARTBEAT.encode()).digest()).decode()

_NOBODY = "'none'"
_POLICY = "; ".join(
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
    ]
)


def content_security_policy(frame_hosts: Sequence[str]) -> str:
    """What the browser may load and run on our pages, and which hosts may show them in a frame.

    >>> content_security_policy([]).split("; ")[-1]
    "frame-ancestors 'none'"
    >>> content_security_policy(["https://club.example"]).split("; ")[-1]
    'frame-ancestors https://club.example'
    """
    return "; ".join([_POLICY, f"frame-ancestors {' '.join(frame_hosts or [_NOBODY])}"])


def transport(folder: str | None = None) -> str:
    """How server and kernels talk: by sockets in a folder of their own, where the system has them.

    Ports are chosen before a kernel binds them, so that another program may have them by then; and
    whoever is on this machine may knock at them.
    Their folder will stand in this one, or in the system's for temporary files.
    """
    # The address of such a socket has 108 bytes on Linux, 104 elsewhere (unix(7)); our names 70.
    short = len(os.fsencode(folder or gettempdir())) <= 30
    return "ipc" if hasattr(socket, "AF_UNIX") and sys.platform != "win32" and short else "tcp"


def server_settings(
    pages: Sequence[PageEntry], notebooks: Path, base_path: str, pool: int
) -> Config:
    """Voilà's settings for these pages, whose front page's path begins and ends with a slash.

    So many kernels of the first page stand ready before a visitor asks [count]. Every key is a
    trait of the class it names (tests/serve/test_settings.py).
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
    # On a machine at its limits what a kernel shows may come long after its word that it is done.
    # Stock waits for 4 s, and then sends a page without anything on it.
    config.VoilaExecutor.iopub_timeout = 60
    config.VoilaExecutor.raise_on_iopub_timeout = True

    # The signatures of trusted notebooks: of no use here, and stock writes them to the disk.
    config.NotebookNotary.db_file = ":memory:"
    config.AsyncKernelManager.client_factory = PromptKernelClient
    config.AsyncKernelManager.transport = transport()

    kernels = config.MappingKernelManager
    kernels.cull_idle_timeout = IDLE_SECONDS
    kernels.cull_interval = IDLE_CHECK_SECONDS
    kernels.cull_connected = False

    # A notebook that is no page of ours gets no kernel, though it lies in the folder.
    config.VoilaKernelManager.kernel_pools_config = {
        "default": {"pool_size": 0},
        # Kernels of the first page only: each takes a visitor's place, and getting several ready at
        # once would slow down the visitor who has just come.
        **{page.notebook: {"pool_size": pool} for page in pages[:1]},
    }
    # Whoever comes next has it, or a kernel of their own (`put_ready_first`): nobody waits for it.
    config.VoilaKernelManager.fill_delay = 0.0
    return config
