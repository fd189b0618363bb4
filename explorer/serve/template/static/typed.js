// What is typed and not taken stays in this tab: a form half filled, a value that was refused. Who
// leaves its page and comes back finds it there, and what was wrong is said again. So do tables of
// rows, taken or not, and what was picked beside them: no link carries what was measured. The
// logbook's form has drafts of its own (drafts.js).
import { enter, isReady, whenReady } from "./fields.js";

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
  const free = field.closest(".ge-in-no-link"); // taken, and in no link
  return field.isConnected && (form ? !isDone(form) : free || refused(field));
}

function restore(field, text) {
  if (field.value !== text) enter(field, text);
}

// A form that opens later gets its texts then.
function look() {
  const fields = [...document.querySelectorAll(FIELDS)].filter((field) => !typed.has(field));
  waiting = waiting.filter(([name, text]) => {
    const field = fields.find((each) => label(each) === name && !typed.has(each));
    if (field) {
      typed.add(field);
      restore(field, text);
    }
    return !field;
  });
}

// --- Tables of rows, for each bike its own ---
const asked = new WeakMap();
let waitingTables = [];

const tablesKey = () => {
  const carried = new URLSearchParams(location.search);
  return `${KEY}, tables, ${carried.get("bike")} ${carried.get("own.name")}`;
};
const tables = () => [...document.querySelectorAll("#ge-page .ge-entry-rows")];
const rowsOf = (table) => [...table.querySelectorAll(".ge-entry-row")]
  .map((row) => [...row.querySelectorAll(".ge-entry-fields :is(input, select)")]);
const picks = () => [...document.querySelectorAll(
  "#ge-page .ge-card:has(.ge-entry-rows) .ge-field select:not([multiple])")];

function tablesNow() {
  const typedIn = tables().map((table) => rowsOf(table).map((row) => row.map((each) => each.value)));
  const typedText = tables().some((table) => [...table.querySelectorAll("input")].some((each) => each.value.trim()));
  return !typedText ? null : { tables: typedIn, picks: picks().map((each) => [label(each), each.value]) };
}

// Rows come one by one, each as its kernel has made it.
function lookAtTables() {
  waitingTables = waitingTables.filter(([place, texts]) => {
    const table = tables()[place];
    const rows = table ? rowsOf(table) : [];
    if (rows.length >= texts.length) {
      // A row comes before its fields.
      if (!texts.every((row, n) => rows[n].length >= row.length)) return true;
      texts.forEach((row, n) => row.forEach((text, m) => restore(rows[n][m], text)));
      return false;
    }
    if (table && asked.get(table) !== rows.length) {
      asked.set(table, rows.length);
      table.parentElement.querySelector(":scope > button").click();
    }
    return true;
  });
}

function beginTables() {
  let kept = null;
  try { kept = JSON.parse(store((place) => place.getItem(tablesKey()))); } catch { return; }
  // What stands there already is newer.
  if (!kept || tablesNow()) return;
  for (const [name, value] of kept.picks) {
    const field = picks().find((each) => label(each) === name);
    if (field && [...field.options].some((each) => each.value === value)) restore(field, value);
  }
  waitingTables = [...kept.tables.entries()];
  lookAtTables();
}

function begin() {
  beginTables();
  try { waiting = JSON.parse(store((kept) => kept.getItem(KEY)) ?? "[]"); } catch { waiting = []; }
  if (!waiting.length && !waitingTables.length) return;
  look();
  const watch = new MutationObserver(() => {
    if (waiting.length) look();
    if (waitingTables.length) lookAtTables();
    if (!waiting.length && !waitingTables.length) watch.disconnect();
  });
  watch.observe(document.querySelector("#ge-page"),
    { childList: true, subtree: true, attributes: true, attributeFilter: ["aria-label"] });
}

document.addEventListener("input", ({ target, isTrusted }) => {
  if (isTrusted && target.matches(FIELDS) && !target.closest(".ge-log-form")) typed.add(target);
});
window.addEventListener("pagehide", () => {
  const kept = [...typed].filter(isKept).map((field) => [label(field), field.value]);
  store((place) => place.setItem(KEY, JSON.stringify([...kept, ...waiting])));
  if (!tables().length || !isReady() || waitingTables.length) return;
  const now = tablesNow();
  store((place) => (now ? place.setItem(tablesKey(), JSON.stringify(now)) : place.removeItem(tablesKey())));
});

whenReady(begin);
