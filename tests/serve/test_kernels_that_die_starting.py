"""A kernel that dies before its page stands: a sentence, and the next visitor has a page."""

import os
import signal
import time

import psutil
import pytest

from explorer.serve.adapters.voila import put_ready_first
from explorer.serve.forked_kernel import can_fork
from explorer.serve.settings import transport
from tests.serve.visitor import Visit, ask

PAGE = "import ipywidgets\nipywidgets.HTML('<p>A page of a test.</p>')"
# As a kernel does that the system ends, or that finds its ports taken.
DIES_MAKING_THE_PAGE = "import signal; os.kill(os.getpid(), signal.SIGKILL)"
FAULT = "This page could not be prepared."

forked_only = pytest.mark.skipif(not can_fork(), reason="kernels are forked on Linux only")


def kernels_of(server) -> list[psutil.Process]:
    """Its visitors' kernels: children of the process that they are forked from."""
    started = psutil.Process(server.process.pid).children()
    return [kernel for process in started for kernel in process.children()]


def until(holds) -> None:
    end = time.monotonic() + 60
    while not holds():
        assert time.monotonic() < end
        time.sleep(0.05)


def dying(how: str) -> str:
    """A page that ends its kernel for a visitor; the process that makes pages ahead must live."""
    return f"import os\nif os.environ.get('GEARING_EXPLORER_AHEAD') != 'yes':\n    {how}\n{PAGE}"


@pytest.fixture(scope="module")
def single(serve_pages):
    """A server without a pool."""
    return serve_pages({"page": PAGE, "dying": dying(DIES_MAKING_THE_PAGE)}, "--pool", "0")


@pytest.fixture(scope="module")
def pooled(serve_pages):
    """A server with a kernel that stands ready."""
    return serve_pages({"page": PAGE}, "--pool", "1")


def is_said(answer) -> bool:
    whole = answer.text.rstrip().endswith("</html>")
    return answer.status == 200 and whole and FAULT in answer.text and "ge-broken" in answer.text


@forked_only
def test_a_kernel_that_dies_while_it_makes_the_page_is_said_on_it(single, serve_pages):
    assert is_said(ask(single.url, "/dying"))
    # The same where it stands in the pool.
    server = serve_pages({"dying": dying(DIES_MAKING_THE_PAGE)}, "--pool", "1")
    assert is_said(ask(server.url, "/dying"))


@pytest.mark.long
@forked_only
def test_a_kernel_that_dies_before_it_answers_is_said_on_the_page(single):
    warm = psutil.Process(single.process.pid).children()[0]
    before = warm.rlimit(psutil.RLIMIT_NOFILE)
    until(lambda: Visit.begin(single.url, "/page"))
    # Forks inherit the limit: none can open what a kernel needs.
    warm.rlimit(psutil.RLIMIT_NOFILE, (12, before[1]))
    assert is_said(ask(single.url, "/page"))
    assert "127.0.0.1" not in single.log.read_text()
    warm.rlimit(psutil.RLIMIT_NOFILE, before)


@pytest.mark.long
@forked_only
def test_the_pool_is_full_again_by_itself_and_visitors_have_different_kernels(pooled):
    until(lambda: len(kernels_of(pooled)) == 1)
    visits = []
    for count in (1, 2, 3):
        visits.append(Visit.begin(pooled.url, "/page"))
        assert len({visit.kernel_id for visit in visits}) == count
    until(lambda: len(kernels_of(pooled)) == 4)  # three visitors, one in the pool
    for visit in visits:
        visit.end()


@forked_only
def test_a_kernel_of_the_pool_that_died_while_idle_goes_to_nobody(pooled):
    until(lambda: len(kernels_of(pooled)) == 1)
    killed = kernels_of(pooled)
    for kernel in killed:
        kernel.send_signal(signal.SIGKILL)
    _, left = psutil.wait_procs(killed, timeout=60)
    assert not left
    visit = Visit.begin(pooled.url, "/page")
    assert "data-view" in visit.html
    until(lambda: len(kernels_of(pooled)) == 2)  # the visitor's, and another in the pool
    visit.end()


@pytest.mark.long
@forked_only
def test_after_the_warm_process_died_while_idle_a_visitor_has_a_page_or_a_sentence(pooled):
    until(lambda: len(kernels_of(pooled)) == 1)
    os.kill(psutil.Process(pooled.process.pid).children()[0].pid, signal.SIGKILL)
    answer = ask(pooled.url, "/page")
    # The pool's kernel may end in the midst of its page, or there is none to be had at all.
    refused = answer.status == 500 and "not be" in answer.text
    assert refused or "data-view" in answer.text or FAULT in answer.text
    until(lambda: "data-view" in ask(pooled.url, "/page").text)


class _Task:
    """A kernel of the pool as a finished or unfinished task."""

    def __init__(self, kernel_id: str, done: bool, fault: Exception | None = None) -> None:
        self.kernel_id, self._done, self._fault = kernel_id, done, fault

    def done(self) -> bool:
        return self._done

    def cancelled(self) -> bool:
        return False

    def exception(self) -> Exception | None:
        return self._fault

    def result(self) -> dict[str, str]:
        return {"kernel_id": self.kernel_id}


class _Manager:
    def __init__(self, *tasks: _Task) -> None:
        self._pools = {"page.ipynb": list(tasks)}

    def lives(self, kernel_id: str) -> bool:
        return kernel_id != "dead"


def test_only_a_finished_living_kernel_of_the_pool_is_given_out():
    starting, ready = _Task("starting", False), _Task("ready", True)
    manager = _Manager(_Task("dead", True), _Task("x", True, OSError()), starting, ready)
    assert put_ready_first(manager, "page.ipynb") == "ready"
    assert manager._pools["page.ipynb"] == [ready, starting]
    assert put_ready_first(_Manager(starting), "page.ipynb") is None
    assert put_ready_first(_Manager(), "another.ipynb") is None


def test_sockets_stand_in_a_folder_where_their_names_are_short_enough():
    assert transport("/tmp") == ("ipc" if os.name == "posix" else "tcp")
    assert transport("/" + "x" * 60) == "tcp"
