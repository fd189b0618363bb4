// On a published server nothing is stored: the entries of the logbook stay in this browser. They are
// read off the link that downloads them, and handed to the page when it is opened again. Other tabs
// write here too: of an entry that this tab left alone, what they wrote last stands.
import { enter, whenReady } from "./fields.js";

const KEY = `logbook of ${location.pathname}`;

const link = () => document.querySelector('#ge-page a[download="logbook.json"]');
const field = () => document.querySelector(".ge-browser-book input");
const inFile = () => JSON.parse(decodeURIComponent(link().getAttribute("href").split(",")[1]));
const byId = (entries) => new Map(entries.map((each) => [each.entry, JSON.stringify(each)]));

let before = new Map();

function stored() {
  try { return JSON.parse(localStorage.getItem(KEY)) ?? []; } catch { return []; }
}

function keep() {
  if (!link()) return;
  if (!link().closest(".ge-in-page")) {
    localStorage.removeItem(KEY); // they are in the rider's own file now
    return;
  }
  const own = byId(inFile().entries);
  const theirs = byId(stored());
  const kept = [...new Set([...theirs.keys(), ...own.keys()])]
    .map((id) => (own.get(id) === before.get(id) ? theirs : own).get(id))
    .filter(Boolean);
  before = own;
  try {
    localStorage.setItem(KEY, `[${kept.join()}]`);
  } catch {
    enter(field(), ""); // no room: the page says so
  }
}

function begin() {
  try {
    localStorage.setItem(`${KEY}, tried`, "");
    localStorage.removeItem(`${KEY}, tried`);
  } catch {
    return; // the browser keeps nothing, and the page says that the logbook goes with it
  }
  const watch = new MutationObserver(keep);
  watch.observe(link().closest(".widget-html"), { childList: true, subtree: true });
  const entries = stored();
  if (entries.length || link().closest(".ge-in-page")) enter(field(), JSON.stringify({ ...inFile(), entries }));
}

whenReady(begin, () => link() && field());
