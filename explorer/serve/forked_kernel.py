"""Starts visitors' kernels as forks of a warm process, by jupyter_client's own extension point."""

import asyncio
import json
import logging
import os
import signal
import socket
import subprocess
import sys
from collections.abc import Sequence
from contextlib import suppress
from pathlib import Path
from typing import Any

from jupyter_client.connect import KernelConnectionInfo
from jupyter_client.provisioning import LocalProvisioner

log = logging.getLogger("explorer")

START_SECONDS = 60.0
"""Longest wait for the warm process to have loaded everything [s]."""
REHEARSED = b"rehearsed"
"""What the warm process says once it has made every page."""


def can_fork() -> bool:
    """Whether kernels can be forked here; elsewhere each is started from nothing.

    Only on Linux: macOS has fork, but its system libraries do not bear it, and has no way to end
    a process with its parent.
    """
    return sys.platform == "linux" and hasattr(os, "fork") and own_kernels_fit()


_unfit = False


def own_kernels_fit() -> bool:
    """Whether our own kernels run with the libraries here, as far as it is known yet."""
    return not _unfit


class WarmProcess:
    """The server's end of `explorer.serve.warm_process`.

    It makes the pages of these notebooks once, with these variables in its environment besides.
    """

    def __init__(self, notebooks: Sequence[Path], variables: dict[str, str]) -> None:
        self._notebooks, self._variables = notebooks, variables
        self._process: subprocess.Popen | None = None
        self._socket: socket.socket | None = None
        self._ended = self._rehearsed = self._has_forked = False

    @property
    def pid(self) -> int | None:
        """Its process id; None if it does not run."""
        return None if self._process is None else self._process.pid

    def start(self) -> None:
        """Start it, or start another if it has died."""
        self.stop()
        self._rehearsed = False
        # Messages keep their limits: one message is one kernel.
        self._socket, far_end = socket.socketpair(socket.AF_UNIX, socket.SOCK_SEQPACKET)
        with far_end:
            warm = [sys.executable, "-P", "-m", "explorer.serve.warm_process"]
            self._process = subprocess.Popen(
                [*warm, str(far_end.fileno()), *map(str, self._notebooks)],
                env={**os.environ, **self._variables},
                stdin=subprocess.DEVNULL,
                pass_fds=[far_end.fileno()],
                # Ctrl+C in a terminal is for the server, which then ends this.
                start_new_session=True,
            )

    def has_rehearsed(self) -> bool:
        """Whether it has made every page, or will not."""
        with suppress(OSError):  # not yet
            said = self._socket.recv(len(REHEARSED), socket.MSG_DONTWAIT)
            self._rehearsed = said in (REHEARSED, b"")
        return self._rehearsed or self._ended

    def revive(self) -> bool:
        """Whether it runs; if it has died, another is started."""
        if self._process is not None and self._process.poll() is None:
            return True
        self._look_why_it_ended()
        if not self._ended and can_fork():
            self.start()
        return False

    def _look_why_it_ended(self) -> None:
        """If it ended by itself before its first kernel, it does not fit: use stock ones."""
        global _unfit
        code = None if self._process is None else self._process.poll()
        if code and code > 0 and not self._has_forked and not _unfit:
            _unfit = True
            log.error("Our own kernels do not run here (said above): stock ones are used.")

    def stop(self) -> None:
        """End it; kernels forked from it end with it."""
        if self._process is not None:
            self._socket.close()
            self._process.kill()
            self._process.wait()
            self._process = None

    def end(self) -> None:
        """End it for good, as the server does: what still waits for a kernel is told so."""
        self._ended = True
        self.stop()

    async def fork(self, wish: dict[str, Any]) -> tuple[int, socket.socket]:
        """Process id of a new kernel, and a socket that ends when the kernel does."""
        if self._ended:
            raise RuntimeError("The server is stopping.")
        self.revive()
        lifeline, far_end = socket.socketpair()
        lifeline.setblocking(False)
        try:
            with far_end:
                socket.send_fds(self._socket, [json.dumps(wish).encode()], [far_end.fileno()])
            answer = await asyncio.wait_for(
                asyncio.get_running_loop().sock_recv(lifeline, 32), START_SECONDS
            )
            if not answer:
                await asyncio.get_running_loop().run_in_executor(None, self._process.wait)
                self._look_why_it_ended()
                raise RuntimeError("The process that kernels are forked from has ended.")
            self._has_forked = True
        except BaseException:
            lifeline.close()
            raise
        return int(answer), lifeline


class ForkedProcess:
    """A kernel that is a child of the warm process; to be used like `subprocess.Popen`."""

    stdin = stdout = stderr = None

    def __init__(self, pid: int, lifeline: socket.socket) -> None:
        self.pid, self._lifeline, self._ended = pid, lifeline, False

    def poll(self) -> int | None:
        """None while it lives; how it ended is not known here, so 0 then."""
        if not self._ended:
            with suppress(BlockingIOError):
                self._ended = self._lifeline.recv(1) == b""
            if self._ended:
                self._lifeline.close()
        return 0 if self._ended else None

    def wait(self) -> int:
        """Only asked for once it has ended (`LocalProvisioner.wait`)."""
        return 0

    def send_signal(self, signum: int) -> None:
        if self.poll() is None:
            with suppress(ProcessLookupError):
                os.kill(self.pid, signum)

    def kill(self) -> None:
        self.send_signal(signal.SIGKILL)

    def terminate(self) -> None:
        self.send_signal(signal.SIGTERM)


class ForkedKernelProvisioner(LocalProvisioner):
    """Takes a kernel from the `WarmProcess` of the kernel manager that owns it.

    The kernel's connection file, ports and key are made by jupyter_client, as for any other.
    """

    async def launch_kernel(self, cmd: list[str], **kwargs: Any) -> KernelConnectionInfo:
        warm_process: WarmProcess = self.parent.parent.warm_process
        wish = {
            "connection_file": self.parent.connection_file,
            "env": kwargs["env"],
            "cwd": str(kwargs.get("cwd") or Path.cwd()),
        }
        pid, lifeline = await warm_process.fork(wish)
        self.process = ForkedProcess(pid, lifeline)
        # Its own session, so its own group.
        self.pid = self.pgid = pid
        self.cwd = wish["cwd"]
        return self.connection_info
