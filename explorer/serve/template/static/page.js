// What every page needs around its widgets: words while it loads, names for its controls, a plain
// notice when its kernel is gone. Loaded first, while the kernel still starts.
(() => {
  "use strict";

  // Voilà calls this to keep a slow connection open; there is nothing to tell.
  window.voila_heartbeat = () => {};

  // --- The kernel's id ------------------------------------------------------------------------
  // It comes in the middle of the page, when Voilà's scripts may have read their settings already;
  // when the page has loaded they look for a setting that they miss among the body's own.

  function passKernelId() {
    const data = document.getElementById("kernel-data");
    if (data) document.body.dataset.kernelId = JSON.parse(data.textContent).kernelId;
  }
  if (document.readyState === "loading") {
    document.addEventListener("DOMContentLoaded", passKernelId);
  } else {
    passKernelId();
  }

  // --- Words while it loads -----------------------------------------------------------------

  function tellStep() {
    const steps = document.querySelectorAll("[data-step]");
    const text = document.getElementById("ge-status-text");
    if (!steps.length || !text) return;
    const step = steps[steps.length - 1].dataset.step;
    if (text.textContent !== step) text.textContent = step;
  }

  // --- Names for the controls ---------------------------------------------------------------
  // ipywidgets writes a control's description beside it, but does not tie it to a slider's handle:
  // a screen reader would read "slider" and no more. In a .ge-control box, where a slider and its
  // number box share one label, the number box takes the slider's name.

  const CONTROLS = "[role=slider], input:not([type=radio]), select, textarea";

  // An empty description is written as a space without width.
  const wording = (label) => label.textContent.replaceAll("\u200b", "").trim();

  function name(control, text) {
    if (control.getAttribute("aria-label") !== text) control.setAttribute("aria-label", text);
  }

  // ipywidgets tells by looks alone which of some buttons is picked, and its radio buttons know
  // nothing of each other.
  const tellPressed = (button) =>
    button.setAttribute("aria-pressed", button.classList.contains("mod-active"));
  const pressed = new MutationObserver((records) => {
    for (const { target } of records) if (target.matches("button")) tellPressed(target);
  });
  let groups = 0;

  function tellPicked(box) {
    box.querySelectorAll("button").forEach(tellPressed);
    pressed.observe(box, { attributes: true, attributeFilter: ["class"], subtree: true });
    box.dataset.group ??= `group-${(groups += 1)}`;
    for (const radio of box.querySelectorAll("input[type=radio]")) radio.name = box.dataset.group;
  }

  function nameControls() {
    for (const label of document.querySelectorAll(".widget-label:not(.jupyter-widgets)")) {
      if (label.title === "null") label.removeAttribute("title"); // a control without a tooltip
      const text = wording(label);
      if (!text) continue;
      const box = label.parentElement;
      for (const control of box.querySelectorAll(CONTROLS)) name(control, text);
      if (box.matches(".widget-toggle-buttons, .widget-radio")) {
        box.setAttribute("role", "group");
        name(box, text);
        tellPicked(box);
      }
      for (const typed of box.querySelectorAll(".widget-readout[contenteditable=true]")) {
        typed.setAttribute("role", "textbox");
        name(typed, text);
      }
      const pair = box.parentElement.closest(".ge-control");
      if (!pair) continue;
      for (const control of pair.querySelectorAll(CONTROLS)) {
        const own = control.closest(".lm-Widget").querySelector(":scope > .widget-label");
        if (!own || !wording(own)) name(control, text);
        // Keys for numbers on a phone, steps by arrows; the kernel says what is not taken.
        if (control.matches(".widget-text input")) Object.assign(control, { type: "number", step: "any" });
      }
    }
  }

  // A lid is a button; the widget library gives it neither a role nor a stop for the keyboard.
  const LID = ".jupyter-widget-Collapse-header";

  function nameLids() {
    for (const lid of document.querySelectorAll(`${LID}:not([role])`)) {
      const tellOpen = () => lid.setAttribute(
        "aria-expanded", lid.parentElement.matches(".jupyter-widget-Collapse-open"),
      );
      lid.setAttribute("role", "button");
      lid.tabIndex = 0;
      tellOpen();
      new MutationObserver(tellOpen).observe(lid.parentElement, { attributeFilter: ["class"] });
      lid.addEventListener("keydown", (event) => {
        if (event.key !== "Enter" && event.key !== " ") return;
        event.preventDefault();
        lid.click();
      });
    }
  }

  // A link to a place of the page opens the lid that stands there, or leads to the bench's sliders;
  // Back still leaves the page.
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[href^='#']");
    const place = link && document.getElementById(link.hash.slice(1));
    const lid = place?.closest(".ge-place")?.nextElementSibling?.querySelector(LID);
    const stop = lid ?? place?.querySelector(".bn-slider input");
    if (!stop) return;
    event.preventDefault();
    if (lid?.getAttribute("aria-expanded") === "false") lid.click();
    (lid ?? place).scrollIntoView();
    stop.focus({ preventScroll: true });
  });

  // A table wider than the window is moved by the arrow keys too: it is a stop for the keyboard.
  const WIDE = ".ge-table .widget-html-content";
  const sized = new ResizeObserver((records) => {
    for (const { target } of records) {
      if (target.scrollWidth > target.clientWidth) target.tabIndex = 0;
      else target.removeAttribute("tabindex");
    }
  });

  function nameWhatCame() {
    nameControls();
    nameLids();
    // What a button has done is read out, of whatever it spoke.
    for (const answer of document.querySelectorAll(":is(.ge-own, .ge-opened) > .ge-answer")) {
      answer.setAttribute("role", "status");
    }
    document.querySelectorAll(WIDE).forEach((table) => sized.observe(table));
  }

  // --- Ready ----------------------------------------------------------------------------------
  // All widgets stand in their places, every chart has been drawn, and for two frames nothing has
  // been added.

  // A kernel that ends before its page stands is missed by nobody else: Voilà's scripts wait for it.
  async function watchStart() {
    if (document.documentElement.dataset.ready) return;
    const id = document.body.dataset.kernelId;
    const address = `${document.body.dataset.baseUrl}api/kernels/${id}`;
    const answer = id && await fetch(address, { cache: "no-store" }).catch(() => null);
    const state = answer?.ok ? (await answer.json()).execution_state : "";
    if (answer?.status !== 404 && !GONE.includes(state)) {
      setTimeout(watchStart, ASK_AGAIN);
      return;
    }
    document.getElementById("ge-status")?.remove();
    document.body.classList.remove("ge-loading");
    tellAsleep(true);
  }

  const NOT_YET = [
    "script[data-view]", // a widget that is not shown yet
    '#ge-page [class="lm-Widget"]:empty', // holds the place of a widget still on its way
  ].join();

  function drawn() {
    if (document.querySelector("#ge-page > .ge-broken")) return true;
    if (!document.querySelector("#ge-page .jupyter-widgets")) return false;
    if (document.querySelector(NOT_YET)) return false;
    return !window.Bokeh || window.Bokeh.documents.every((chart) => chart.is_idle);
  }

  function finish() {
    // On a phone the row of pages is wider than the window.
    document.querySelector("nav [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
    nameWhatCame();
    document.body.classList.remove("ge-loading");
    document.getElementById("ge-status")?.remove();
    document.documentElement.dataset.ready = "yes";
  }

  // --- The page's widget ------------------------------------------------------------------------
  // Voilà shows what it finds as soon as its scripts stand. On a busy machine that is now and then
  // just when the kernel's answers come in, and "model not found" is what stays: so it finds
  // nothing, and a widget is shown when it is there.

  async function showWidgets() {
    const app = await waitFor(() => window.jupyterapp);
    const manager = await app.widgetManagerPromise.promise;
    for (const script of document.querySelectorAll("script[data-view]")) {
      const { model_id: id } = JSON.parse(script.textContent);
      await waitFor(() => manager.has_model(id));
      const { luminoWidget } = await manager.create_view(await manager.get_model(id));
      const place = script.parentElement;
      script.remove();
      luminoWidget.constructor.attach(luminoWidget, place);
    }
  }

  // --- What the kernel has said is not said back ------------------------------------------------
  // The chart widget tells the kernel of each change of a chart, also of those that the kernel has
  // just made and Bokeh marks so (`sync`): with each move of a slider all data would travel back.

  function sayNothingBack() {
    const { Document } = window.Bokeh.require("document");
    const tellOf = Document.prototype.on_change;
    Document.prototype.on_change = function onChange(listener, batches = false) {
      // The widget is who takes changes one by one. Without a websocket it would fail to send them.
      const told = batches ? listener : (change) => change.sync && !leaving && listener(change);
      return tellOf.call(this, told, batches);
    };
  }

  // --- A chart is one stop for the keyboard -------------------------------------------------------
  // Of a chart's tools one is a stop, and the arrows lead to the others; the drawing itself, which no
  // key moves, is none then. Without tools it is one: a row of charts wider than a phone is moved by it.

  function oneStopAChart() {
    const { CanvasView } = window.Bokeh.require("models/canvas/canvas");
    const renderOf = CanvasView.prototype.render;
    CanvasView.prototype.render = function render() {
      renderOf.call(this);
      if (this.parent?.model.toolbar_location) this.events_el.tabIndex = -1;
    };
    const { ToolbarView } = window.Bokeh.require("models/tools/toolbar");
    const afterRenderOf = ToolbarView.prototype._after_render;
    ToolbarView.prototype._after_render = function afterRender() {
      afterRenderOf.call(this);
      const all = new Set([...this.tool_button_views.map(({ el }) => el), this.overflow_el]);
      const tools = [...this.shadow_el.children].filter((each) => all.has(each));
      tools.forEach((tool, at) => { tool.tabIndex = at ? -1 : 0; });
      this.el.onkeydown = (event) => {
        const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
        const at = tools.findIndex((tool) => event.composedPath().includes(tool));
        if (!step || at < 0) return;
        event.preventDefault();
        const next = tools[(at + step + tools.length) % tools.length];
        tools.forEach((tool) => { tool.tabIndex = tool === next ? 0 : -1; });
        next.focus();
      };
    };
  }

  // --- The kernel is gone ---------------------------------------------------------------------
  // A kernel that was let go, died or was started anew knows nothing of this page's widgets. A lost
  // websocket may come back: after a while without it the notice is shown, and taken away on return.

  const PATIENCE = 2500; // ms
  const LEAVING = 30000; // ms, until the other page must have come
  const ASK_AGAIN = 3000; // ms
  const ANSWERED = 10000; // ms, until a kernel has answered over a new websocket
  const GONE = ["dead", "restarting", "autorestarting"]; // "unknown" is said of a lost websocket too

  function tellAsleep(asleep) {
    document.getElementById("ge-asleep").hidden = !asleep;
    document.body.classList.toggle("ge-sleeping", asleep);
    document.documentElement.toggleAttribute("data-asleep", asleep);
  }

  // A visitor who goes to another page ends the kernel here; should this page stay all the same,
  // because the other one never came, it says so after a while. Listened for from the start: the
  // window calls its listeners in the order in which they came, and Voilà's cuts the websocket.
  let leaving = false;
  window.addEventListener("beforeunload", () => {
    window.dispatchEvent(new Event("ge-leaving"));
    writeAddress();
    leaving = true;
    setTimeout(() => { leaving = false; }, LEAVING);
  });

  // What was on its way when a websocket broke is lost. When one stands again, the widget library
  // asks for everything as it is. But a control whose last change, or the word that the kernel has
  // dealt with it, is lost goes on waiting for that word: it would be set back, and say nothing more.
  const SET_BY_A_VISITOR = ["value", "index", "selected_index"];

  async function waitingControls(manager) {
    const models = await Promise.all(Object.values(manager._models ?? {}));
    return models
      .filter((model) => model._pending_msgs > 0)
      .map((model) => {
        const names = SET_BY_A_VISITOR.filter((name) => model.has(name));
        return { model, said: Object.fromEntries(names.map((name) => [name, model.get(name)])) };
      });
  }

  async function catchUp(kernel, waiting) {
    // The kernel answers in turn: what it was sent before, and got, has been dealt with then.
    await kernel.requestKernelInfo();
    for (const { model, said } of waiting) {
      if (!(model._pending_msgs > 0)) continue;
      model._pending_msgs = 0;
      model._msg_buffer = null;
      model.set(said);
      model.sync("patch", model, { attrs: said });
    }
  }

  const within = (time, work) =>
    Promise.race([work, new Promise((_, late) => setTimeout(late, time))]);

  async function watchKernel() {
    const app = await waitFor(() => window.jupyterapp);
    const manager = await app.widgetManagerPromise.promise;
    const kernel = manager.kernel;
    let gone = false;
    let lost = 0;
    let asking = 0;
    let waiting = [];
    const end = () => {
      gone = true;
      clearInterval(asking);
      tellAsleep(true);
    };
    // A failed attempt is looked at again by the library after 10 to 30 s. It then ends the websocket of
    // that time, which may be another one and in use.
    const endWebsocket = kernel._onWSClose;
    if (endWebsocket) {
      kernel._onWSClose = (event) => {
        if (event.target === kernel._ws) endWebsocket(event);
      };
    }
    // The widget library itself waits longer and longer between its attempts, and soon makes none.
    let trying = false;
    const reconnect = async () => {
      if (trying || kernel.isDisposed) return;
      trying = true;
      await kernel.reconnect().catch(() => {});
      trying = false;
    };
    const look = async () => {
      const address = `${document.body.dataset.baseUrl}api/kernels/${kernel.id}`;
      // Without a websocket there is no answer either: patience decides.
      const answer = await fetch(address, { cache: "no-store" }).catch(() => null);
      if (answer?.status === 404) return end();
      if (!answer?.ok || gone) return;
      if (kernel.connectionStatus === "connected") {
        const work = catchUp(kernel, await waiting);
        const caughtUp = await within(ANSWERED, work).then(() => true, () => false);
        if (gone) return;
        if (caughtUp) {
          clearInterval(asking);
          tellAsleep(false);
          return;
        }
      }
      reconnect();
    };
    let looking = false;
    const ask = async () => {
      if (leaving || looking) return;
      looking = true;
      await look();
      looking = false;
    };
    kernel.statusChanged.connect((_, status) => {
      if (!leaving && GONE.includes(status)) end();
    });
    kernel.connectionStatusChanged.connect((_, status) => {
      clearTimeout(lost);
      clearInterval(asking);
      if (gone) return;
      // A websocket alone is not enough: its kernel may have ended while it was opened.
      const patience = leaving ? LEAVING : PATIENCE;
      if (status === "connected") waiting = waitingControls(manager);
      else lost = setTimeout(() => tellAsleep(true), patience);
      asking = setInterval(ask, ASK_AGAIN);
      ask();
    });
  }

  // --- The set-up goes along ------------------------------------------------------------------
  // A page writes its set-up into a field, ready to be copied. Another page, and this one after a
  // reload, opens with what stands there now; a page without the field hands on what it was given.

  // What only one page writes goes along through the others: wants, set-ups compared, the lesson.
  const LESSON = "Link to this step";
  const WRITTEN_BY = {
    "want.": "Link to these wants", "also.": "Link to this bench",
    step: LESSON, quiz: LESSON, letters: LESSON, class: LESSON,
  };

  const bikeOf = (given) => `${given.get("bike")} ${given.get("own.name")}`;

  // A query with the families behind it that another holds and it lacks. Set-ups are one bike's.
  function withFamilies(own, other, writer) {
    const [given, passed] = [new URLSearchParams(other), new URLSearchParams()];
    const sameBike = !given.has("bike") || bikeOf(given) === bikeOf(new URLSearchParams(own));
    for (const [name, text] of given) {
      const family = Object.keys(WRITTEN_BY).find((start) => name.startsWith(start));
      const said = own.includes(`&${family}`) || own.startsWith(`?${family}`);
      if (!family || said || WRITTEN_BY[family] === writer) continue;
      if (sameBike || family !== "also.") passed.append(name, text);
    }
    return own + (passed.size ? `&${passed}` : "");
  }

  const WRITTEN = 'input[aria-label^="Link to this "], input[aria-label^="Link to these "]';

  function query() {
    const field = document.querySelector(WRITTEN);
    if (!field || !field.value.startsWith("?")) return location.search;
    return withFamilies(field.value, location.search, field.getAttribute("aria-label"));
  }

  // Links within the page say themselves with what another opens; what they pass over goes along.
  const ALONG = "a[data-carry]";
  const WITHIN = "#ge-page a:not([download], [href^='#'], [href^='data:'], [href^='blob:'])";
  const asWritten = (link) => (link.dataset.written ??= link.search);

  function queryOf(link) {
    const here = query();
    if (link.matches(ALONG)) {
      // The page's own link there may say more: to the logbook, what was measured.
      const set = document.querySelector(WRITTEN)?.value || "?";
      const same = [...document.querySelectorAll(WITHIN)].find(
        (each) => each.pathname === link.pathname && asWritten(each).startsWith(`${set}&`),
      );
      return same ? withFamilies(asWritten(same), here) : here;
    }
    return asWritten(link) ? withFamilies(asWritten(link), here) : here;
  }

  function carry(event) {
    const link = event.target.closest?.(`${ALONG}, ${WITHIN}`);
    if (link) link.search = queryOf(link);
  }

  // Alone it would open nothing: whoever copies all of it takes the page's place along.
  function copyWhole(event) {
    const field = event.target;
    if (!field.matches?.(WRITTEN) || !field.value.startsWith("?")) return;
    if (field.selectionStart > 0 || field.selectionEnd < field.value.length) return;
    const place = location.origin + location.pathname;
    event.clipboardData.setData("text/plain", place + field.value);
    event.preventDefault();
  }
  document.addEventListener("copy", copyWhole);

  // The page's own address says the same: a reload, Back, a second tab and a bookmark all reopen what
  // stands here. Browsers take some 100 writes in 30 s. Whoever leaves takes along what is unwritten.
  const APART = 350; // ms between two writes

  function writeAddress() {
    const now = query();
    if (!leaving && now !== location.search) history.replaceState(history.state, "", now);
  }

  let written = -APART;
  let toWrite = 0;
  function writeAddressSoon() {
    clearTimeout(toWrite);
    toWrite = setTimeout(() => {
      written = performance.now();
      writeAddress();
    }, Math.max(0, written + APART - performance.now()));
  }

  // A reload asks for the address as it was before the page is left. So the tab keeps what was set
  // just before, which may be in none yet, and sets it again.
  const JUST_BEFORE = 2000; // ms

  // The bench sets its own again as soon as it stands (bench.js): its answer may be here before any
  // change of the link is listened for.
  let resumed = false;
  window.addEventListener("ge-resumed", () => { resumed = true; });

  function keepLastMoves(models) {
    const place = `moved last on ${location.pathname}`;
    const moved = new Map();
    const part = (model) => ["index", "value"].find((name) => model.has(name));
    // What cannot be switched off is no control; what has no name is the bench's own (bench.js).
    const named = new Map(models.map((model) => [model.get("description"), model])
      .filter(([name, model]) => name && model.has("disabled") && part(model)));
    const plain = (value) => ["string", "number", "boolean"].includes(typeof value); // no files
    let kept = [];
    try {
      kept = JSON.parse(sessionStorage.getItem(place)) ?? [];
      sessionStorage.removeItem(place);
    } catch { /* a browser may refuse to store anything */ }
    const { type } = performance.getEntriesByType("navigation")[0];
    for (const [name, value] of type === "navigate" ? [] : kept) {
      const model = named.get(name);
      if (!model || model.get(part(model)) === value) continue;
      model.set(part(model), value);
      model.save_changes();
    }
    for (const model of named.values()) {
      model.on(`change:${part(model)}`, () => moved.set(model, performance.now()));
    }
    window.addEventListener("pagehide", () => {
      const last = [...moved].filter(([, when]) => performance.now() - when < JUST_BEFORE)
        .map(([model]) => [model.get("description"), model.get(part(model))])
        .filter(([, value]) => plain(value));
      try { sessionStorage.setItem(place, JSON.stringify(last)); } catch { /* as above */ }
    });
  }

  // A change that the kernel has still to answer is in no link yet: whoever follows one is held
  // for the answer, but not for long.
  const HELD = 3000; // ms

  function holdForAnswers(kernel, models) {
    const answered = () => kernel.requestKernelInfo().then(() => kernel.requestKernelInfo());
    document.addEventListener("click", async (event) => {
      const link = event.target.closest?.(ALONG);
      const inAnotherTab = event.ctrlKey || event.metaKey || event.shiftKey || link?.target;
      if (!link || inAnotherTab || !models.some((model) => model._pending_msgs > 0)) return;
      event.preventDefault();
      await within(HELD, answered()).catch(() => {});
      link.search = queryOf(link);
      location.assign(link.href);
    });
  }

  async function keepAddress() {
    const app = await waitFor(() => window.jupyterapp);
    const manager = await app.widgetManagerPromise.promise;
    const models = await Promise.all(Object.values(manager._models ?? {}));
    holdForAnswers(manager.kernel, models);
    const field = models.find((model) => /^Link to th(is|ese) /.test(model.get("description") ?? ""));
    if (!field) return;
    field.on("change:value", writeAddressSoon);
    if (resumed) writeAddressSoon();
    keepLastMoves(models.filter((model) => model !== field));
  }

  // However the link is used: opened, opened in another tab, copied.
  for (const use of ["focusin", "pointerdown", "contextmenu", "click"]) {
    document.addEventListener(use, carry, true);
  }

  function reload() {
    const same = query() === location.search;
    if (same) location.reload();
    else location.search = query();
  }

  // Gone back to, as the browser kept it: its kernel has ended when it was left.
  window.addEventListener("pageshow", (event) => {
    if (event.persisted) reload();
  });

  // --- A file too large to send ---------------------------------------------------------------
  // The websocket to the kernel breaks at ten megabytes, and nobody would say why. ipywidgets keeps the
  // file field of an upload button outside the document, so it is met where it is opened.

  // Bytes of all files together, as the readers in explorer/records allow; logs of rides are large.
  const largest = (button) => {
    if (button.matches(".ge-ride-upload")) return 8000000;
    return button.closest(".ge-logbook-upload") ? 5000000 : 1000000;
  };

  let uploadButton = null;
  document.addEventListener("click", (event) => {
    uploadButton = event.target.closest(".widget-upload") || uploadButton;
  }, true);

  function refuseLargeFiles(event) {
    const files = [...event.target.files];
    const size = files.reduce((sum, file) => sum + file.size, 0);
    const most = largest(uploadButton);
    const said = uploadButton.nextElementSibling;
    if (said && said.matches(".ge-too-large")) said.remove();
    if (size <= most) return;
    event.stopImmediatePropagation();
    event.target.value = "";
    const sentence = document.createElement("p");
    sentence.className = "ge-fault ge-too-large";
    sentence.setAttribute("role", "alert");
    sentence.textContent =
      `The ${files.length > 1 ? "files have" : "file has"} ${(size / 1e6).toFixed(1)} MB; ` +
      `at most ${most / 1e6} MB is accepted. Choose a smaller one.`;
    uploadButton.after(sentence);
  }

  const openChooser = HTMLInputElement.prototype.click;
  HTMLInputElement.prototype.click = function click() {
    if (this.type === "file") this.addEventListener("change", refuseLargeFiles, { capture: true });
    return openChooser.call(this);
  };

  // --- From the start -------------------------------------------------------------------------

  // Calls `found` with each frame until it gives something.
  function waitFor(found) {
    return new Promise((resolve) => {
      const look = () => {
        const value = found();
        if (value) resolve(value);
        else requestAnimationFrame(look);
      };
      look();
    });
  }

  const LABELLED = `.widget-label, [role=slider], ${LID}`;

  // A large family of phone browsers has no idle callbacks. A script of Voilà's makes up for that
  // in passing, but this page does not lean on it.
  const whenIdle = window.requestIdleCallback ?? ((work) => setTimeout(work, 200));

  // Whether something came that may need a name, or a label changed its words.
  function mayNeedNames({ target, addedNodes }) {
    if (target.matches(LABELLED)) return true;
    return [...addedNodes].some(
      (node) => node.nodeType === 1 && (node.matches(LABELLED) || node.querySelector(LABELLED)),
    );
  }

  let changes = 0;
  let naming = 0;
  const watch = new MutationObserver((records) => {
    changes += 1;
    if (!document.documentElement.dataset.ready) tellStep();
    // Not while a slider's answer is being drawn: names can wait until the page has a moment.
    if (!naming && records.some(mayNeedNames)) {
      naming = whenIdle(() => {
        naming = 0;
        nameWhatCame();
      }, { timeout: 500 });
    }
  });
  watch.observe(document.documentElement, { childList: true, subtree: true });

  // As soon as the kernel is known: who asks for it is a browser, though its scripts are on their way.
  if (document.readyState === "loading") document.addEventListener("DOMContentLoaded", watchStart);
  else watchStart();

  window.addEventListener("load", () => {
    sayNothingBack();
    oneStopAChart();
    document.getElementById("ge-reload").addEventListener("click", reload);
    watchKernel();
    showWidgets();
    let seen = -1;
    let calm = 0;
    waitFor(() => {
      calm = seen === changes ? calm + 1 : 0;
      seen = changes;
      return calm >= 2 && drawn();
    }).then(() => {
      finish();
      keepAddress();
    });
  });
})();
