"""What the processes of a running server take: memory, processor time, open files."""

import statistics
from dataclasses import dataclass

import psutil

from tests.conftest import RunningServer


@dataclass(frozen=True)
class Memory:
    """Memory at one moment [MB].

    Attributes
    ----------
    server, warm : float
        Own memory (USS) of the server and of the process that kernels are forked from.
    kernel_uss, kernel_pss : float
        Median over the visitors' kernels of own memory, and of own memory with a share of what is
        used in common (PSS); 0 without a kernel.
    """

    server: float
    warm: float
    kernel_uss: float
    kernel_pss: float


@dataclass(frozen=True)
class Work:
    """Processor time since the start [s]."""

    server: float
    warm: float
    kernels: float
    visitors: float


class ServerProcesses:
    """Server, warm process and kernels; where kernels can't be forked there is no warm process."""

    def __init__(self, running: RunningServer) -> None:
        self._server = psutil.Process(running.process.pid)
        self._visitors = psutil.Process()
        self._worked: dict[int, float] = {}  # by kernels, those that have ended among them

    def kernels(self) -> list[psutil.Process]:
        """All kernels, those of the pool too: whatever was started by the warm process."""
        return [kernel for warm in self._server.children() for kernel in warm.children()]

    def memory(self, visitors: int) -> Memory:
        """What is taken now, with so many visitors; takes a while itself.

        A kernel of the pool has worked less than any visitor's, so the idlest are left out.
        """
        kernels = sorted(self.kernels(), key=_worked, reverse=True)[:visitors]
        taken = [taken for taken in map(_taken, kernels) if taken is not None]
        uss, pss = zip(*taken, strict=True) if taken else ((0.0,), (0.0,))
        return Memory(
            server=_taken(self._server)[0],
            warm=sum(_taken(warm)[0] for warm in self._server.children()),
            kernel_uss=statistics.median(uss),
            kernel_pss=statistics.median(pss),
        )

    def work(self) -> Work:
        """Processor time of each part, and of this process, which plays the visitors.

        To be called often: what a kernel does between the last call and its end is missed.
        """
        for kernel in self.kernels():
            self._worked[kernel.pid] = _worked(kernel) or self._worked.get(kernel.pid, 0.0)
        return Work(
            server=_worked(self._server),
            warm=sum(map(_worked, self._server.children())),
            kernels=sum(self._worked.values()),
            visitors=_worked(self._visitors),
        )

    def files(self) -> tuple[int, int]:
        """Open files of the server and of the warm process."""
        warm = sum(process.num_fds() for process in self._server.children())
        return self._server.num_fds(), warm

    def zombies(self) -> int:
        """Processes that have ended and that nobody has buried."""
        below = self._server.children(recursive=True)
        return sum(_is_zombie(process) for process in below)


def _taken(process: psutil.Process) -> tuple[float, float] | None:
    """Own memory, and with a share of the common memory [MB]; None if it has just ended."""
    try:
        full = process.memory_full_info()
    except psutil.NoSuchProcess:
        return None
    return full.uss / 1e6, full.pss / 1e6


def _worked(process: psutil.Process) -> float:
    """Processor time [s]; 0 if it has just ended."""
    try:
        times = process.cpu_times()
    except psutil.NoSuchProcess:
        return 0.0
    return times.user + times.system


def _is_zombie(process: psutil.Process) -> bool:
    try:
        return process.status() == psutil.STATUS_ZOMBIE
    except psutil.NoSuchProcess:
        return False
