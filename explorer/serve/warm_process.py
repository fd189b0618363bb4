"""The process that visitors' kernels are forked from: everything loaded, each page made once.

A kernel that starts from nothing spends seconds on imports and has a copy of all of it in memory.
A fork has it at once and shares the memory with its siblings, except what it changes.

Run by `explorer.serve.forked_kernel` as ``python -m explorer.serve.warm_process LINE NOTEBOOK…``,
where LINE is the number of an open socket. Each message on it asks for one kernel; the socket
that comes with the message stays open for as long as that kernel lives. Nothing of a visitor's
is kept here: what a message says is read in the fork only.
"""

import asyncio
import atexit
import ctypes
import gc
import json
import os
import select
import signal
import socket
import sys
import threading
import time
import traceback
from contextlib import suppress
from pathlib import Path
from tempfile import TemporaryDirectory
from typing import Any

from ipywidgets import Widget, register_comm_target
from tornado.ioloop import IOLoop
from zmq.utils.garbage import gc as zero_copy

from explorer.app.visit import AHEAD
from explorer.panels.widgets import live_widgets
from explorer.serve.adapters.ipykernel import OWN_KERNELS
from explorer.serve.adapters.names import misfits
from explorer.serve.forked_kernel import REHEARSED
from explorer.serve.visitor_kernel import VisitorKernelApp, run_kernel

LONGEST_MESSAGE = 1 << 20  # the environment, with a query string of at most 64 KiB in it [byte]
REST_SECONDS = 2.0
"""Between two rehearsals: most of the time is the first visitors', who share the processors [s]."""
PR_SET_PDEATHSIG = 1  # linux/prctl.h: a signal for when the parent has died


def cells(notebook: Path) -> list[str]:
    """Sources of a notebook's code cells."""
    return [
        "".join(cell["source"])
        for cell in json.loads(notebook.read_text("utf-8"))["cells"]
        if cell["cell_type"] == "code"
    ]


def clear_instances(app: VisitorKernelApp) -> None:
    """Make way for another kernel: there can be one at a time."""
    for singleton in (app, app.kernel, app.shell):
        singleton.clear_instance()


def rehearse(notebook: Path) -> list[Any]:
    """Be a kernel once and make the page, so that every module and cache is there.

    A page that `explorer.app.visit` opens is put away for the forks. Returns what else was made:
    it is kept, closed, because some widgets complain when they are collected after having been
    closed.
    """
    with TemporaryDirectory() as folder:
        app = VisitorKernelApp.instance()
        app.prepare()
        asyncio.set_event_loop(asyncio.new_event_loop())
        app.connect(str(Path(folder, "rehearsal.json")))
        register_comm_target()  # loaded inside a kernel, the widgets would do so themselves
        for source in cells(notebook):
            # A page that fails here is merely slower to start; its visitors are told why.
            app.shell.run_cell(source, store_history=False)
        made = [app, *(live_widgets() or {}).values()]
        Widget.close_all()
        app.close()
        atexit.unregister(app.close)
        zero_copy.stop()
        # Two forks of one event loop would wake each other.
        IOLoop.current().close(all_fds=True)
    clear_instances(app)
    return made


def fill_gaps() -> list[list[bytes]]:
    """Take up the room that the rehearsals left free between what they made.

    A fork would put its new objects there, and so get its own copy of many a page of memory for
    the sake of a few bytes on each: 9 of 48 MB of a visitor's were measured in the gaps between
    Python's small objects, and another 7 in the C library's small ones, where messages are put
    together. Returns what takes up Python's; the C library's is never given back.
    """
    head = sys.getsizeof(b"")
    taken = [[bytes(size - head) for _ in range(2**19 // size)] for size in range(48, 513, 16)]
    malloc = ctypes.CDLL(None).malloc
    malloc.argtypes, malloc.restype = [ctypes.c_size_t], ctypes.c_void_p
    # The largest first: the small ones would break up the large gaps.
    for size in (*range(2**14, 520, -64), *range(520, 16, -16)):
        for _ in range(2**17 // size):
            malloc(size)
    return taken


def prepared_kernel() -> VisitorKernelApp:
    """A kernel that knows no visitor yet, with nothing left for the collector to look at."""
    app = VisitorKernelApp.instance()
    app.prepare()
    gc.collect()
    # What is here now is looked at no more by the collector, which would write into every page of
    # memory that the kernels share. Nor does it wait any longer until new objects are a quarter of
    # those that it has looked at, as it counted them before: with a quarter of a million to go, a
    # kernel kept what it had done with for good.
    gc.freeze()
    gc.collect()
    return app


def become_kernel(app: VisitorKernelApp, lifeline: socket.socket, wish: dict[str, Any]) -> None:
    """In the fork: forget the parent and be the kernel that was asked for."""
    os.setsid()
    ctypes.CDLL(None).prctl(PR_SET_PDEATHSIG, signal.SIGKILL)
    signal.signal(signal.SIGCHLD, signal.SIG_DFL)
    os.environ.clear()
    os.environ.update(wish["env"])
    os.chdir(wish["cwd"])
    # Python gives its own generator a new seed in a fork; NumPy's old one would give every
    # visitor the same numbers.
    if "numpy.random" in sys.modules:
        sys.modules["numpy.random"].seed()
    asyncio.set_event_loop(asyncio.new_event_loop())
    gc.enable()
    lifeline.send(str(os.getpid()).encode())

    run_kernel(app, wish["connection_file"])


def fork_kernel(requests: socket.socket, app: VisitorKernelApp) -> bool:
    """Wait for a message and fork a kernel for it; False once the server has closed its end."""
    try:
        message, handles, _, _ = socket.recv_fds(requests, LONGEST_MESSAGE, 1)
    except ConnectionResetError:  # it ended before it had read that the pages are rehearsed
        return False
    if not message:
        return False
    if threading.active_count() > 1:
        names = ", ".join(thread.name for thread in threading.enumerate())
        raise RuntimeError(f"a thread does not survive a fork; these run: {names}")
    with socket.socket(fileno=handles[0]) as lifeline:
        if os.fork() == 0:
            code = 1
            try:
                requests.close()
                become_kernel(app, lifeline, json.loads(message))
                code = 0
            except BaseException:
                traceback.print_exc()
            finally:
                # Not by way of Python's own end, which would write all over the shared memory.
                os._exit(code)
    return True


def main(requests: socket.socket, notebooks: list[Path]) -> None:
    """Rehearse the pages, and fork a kernel whenever one is asked for."""
    if unfit := misfits(*OWN_KERNELS):
        sys.exit("\n".join(unfit))
    os.environ[AHEAD] = "yes"
    gc.disable()
    signal.signal(signal.SIGCHLD, signal.SIG_IGN)  # the system buries ended kernels
    kept: list[Any] = []
    for notebook in notebooks:
        kept += rehearse(notebook)
        if notebook is notebooks[-1]:
            break
        app = prepared_kernel()
        # The first visitor need not wait until the last page has been rehearsed.
        rested = time.monotonic() + REST_SECONDS
        while select.select([requests], [], [], max(0.0, rested - time.monotonic()))[0]:
            if not fork_kernel(requests, app):
                return
        clear_instances(app)
    kept += fill_gaps()
    app = prepared_kernel()
    with suppress(BrokenPipeError):  # the server has just ended
        requests.send(REHEARSED)
    while fork_kernel(requests, app):
        pass


if __name__ == "__main__":
    with socket.socket(fileno=int(sys.argv[1])) as requests:
        main(requests, [Path(name) for name in sys.argv[2:]])
