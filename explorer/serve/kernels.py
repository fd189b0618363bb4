"""The visitor's kernel: which Python runs it and what it is told of the request."""

import sys

from jupyter_client.kernelspec import (
    NATIVE_KERNEL_NAME,
    KernelSpec,
    KernelSpecManager,
    NoSuchKernel,
)
from jupyter_server.services.kernels.kernelmanager import AsyncMappingKernelManager

# What Voilà tells a kernel about the request that started it. A kernel of the pool is started
# before its visitor comes, by the request of the visitor before: it would be told that visitor's
# address. A page needs none of these; the query string reaches it by another way.
REQUEST_VARIABLES = ("VOILA_REQUEST_URL", "SERVER_NAME", "SERVER_PORT", "SCRIPT_NAME")


class SamePythonKernelSpec(KernelSpecManager):
    """Offers one kernel: the Python that runs the server, whatever else is installed here."""

    def find_kernel_specs(self) -> dict[str, str]:
        return {NATIVE_KERNEL_NAME: ""}

    def get_kernel_spec(self, kernel_name: str) -> KernelSpec:
        if kernel_name != NATIVE_KERNEL_NAME:
            raise NoSuchKernel(kernel_name)
        return KernelSpec(
            argv=[
                sys.executable,
                "-m",
                "ipykernel_launcher",
                "-f",
                "{connection_file}",
                # No file of what was run: visitors run nothing, and the disk stays clean.
                "--HistoryManager.enabled=False",
                "--IPKernelApp.log_level=ERROR",
            ],
            display_name="Python",
            language="python",
            metadata={"debugger": False},
        )

    def get_all_specs(self) -> dict[str, dict]:
        spec = self.get_kernel_spec(NATIVE_KERNEL_NAME)
        return {NATIVE_KERNEL_NAME: {"resource_dir": "", "spec": spec.to_dict()}}


class VisitorKernelManager(AsyncMappingKernelManager):
    """Starts a kernel for one visitor and tells it nothing of another visitor's request."""

    async def start_kernel(self, *, env: dict[str, str], **kwargs) -> str:
        private = {name: value for name, value in env.items() if name not in REQUEST_VARIABLES}
        # Where a kernel of the pool asks for its visitor's query string.
        private["VOILA_APP_IP"] = self.parent.loopback_address
        # Our template brings BokehJS (read in explorer/pages/chart_script.py).
        private["GEARING_EXPLORER_SERVER"] = "yes"
        # A page has one viewer: a slider's move need not be told back to where it came from.
        private["JUPYTER_WIDGETS_ECHO"] = "0"
        return await super().start_kernel(env=private, **kwargs)
