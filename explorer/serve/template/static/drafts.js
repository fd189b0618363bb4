// What is typed into the logbook's form stays in this browser until it is saved: a dead server, a
// closed tab or a reload loses nothing. Who comes back is asked whether it is to be put back.
import { enter, whenReady } from "./fields.js";

const KEY = `draft of ${location.pathname}`;
const NO_ANSWER = 2500; // ms, until a save without an answer is said

const form = () => document.querySelector(".ge-log-form");
const fields = () => [...form().querySelectorAll(".ge-log-fields :is(input, textarea, select)")];
const nameOf = (field) =>
  field.closest(".lm-Widget").querySelector(".widget-label").textContent.trim();

// A browser may refuse to store anything; the form works without.
function store(work) {
  try { return work(window.localStorage); } catch { return null; }
}
const forget = () => store((kept) => kept.removeItem(KEY));

function keep() {
  const texts = Object.fromEntries(fields().map((field) => [nameOf(field), field.value]));
  store((kept) => kept.setItem(KEY, JSON.stringify({ when: Date.now(), texts })));
}

function restore(texts) {
  for (const field of fields()) {
    const text = texts[nameOf(field)];
    if (typeof text !== "string" || field.value === text) continue;
    enter(field, text);
  }
}

function element(kind, text, css) {
  const made = document.createElement(kind);
  made.textContent = text;
  made.className = css;
  return made;
}

function say(text, ...buttons) {
  form().querySelector(".ge-draft")?.remove();
  if (!text) return;
  const box = element("div", "", "ge-draft ge-note");
  box.setAttribute("role", "status");
  box.append(element("p", text, ""));
  for (const [name, work] of buttons) {
    const button = element("button", name, "jupyter-button");
    button.type = "button";
    button.addEventListener("click", () => { box.remove(); work(); });
    box.append(button);
  }
  form().querySelector(".ge-log-actions").before(box);
}

function offer() {
  let draft = null;
  try { draft = JSON.parse(store((kept) => kept.getItem(KEY)) ?? "null"); } catch { forget(); }
  if (!draft || typeof draft.texts !== "object" || !draft.texts) return;
  if (!fields().some((field) => (draft.texts[nameOf(field)] ?? "") !== field.value)) return;
  const when = new Date(draft.when).toLocaleString("sv"); // year first, as everywhere here
  say(
    `What you typed on ${when} was not saved. It is kept in this browser only.`,
    ["Put it back", () => restore(draft.texts)],
    ["Forget it", forget],
  );
}

function saving() {
  let late = false;
  const silent = setTimeout(() => {
    late = true;
    say("Not saved: the server does not answer. What you typed is kept in this browser; reload the page and put it back.");
  }, NO_ANSWER);
  const watch = new MutationObserver(() => {
    watch.disconnect();
    clearTimeout(silent);
    if (late) say("");
  });
  for (const each of form().querySelectorAll(".ge-saved, .ge-answer")) {
    watch.observe(each, { childList: true, subtree: true });
  }
}

function begin() {
  offer();
  form().addEventListener("input", (event) => { if (event.isTrusted) keep(); });
  form().addEventListener("change", (event) => { if (event.isTrusted) keep(); });
  form().addEventListener("click", (event) => {
    const button = event.target.closest(".ge-log-actions button");
    if (!button) return;
    const actions = [...button.parentElement.querySelectorAll("button")];
    if (button === actions[0]) saving();
    if (button === actions.at(-1)) forget(); // editing is given up
  });
  const card = form().closest(".ge-card");
  new MutationObserver((seen) => {
    const edited = card.querySelector(".ge-editing");
    if (edited && seen.some(({ target }) => target.contains(edited))) card.scrollIntoView();
  }).observe(card, { childList: true, subtree: true });
  new MutationObserver(() => {
    if (!form().querySelector(".ge-saved").textContent.trim()) return;
    forget();
    say("");
  }).observe(form().querySelector(".ge-saved"), { childList: true, subtree: true });
}

whenReady(begin, form);
