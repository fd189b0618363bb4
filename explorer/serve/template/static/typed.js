// What is typed and not taken stays in this tab: a form half filled, a value that was refused. Who
// leaves its page and comes back finds it there, and what was wrong is said again. The logbook's
// form has drafts of its own (drafts.js).
(() => {
  "use strict";

  const KEY = `typed on ${location.pathname}`;
  const FIELDS = "#ge-page :is(.ge-field :is(input[type=text], textarea, select), .ge-control .widget-text input)";
  const typed = new Set();
  let waiting = [];

  // A browser may refuse to store anything; the page works without.
  function store(work) {
    try { return work(window.sessionStorage); } catch { return null; }
  }

  const label = (field) => field.getAttribute("aria-label");
  const isDone = (form) => form.querySelector(":scope > .ge-answer .ge-said")?.textContent;

  const refused = (field) => field.closest(".ge-field, .ge-control").querySelector(".ge-sentence");

  function isKept(field) {
    const form = field.closest(".ge-staged");
    return field.isConnected && (form ? !isDone(form) : refused(field));
  }

  function putBack(field, text) {
    typed.add(field);
    if (field.value === text) return;
    field.value = text;
    for (const kind of ["input", "change"]) field.dispatchEvent(new Event(kind, { bubbles: true }));
  }

  // A form that opens later gets its texts then.
  function look() {
    const fields = [...document.querySelectorAll(FIELDS)].filter((field) => !typed.has(field));
    waiting = waiting.filter(([name, text]) => {
      const field = fields.find((each) => label(each) === name && !typed.has(each));
      if (field) putBack(field, text);
      return !field;
    });
  }

  function begin() {
    try { waiting = JSON.parse(store((kept) => kept.getItem(KEY)) ?? "[]"); } catch { return; }
    if (!waiting.length) return;
    look();
    const watch = new MutationObserver(() => (waiting.length ? look() : watch.disconnect()));
    watch.observe(document.querySelector("#ge-page"),
      { childList: true, subtree: true, attributes: true, attributeFilter: ["aria-label"] });
  }

  document.addEventListener("input", ({ target, isTrusted }) => {
    if (isTrusted && target.matches(FIELDS) && !target.closest(".ge-log-form")) typed.add(target);
  });
  window.addEventListener("pagehide", () => {
    const kept = [...typed].filter(isKept).map((field) => [label(field), field.value]);
    store((place) => place.setItem(KEY, JSON.stringify([...kept, ...waiting])));
  });

  const isReady = () => document.documentElement.dataset.ready;
  const ready = new MutationObserver(() => {
    if (!isReady()) return;
    ready.disconnect();
    begin();
  });
  if (isReady()) begin();
  else ready.observe(document.documentElement, { attributeFilter: ["data-ready"] });
})();
