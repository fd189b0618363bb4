"""The kernel of one visitor: stock ipykernel without the parts that no visitor can use.

Run as ``python -m explorer.serve.visitor_kernel CONNECTION_FILE`` it is an ordinary kernel.
`explorer.serve.warm_process` runs the same one in a fork of a process that has loaded everything;
so all that needs no connection is done first, in `VisitorKernelApp.prepare`.
"""

import asyncio
import ctypes
import logging
import os
import sys
import uuid
from contextlib import suppress
from pathlib import Path
from typing import Any, NoReturn, TextIO

from ipykernel.ipkernel import IPythonKernel
from ipykernel.kernelapp import IPKernelApp
from ipykernel.zmqshell import ZMQInteractiveShell
from traitlets import default
from zmq.eventloop.zmqstream import ZMQStream

from explorer.app import FAULT_TYPE, fault_number

log = logging.getLogger("explorer")

# No visitor can reach the debugger (the server lets no such message through), and loading it
# costs each kernel some 30 MB. None in this table means to Python that there is no such module.
sys.modules["debugpy"] = None  # type: ignore[assignment]

OUT_OF_MEMORY_ORDER = 500
"""How much sooner the system ends a kernel than the server when memory runs out [-], of 1000."""


LARGEST_GROWTH = 256 * 2**20
"""Memory that a kernel may take beyond what it began with [byte]; the most that reading a ride was
seen to take is half of it (tests/records/rides/test_ride_memory.py), and so it is for what a link
asks for (tests/net/page_said.py). Several that take so much at once are ended when memory is short
(explorer/serve/kernels.py)."""


TIDY_SECONDS = 2.0
"""After a message a kernel waits so long, its late answers given, before it tidies up [s]."""


def give_memory_back() -> None:
    """Give free room between what is kept back to the system: 3 of 40 MB after some answers."""
    with suppress(AttributeError, TypeError):  # another C library
        ctypes.CDLL(None).malloc_trim(0)


class VisitorShell(ZMQInteractiveShell):
    """Stock shell, except that no traceback leaves it for the browser.

    IPython would send it over the websocket to the page: for a page that could not be made, and for
    a callback that failed outside `explorer.app.faults.Faults.guard`. The server's template shows
    a sentence and the number; the log has the number beside the traceback.
    """

    def _showtraceback(
        self, etype: type[BaseException], evalue: BaseException, stb: list[str]
    ) -> None:
        number = fault_number()
        log.error("fault %s", number, exc_info=(etype, evalue, evalue.__traceback__))
        self.display_pub.publish({FAULT_TYPE: {"number": number}})


MOST_CHARACTERS = 200_000
"""About a hundred tracebacks [count]. A visitor can bring about one with each message, and put
megabytes of his own into it: without a limit he could fill the server's disk."""


class BoundedLog:
    """A text stream that takes so many characters, says once that it is full, and is silent then.

    All else is the stream's own.
    """

    def __init__(self, stream: TextIO) -> None:
        self._stream, self._left = stream, MOST_CHARACTERS

    def write(self, text: str) -> int:
        """Write what there is room for."""
        written = text[: self._left]
        if written:
            self._left -= len(written)
            self._stream.write(written)
            if not self._left:
                self._stream.write("\n(this kernel writes no more into the log)\n")
        return len(text)

    def __getattr__(self, name: str) -> Any:
        return getattr(self._stream, name)


def keep_from_the_visitor() -> None:
    """Let what is written to the standard error stream, logs too, go to the server's own.

    Stock ipykernel sends it to the browser, and nowhere else.
    """
    sys.stderr = BoundedLog(sys.__stderr__)


class VisitorKernel(IPythonKernel):
    """Stock kernel that ends at once, whatever it is at, and cannot be interrupted.

    Nobody waits for an answer of a kernel that is told to end. Stock is interrupted first, which it
    notes as an error, and then takes down its threads and sockets one by one: what is still at work
    there complains in the log, and libzmq has been seen to abort.
    """

    def pre_handler_hook(self) -> None:
        """Leave the signal for an interrupt ignored while a message is answered."""

    _tidying: asyncio.TimerHandle | None = None

    def post_handler_hook(self) -> None:
        """Give memory back, once nothing has been asked for a while."""
        if self._tidying:
            self._tidying.cancel()
        self._tidying = asyncio.get_running_loop().call_later(TIDY_SECONDS, give_memory_back)

    async def do_shutdown(self, restart: bool) -> NoReturn:
        os._exit(0)


class VisitorKernelApp(IPKernelApp):
    """Starts the kernel of one visitor: `prepare`, then `connect`, then ``start``."""

    # What a library writes past Python goes to the server's log, not to the visitor; catching it
    # takes two threads and two pipes.
    capture_fd_output = False

    @default("log_level")
    def _errors_only(self) -> str:
        return "ERROR"

    def parse_command_line(self, argv: list[str] | None = None) -> None:
        """There are no options, and looking for them writes over 6 MB of shared memory."""

    def prepare(self) -> None:
        """Make kernel and shell, which know no connection and no visitor yet."""
        # No file of what was run: visitors run nothing, and the disk stays clean.
        self.config.HistoryManager.enabled = False
        # What IPython's own `initialize` does before there is a kernel. Stock ipykernel connects
        # first; a connection does not survive a fork.
        super(IPKernelApp, self).initialize([])
        self.init_pdb()
        self.kernel = VisitorKernel.instance(
            parent=self,
            log=self.log,
            profile_dir=self.profile_dir,
            user_ns=self.user_ns,
            shell_class=VisitorShell,
        )
        self.init_path()
        self.init_shell()
        self.init_gui_pylab()
        self.init_extensions()
        self.init_code()

    def connect(self, connection_file: str) -> None:
        """Listen on the ports, and with the key, that the file names."""
        self.connection_file = connection_file
        # Stock ipykernel hints at how to connect by hand if nobody seems to have started it.
        self.parent_handle = os.getppid()
        self.init_connection_file()
        self.init_sockets()
        # Nor can a visitor start a second shell, which is all that this thread is for.
        self.shell_channel_thread.io_loop.close()
        self.shell_channel_thread = None
        self.init_heartbeat()
        self.write_connection_file()
        self.log_connection_info()
        self.init_io()
        keep_from_the_visitor()
        self.init_signal()
        self.init_kernel()

    def init_kernel(self) -> None:
        """Give the kernel its connection."""
        kernel = self.kernel
        self.control_thread.start()
        kernel.ident = str(uuid.uuid4())
        kernel.session = self.session
        kernel.control_thread = self.control_thread
        kernel.control_stream = ZMQStream(self.control_socket, self.control_thread.io_loop)
        kernel.shell_stream = ZMQStream(self.shell_socket)
        kernel.iopub_thread = self.iopub_thread
        kernel.iopub_socket = self.iopub_socket
        kernel.stdin_socket = self.stdin_socket
        kernel.record_ports({f"{name}_port": port for name, port in self._ports.items()})
        shell = kernel.shell
        shell.displayhook.session = shell.display_pub.session = self.session
        shell.displayhook.pub_socket = shell.display_pub.pub_socket = self.iopub_socket
        shell.displayhook.topic = kernel._topic("execute_result")
        self.displayhook.get_execution_count = lambda: kernel.execution_count


def end_before_the_server() -> None:
    """Have the system end this kernel rather than the server, should memory run out."""
    with suppress(OSError):  # not Linux, or not allowed here
        Path("/proc/self/oom_score_adj").write_text(str(OUT_OF_MEMORY_ORDER))


def limit_memory(growth: int = LARGEST_GROWTH) -> None:
    """Let this kernel grow no further [byte] than a page needs; what does not fit fails in it
    alone."""
    with suppress(OSError, ImportError):  # not Linux
        import resource

        pages = int(Path("/proc/self/statm").read_text().split()[5])  # data and stack: man 5 proc
        most = pages * resource.getpagesize() + growth
        resource.setrlimit(resource.RLIMIT_DATA, (most, most))


def run_kernel(app: VisitorKernelApp, connection_file: str) -> None:
    """Be a kernel until told to stop."""
    end_before_the_server()
    limit_memory()
    app.connect(connection_file)
    app.start()


if __name__ == "__main__":
    ordinary = VisitorKernelApp.instance()
    ordinary.prepare()
    run_kernel(ordinary, sys.argv[1])
