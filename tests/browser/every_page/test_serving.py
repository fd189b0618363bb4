"""The served page in a real browser: loading, names, read-only, faults, and the visitor's link."""

import os
import signal
import sys
from urllib.parse import quote

import pytest
from playwright.sync_api import expect

from tests.browser.gone_kernel import wait_until_gone

# A page with one of every kind of control, and a chart that is changed by a slider.
CONTROLS = """
import os
import ipywidgets as w
from bokeh.plotting import figure
from jupyter_bokeh import BokehModel

front = w.IntSlider(value=13, min=9, max=17, description="Front sprocket")
rear = w.IntSlider(value=48, min=30, max=60, description="Rear sprocket", readout=False)
rear_box = w.BoundedIntText(value=48, min=30, max=60)
w.link((rear, "value"), (rear_box, "value"))
pair = w.Box([rear, rear_box])
pair.add_class("ge-control")
said = w.HTML()
front.observe(lambda _: setattr(said, "value", f"{front.value} teeth"), "value")
more = w.VBox()
button = w.Button(description="More")
button.on_click(lambda _: setattr(more, "children", [w.FloatSlider(description="Slope")]))
chart = figure(height=300, sizing_mode="stretch_width")
chart.toolbar.logo = None
chart.line([0, 1, 2], [0, 1, 4])
page = w.VBox([
    w.HTML(f"<h1>Controls</h1><p id=process>{os.getpid()}</p>"),
    front,
    pair,
    w.Dropdown(options=["4.10-18", "100/90-19"], description="Tyre"),
    w.FloatText(value=78, description="Rider with kit"),
    w.RadioButtons(options=["metric", "imperial"], description="Units"),
    w.ToggleButtons(options=["usual", "large"], description="Letters"),
    w.Checkbox(description="Show the fitted gearing"),
    button, said, more, BokehModel(chart),
])
page.add_class("ge-page")
page
"""

ECHO = """
import html, os, sys
import ipywidgets as w
import explorer
from explorer.app.address import query_string

query = query_string()
told = [name for name, text in os.environ.items() if "first=" in text or "second=" in text]
w.HTML(
    f"<p id=query>{html.escape(query)}</p><p id=told>{' '.join(told)}</p>"
    f"<p id=python>{sys.executable}</p>"
)
"""

BROKEN = "import ipywidgets as w\nsecret = 'a secret word'\nraise RuntimeError(secret)"

pytestmark = pytest.mark.browser


@pytest.fixture(scope="module")
def samples(serve_pages):
    """The test pages, each with a kernel started when it is asked for."""
    sources = {"controls": CONTROLS, "echo": ECHO, "broken": BROKEN}
    return serve_pages(sources, "--pool", "0")


@pytest.fixture(scope="module")
def ready_samples(serve_pages):
    """The page that tells its link, with a kernel standing ready, as the command does."""
    return serve_pages({"echo": ECHO}, "--pool", "1")


@pytest.fixture(scope="module")
def controls(samples, open_shared):
    """The page with the controls, left by each test so that they can be used."""
    return open_shared("controls", "rear=48", on=samples)


def move(page):
    """The slider, and what the kernel says to it."""
    slider = page.get_by_role("slider", name="Front sprocket")
    teeth = int(float(slider.get_attribute("aria-valuenow")))
    slider.press("ArrowRight")
    page.get_by_text(f"{teeth + 1} teeth").wait_for()


def test_front_page_leads_to_a_live_page_that_fits_its_window_and_its_sliders_a_thumb(
    server, open_url
):
    page = open_url(server.url, width=390)
    page.get_by_role("link", name="Try a sprocket").click()
    page.wait_for_selector("html[data-ready]", state="attached")
    assert page.get_by_role("slider").count() >= 1
    assert page.url == f"{server.url}gearing"
    # 44 px: W3C, WCAG 2.2, success criterion 2.5.5 Target Size (Enhanced).
    for width in (390, 1280):
        page.set_viewport_size({"width": width, "height": 900})
        page.wait_for_function(f"document.documentElement.scrollWidth <= {width}")
        for part in ("input", "[data-step]"):
            part = page.locator(f"#bench [data-slider=front] {part}").first
            assert part.bounding_box()["height"] >= 44


# The widget library waits four seconds for all states at once, then asks for each by itself.
_NO_PATIENCE = """
const later = window.setTimeout;
window.setTimeout = (work, wait, ...rest) => later(work, wait === 4000 ? 0 : wait, ...rest);
"""


@pytest.mark.long
def test_a_page_whose_kernel_answers_late_shows_its_widgets_all_the_same(server, open_url):
    page = open_url(server.url)
    page.add_init_script(_NO_PATIENCE)
    for _ in range(3):
        page.goto(f"{server.url}gearing", wait_until="commit")
        page.wait_for_selector("html[data-ready]", state="attached")
        assert page.get_by_role("slider", name="Rear sprocket", exact=True).is_visible()


def test_page_without_scripts_says_that_it_needs_them(samples, chromium):
    context = chromium.new_context(java_script_enabled=False)
    page = context.new_page()
    page.goto(f"{samples.url}controls", wait_until="commit")
    # Found by its place: Playwright looks for no text inside noscript.
    page.locator("noscript p").wait_for()
    context.close()


def test_controls_have_exactly_their_names(controls):
    page = controls
    for role, name in [
        ("slider", "Front sprocket"),
        ("textbox", "Front sprocket"),
        ("slider", "Rear sprocket"),
        ("spinbutton", "Rear sprocket"),
        ("combobox", "Tyre"),
        ("spinbutton", "Rider with kit"),
        ("group", "Units"),
        ("radio", "imperial"),
        ("checkbox", "Show the fitted gearing"),
    ]:
        assert page.get_by_role(role, name=name, exact=True).count() == 1, (role, name)
    # Which one is picked is told too, and the arrow keys lead from one to the other.
    usual, large = (page.get_by_role("button", name=name) for name in ("usual", "large"))
    expect(usual).to_have_attribute("aria-pressed", "true")
    large.click()
    expect(large).to_have_attribute("aria-pressed", "true")
    expect(usual).to_have_attribute("aria-pressed", "false")
    page.get_by_role("radio", name="metric").press("ArrowDown")
    expect(page.get_by_role("radio", name="imperial")).to_be_checked()
    expect(page.get_by_role("radio", name="metric")).not_to_be_checked()
    # A control that comes later is named too.
    page.get_by_role("button", name="More").click()
    page.get_by_role("slider", name="Slope", exact=True).wait_for()


@pytest.mark.long
def test_two_visitors_at_once_get_each_their_own_link(samples, ready_samples, open_url):
    visits = [
        (open_url(f"{running.url}echo?{query}"), query)
        for running in (samples, ready_samples)
        for query in ("first=1", "second=2")
    ]
    for page, query in visits:
        page.wait_for_selector("html[data-ready]", state="attached")
        assert page.locator("#query").inner_text() == query


def test_a_kernel_knows_its_own_link_and_no_other(ready_samples, open_page):
    # The first visit may come before a kernel stands ready, and then starts its own.
    open_page("echo", query="first=1", on=ready_samples)
    # One after the other: each is served by a kernel that the visit before caused to be started.
    for query in ("second=" + quote("<b>'\"&"), ""):
        page = open_page("echo", query=query, on=ready_samples)
        assert page.locator("#query").inner_text() == query
        assert page.locator("#told").inner_text() == ""
        assert page.locator("#python").inner_text() == sys.executable


def test_a_page_that_fails_says_so_without_a_traceback(samples, open_page):
    page = open_page("broken", on=samples)
    assert "This page could not be prepared." in page.get_by_role("alert").inner_text()
    for word in ("secret", "RuntimeError", "Traceback", "raise"):
        assert word not in page.content()


# Opens the page's own line to its kernel, sends what a visitor must not send, then a question that
# is allowed; its answer shows that everything before it has been dealt with.
_SEND = """
async ({ code, file }) => {
  const { baseUrl, kernelId } = document.body.dataset;
  const scheme = location.protocol === "https:" ? "wss" : "ws";
  const line = new WebSocket(
    `${scheme}://${location.host}${baseUrl}api/kernels/${kernelId}/channels`
  );
  const answers = [];
  const message = (channel, kind, content) =>
    line.send(JSON.stringify({
      channel, content, metadata: {}, parent_header: {}, buffers: [],
      header: {
        msg_id: crypto.randomUUID(), msg_type: kind, username: "", session: "visitor",
        version: "5.3", date: new Date().toISOString(),
      },
    }));
  await new Promise((resolve) => { line.onopen = resolve; });
  const done = new Promise((resolve) => {
    line.onmessage = (event) => {
      const answer = JSON.parse(event.data);
      answers.push(answer.msg_type);
      if (answer.msg_type === "kernel_info_reply") resolve();
    };
  });
  const run = { code, silent: false, store_history: false, user_expressions: {},
                allow_stdin: false, stop_on_error: true };
  message("shell", "execute_request", run);
  message("control", "execute_request", run);
  message("shell", "inspect_request", { code: "page", cursor_pos: 4, detail_level: 1 });
  message("shell", "complete_request", { code: "page.", cursor_pos: 5 });
  message("shell", "history_request",
          { output: false, raw: true, hist_access_type: "tail", n: 10 });
  message("control", "debug_request", { seq: 1, type: "request", command: "initialize",
                                        arguments: {} });
  message("control", "interrupt_request", {});
  message("stdin", "input_reply", { value: code });
  message("shell", "kernel_info_request", {});
  await done;
  line.close();
  return answers;
}
"""


def test_a_visitor_can_run_no_code(controls, tmp_path):
    page = controls
    trace = tmp_path / "trace"
    code = f"open({str(trace)!r}, 'w').close()"
    answers = page.evaluate(_SEND, {"code": code})
    assert "kernel_info_reply" in answers
    refused = {"execute_reply", "execute_input", "execute_result", "inspect_reply"}
    refused |= {"complete_reply", "history_reply", "debug_reply", "interrupt_reply", "error"}
    assert refused.isdisjoint(answers)
    assert not trace.exists()
    # The page goes on as if nothing had happened.
    move(page)


def test_closing_a_page_lets_its_kernel_go(samples, open_page):
    page = open_page("echo", on=samples)
    kernel = page.evaluate("document.body.dataset.kernelId")
    address = f"{samples.url}api/kernels/{kernel}"
    context = page.context
    assert context.request.get(address).status == 200
    with page.expect_event("close"):
        page.close(run_before_unload=True)
    # Asked by a page of the server's, until the answer is that there is no such kernel.
    watcher = context.new_page()
    watcher.goto(samples.url)
    wait_until_gone(watcher, address)


# Each word of progress may stand for a tenth of a second only: keep them as they come.
_KEEP_PROGRESS = """
window.progress = [];
new MutationObserver(() => {
  const text = document.getElementById("ge-status-text");
  if (text && window.progress.at(-1) !== text.textContent) window.progress.push(text.textContent);
}).observe(document, { childList: true, subtree: true, characterData: true });
"""


@pytest.mark.long
def test_a_page_whose_kernel_has_died_says_so_and_tells_in_words_that_it_loads_anew(controls):
    page = controls
    assert page.get_by_role("alert").count() == 0
    os.kill(int(page.locator("#process").inner_text()), signal.SIGKILL)
    notice = page.get_by_role("alert")
    notice.wait_for()
    assert "This page went to sleep: reload it to go on." in notice.inner_text()
    page.add_init_script(_KEEP_PROGRESS)
    page.get_by_role("button", name="Reload").click()
    page.wait_for_function("window.progress && 'ready' in document.documentElement.dataset")
    page.watch.errors.clear()  # the browser may have logged that the line was gone: so it was
    assert page.url.endswith("controls?rear=48")
    first, *later = page.evaluate("window.progress")
    assert first == "Starting a calculation kernel…"
    assert {"Loading the bikes…", "Drawing the charts…"} & set(later)
    assert page.get_by_role("status").count() == 0
    assert page.get_by_role("heading", name="Controls").is_visible()
    assert page.locator("canvas").first.is_visible()
    move(page)
