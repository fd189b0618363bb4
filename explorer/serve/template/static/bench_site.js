// A bench without a server: another tyre, ground or unit system is another table, from a file.
//
// A table comes as a script, for from a folder (file://) a browser loads nothing else. The set-ups
// stand in the fragment of the address, which no host ever sees.
import { readTable } from "./bench_table.js";

const WAIT = 30; // ms until it is looked again whether the bench stands
const LONGEST_NAME = 16;

const waiting = new Map();
window.benchTable = (key, text) => waiting.get(key)?.(text);

function load({ tables, mark }, key) {
  return new Promise((resolve, reject) => {
    const script = document.createElement("script");
    waiting.set(key, resolve);
    script.src = `${tables}${key}.js${mark}`;
    script.onload = () => script.remove();
    script.onerror = () => { script.remove(); reject(new Error("not here")); };
    document.head.append(script);
  });
}

class Site {
  constructor(bench, known) {
    this.bench = bench;
    this.known = known;
    this.shown = known.shown;
    this.first = bench.table.text;
    this.newest = 0;
    this.ground = document.getElementById("site-ground");
    this.units = document.getElementById("site-units");
    for (const select of [this.ground, this.units]) {
      if (!select) continue; // a file has one ground and one system of units
      select.addEventListener("change", () => this.show());
      select.disabled = false;
    }
    bench.table.meta.tyres = known.tyres;
    bench.table.meta.serial = -1;
    if (known.slots) Object.assign(bench, { slots: known.slots, picked: known.picked });
    bench.tell = () => this.told();
    this.read();
    addEventListener("hashchange", () => { if (location.hash.slice(1) !== this.written) this.read(); });
  }

  told() {
    const { slots, picked } = this.bench;
    if (this.known.slots) return void this.inFile();
    // On these pages a tyre is put on all set-ups: only the fitted one keeps its own.
    if (slots[picked].tyre !== this.bench.table.meta.tyre) this.show(slots[picked].tyre);
    else this.write();
    return undefined;
  }

  // A file holds one table: the pairs on one tyre, and other set-ups as they were.
  inFile() {
    const { slots, picked, table } = this.bench;
    const other = slots[picked].tyre !== table.meta.tyre;
    document.getElementById("site-note").textContent = other
      ? `This set-up stays as it is: the file has all pairs on ${table.meta.tyre} only.` : "";
    this.write();
  }

  async show(tyre = this.bench.table.meta.tyre) {
    const wanted = [this.known.tyres.indexOf(tyre), Number(this.ground.value), Number(this.units.value)];
    this.newest += 1;
    const turn = this.newest;
    const note = document.getElementById("site-note");
    let table = null;
    try {
      const key = wanted.join("-");
      table = await readTable(key === this.known.shown.join("-") ? this.first : await load(this.known, key));
      note.textContent = "";
    } catch {
      note.textContent = "That table is not on this device yet. Try again with a signal.";
    }
    if (turn !== this.newest) return;
    if (table) {
      this.shown = wanted;
      table.meta.tyres = this.known.tyres;
      table.meta.serial = -1;
    } else {
      [, this.ground.value, this.units.value] = this.shown;
      table = this.bench.table;
    }
    for (const slot of this.bench.slots.slice(1)) slot.tyre = table.meta.tyre;
    this.bench.tyreMoved = false;
    this.bench.serial = Math.max(this.bench.serial, 1);
    this.bench.take(table);
    this.write();
  }

  write() {
    const { slots, picked } = this.bench;
    const said = new URLSearchParams({ case: this.shown.join("-"), picked });
    for (const { name, front, rear } of slots.slice(1)) said.append("setup", `${front}/${rear} ${name}`);
    this.written = said.toString();
    history.replaceState(null, "", `#${this.written}`);
  }

  // A link may hold anything: what this bike cannot have is passed over.
  async read() {
    const said = new URLSearchParams(location.hash.slice(1));
    const { tyres, grounds, units } = this.known;
    const wanted = (said.get("case") ?? "").split("-").map(Number);
    const ends = [tyres.length, grounds.length, units.length];
    const holds = (value, at) => Number.isInteger(value) && value >= 0 && value < ends[at];
    const valid = wanted.length === 3 && wanted.every(holds);
    const setups = said.getAll("setup").slice(0, 3)
      .map((text) => /^(\d{1,3})\/(\d{1,3}) (.+)$/.exec(text)).filter(Boolean)
      .map(([, front, rear, name]) => ({ front: Number(front), rear: Number(rear), name: name.slice(0, LONGEST_NAME) }))
      .filter(({ front, rear }) => this.bench.table.rows.has(front * 256 + rear));
    const { bench } = this;
    if (setups.length > 0) {
      const { tyre } = bench.table.meta;
      bench.slots = [bench.slots[0], ...setups.map((each) => ({ ...each, tyre }))];
      bench.picked = Math.min(Math.max(Number(said.get("picked")) || 1, 1), setups.length);
    }
    bench.serial = Math.max(bench.serial, 1);
    bench.take(bench.table);
    if (!valid) return;
    if (this.ground) [, this.ground.value, this.units.value] = wanted;
    if (wanted.join() !== this.shown.join()) await this.show(tyres[wanted[0]]);
  }
}

// A host that speaks https lets the browser keep the site; a folder needs nothing kept.
async function keep(known) {
  if (known.slots || !("serviceWorker" in navigator) || !location.protocol.startsWith("http")) return;
  await navigator.serviceWorker.register("../worker.js");
  const { active } = await navigator.serviceWorker.ready;
  const keys = known.tyres.flatMap((_, t) => known.grounds.map((__, g) => `${t}-${g}-${known.shown[2]}`))
    .filter((key) => key !== known.shown.join("-")); // that one stands in the page
  const addresses = keys.map((key) => new URL(`${known.tables}${key}.js${known.mark}`, location.href).href);
  active.postMessage({ keep: [location.href.replace(/[?#].*/, ""), ...addresses] });
}

function begin() {
  const place = document.getElementById("bench-site");
  if (!place) return;
  const { bench } = document.getElementById("bench") ?? {};
  if (!bench) return void setTimeout(begin, WAIT);
  const known = JSON.parse(place.textContent);
  document.getElementById("bench").site = new Site(bench, known);
  keep(known).catch(() => {}); // a browser that keeps nothing shows the pages all the same
  return undefined;
}
begin();
