// The bench: sliders, three charts and the deciding numbers, answered in the browser.
//
// Python computes every pair of sprockets once, as a table (explorer/study/table.py), and writes the
// page's HTML with the first answer in it (explorer/tasks/bench/first.py). This module picks rows,
// scales them to the reader's units, and paints; it holds no formula of physics, and every text that
// it shows stands in the table. It needs neither a kernel nor a library, so a page without a server
// can use it as well.
//
// In:    <section id="bench"> with a table in its <script data-table>; `startBench(root)`.
// Out:   custom events on that section: bench:table, bench:row, bench:rest, bench:cursor.
// Tell:  what the rider chose goes to a `tell` function when the hand rests. On a served page that
//        is a text field of the kernel's (".bn-tell input"), and newer tables come in an element of
//        the kernel's (".bn-tables [data-table]"). Both are there long after the bench can be dragged.
//
// Others take part by `attach(bench)`: bench_touch.js (fingers), bench_run.js ("Run it"),
// bench_glide.js (where the hand came from).
import { Charts } from "./bench_charts.js";
import { readTable } from "./bench_table.js";
import { enter } from "./fields.js";

const WAIT = 30; // ms between two looks for what is still on its way
const REST = 150; // ms without a move until the hand is at rest
const ON_PAPER = [330, 240]; // px, widest and highest picture of a chart: two stand side by side
const LONGEST_NAME = 16; // as the kernel reads it (explorer/records/setups/comparison.py)
const SLOTS = 4; // the fitted one, and up to three with names

const mapOf = (table) => Object.fromEntries(
  Object.entries(table?.arrays ?? {}).filter(([name]) => name.startsWith("map_")));

// --- The bench -----------------------------------------------------------------------------------

class Bench {
  constructor(root, table, tell) {
    this.root = root;
    this.tell = tell;
    this.serial = 0; // of what was told last
    this.untold = false; // whether something has moved since
    this.moving = false;
    this.previewed = null;
    this.cursorSpeed = null;
    this.charts = null;
    this.drawOverlay = () => {};
    this.#controls();
    this.take(table);
  }

  get reducedMotion() {
    return matchMedia("(prefers-reduced-motion: reduce)").matches;
  }

  part = (name) => this.root.querySelector(`[data-${name}]`);

  // A new table: from the page itself, or later from the kernel. Where the rider has moved on since
  // the kernel was told, the rider's own teeth stay.
  take(table) {
    const { meta } = table;
    // While a tyre is dragged the map of all pairs stays; it comes with the whole table.
    table.arrays = { ...mapOf(this.table), ...table.arrays };
    meta.offers ??= this.table?.meta.offers;
    this.table = table;
    if (meta.serial >= this.serial && !this.untold) {
      this.slots = meta.slots.map((slot) => ({ ...slot }));
      this.picked = meta.picked;
      this.tyreMoved = false;
    }
    for (const [index, slot] of this.slots.entries()) slot.row = this.#rowOf(slot, index);
    this.root.toggleAttribute("data-assumed", Boolean(meta.assumes));
    this.#begun(meta);
    this.#ranges();
    this.charts?.ground();
    this.#say("table", { table });
    this.repaint();
    if (this.moving) return;
    this.#summary();
    if (this.part("live").textContent) this.#announce(); // what was said is of the last table
  }

  // What a bike that is only begun does not have yet is asked for where it would be shown.
  #begun({ asks, whose }) {
    this.#text(this.part("bike"), whose);
    this.root.toggleAttribute("data-begun", Object.keys(asks).length > 0);
    for (const figure of this.root.querySelectorAll("[data-chart]")) {
      const ask = asks[figure.dataset.chart];
      figure.toggleAttribute("data-asked", Boolean(ask));
      this.#text(figure.querySelector("[data-ask]"), ask ?? "");
    }
  }

  // A pair on the table's tyre, or a set-up as the kernel was told it, on whatever tyre. While a
  // tyre is dragged the last table's tyre stands for it.
  #rowOf({ front, rear, tyre }, index) {
    const { meta, rows } = this.table;
    if (index === 0) return 0;
    const told = meta.slots[index];
    const asTold = told && told.front === front && told.rear === rear && told.tyre === tyre;
    if (asTold && told.other) return index;
    const onTable = tyre === meta.tyre || (this.tyreMoved && index === this.picked);
    return (onTable ? rows.get(front * 256 + rear) : undefined) ?? (asTold ? index : -1);
  }

  // The row of a pair as the set-up under the sliders; −1 where the table has none.
  rowOf = (front, rear) => this.#rowOf({ ...this.slots[this.picked], front, rear }, this.picked);

  has = (front, rear) => this.rowOf(front, rear) >= 0;

  // --- Moves -------------------------------------------------------------------------------------

  set(front, rear) {
    if (!this.has(front, rear)) return;
    const slot = this.slots[this.picked];
    if (slot.front === front && slot.rear === rear) return;
    Object.assign(slot, { front, rear });
    slot.row = this.#rowOf(slot, this.picked);
    this.#moved();
  }

  pick(index) {
    if (index < 1 || index >= this.slots.length || index === this.picked) return;
    this.picked = index;
    this.tyreMoved = false;
    this.#moved(this.slots[index].tyre !== this.table.meta.tyre);
  }

  setTyre(index) {
    this.slots[this.picked].tyre = this.table.meta.tyres[index];
    this.tyreMoved = true;
    this.#moved(true);
  }

  rename(index, name) {
    this.slots[index].name = name;
    this.#moved();
  }

  addSlot(name) {
    if (this.slots.length >= SLOTS) return;
    this.slots.push({ ...this.slots[this.picked], name });
    this.pick(this.slots.length - 1);
  }

  clearSlot(index) {
    if (this.slots.length <= 2 || index < 1) return;
    this.slots.splice(index, 1);
    this.picked = Math.min(this.picked, this.slots.length - 1);
    this.#moved();
  }

  // Set-ups as they were left, for the bike they were left on.
  resume({ bike, slots, picked }) {
    const { meta, rows } = this.table;
    if (bike !== meta.bike || !slots.every(({ front, rear }) => rows.has(front * 256 + rear))) return;
    Object.assign(this, { slots, picked, untold: true });
    this.take(this.table);
    this.#moved(slots[picked].tyre !== meta.tyre);
    dispatchEvent(new Event("ge-resumed"));
  }

  preview(front, rear = null) {
    this.previewed = front === null || !this.has(front, rear) ? null : { front, rear };
    this.charts?.draw(["tradeoff"]);
    if (!this.previewed) return null;
    const row = this.rowOf(front, rear);
    const [ratio, pull, speed, top, measure, chain] = this.table.meta.texts[row];
    return {
      title: ratio[0],
      gains: `${pull[0]} ${pull[1]}, ${speed[0]} ${speed[1]}; ${top[0]} ${top[1]}; ${measure[0]} ${measure[1]}`,
      chain: `${chain[0]}; ${chain[1]}`,
    };
  }

  cursor(speed) {
    this.cursorSpeed = speed;
    this.charts?.drawOverlays();
    this.#say("cursor", { speed });
  }

  pairAt = (x, y, reach) => this.charts?.pairAt(x, y, reach) ?? null;

  // The figures stand: from now on they are drawn as well.
  draw(charts) {
    this.charts = charts;
    charts.ground();
    charts.draw();
    this.#summary();
    this.root.dataset.charts = "live";
    this.#say("charts", {});
  }

  // The run of a slot at full throttle, or nothing where the table has none.
  run(index) {
    const { arrays, meta } = this.table;
    const { row } = this.slots[index];
    if (!arrays.run_speed || row < 0) return null;
    const [speed, distance, gear] = ["run_speed", "run_distance", "run_gear"].map((name) =>
      arrays[name].at(row));
    const rpm = Array.from(speed, (value, at) => this.charts.rpmIn(row, gear[at], value));
    return { time: meta.run_times, speed, distance, gear, rpm };
  }

  // The one under the sliders already is given another name.
  #pickOrName(index) {
    if (index !== this.picked) return void this.pick(index);
    const name = prompt(`Name of this set-up, at most ${LONGEST_NAME} characters`, this.slots[index].name);
    const tidy = name?.replaceAll(";", " ").replace(/\s+/g, " ").trim().slice(0, LONGEST_NAME);
    if (tidy) this.rename(index, tidy);
    return undefined;
  }

  // --- Painting ----------------------------------------------------------------------------------

  #moved(ask = false) {
    this.moving = this.untold = true;
    this.previewed = null;
    clearTimeout(this.resting);
    // Another tyre needs a new table, so the kernel is told at once.
    this.resting = setTimeout(() => this.#rest(), REST);
    if (ask) this.#tell();
    // At once, for Bokeh to draw in the very next frame; but once a frame.
    if (this.#painted) {
      this.#again = true;
      return;
    }
    this.#painted = true;
    this.repaint();
    requestAnimationFrame(() => {
      this.#painted = false;
      if (this.#again) this.repaint();
      this.#again = false;
    });
  }

  #painted = false;
  #again = false;

  repaint() {
    this.#write();
    this.charts?.draw();
    this.#say("row", { slots: this.slots, picked: this.picked, moving: this.moving });
  }

  #rest() {
    this.moving = false;
    this.charts?.draw();
    this.#summary();
    this.#announce();
    this.#say("rest", { slots: this.slots, picked: this.picked });
    this.#tell();
  }

  // Whoever leaves has let go.
  letGo() {
    clearTimeout(this.resting);
    if (this.moving) this.#rest();
  }

  // What each chart shows, for a screen reader.
  #summary() {
    const { said, texts, asks } = this.table.meta;
    const { row } = this.slots[this.picked];
    const [pair, pull, , top, measure] = (texts[row] ?? []).map((words) => words.join(" "));
    const best = this.charts?.marked.map(({ front, rear }) => `${front}/${rear}`).join(", ");
    const shows = {
      shift: said[row],
      pull: `${pair}: ${pull}; ${top}.`,
      tradeoff: `${pair}: ${top}; ${measure}.${best ? ` Best: ${best}.` : ""}`,
    };
    for (const [name, words] of Object.entries(shows)) {
      const place = this.root.querySelector(`[data-chart=${name}] [data-summary]`);
      this.#text(place, row < 0 || asks[name] ? "" : words);
    }
  }

  #announce() {
    const { verdicts, texts } = this.table.meta;
    const { row, name } = this.slots[this.picked];
    if (row < 0) return;
    const changes = texts[row].map((words) => words.join(" ")).join("; ");
    this.#text(this.part("live"), `${name} ${changes}. ${verdicts[row]}`);
  }

  #tell() {
    this.serial += 1;
    this.untold = false;
    const { picked, serial } = this;
    const slots = this.slots.slice(1).map(({ name, front, rear, tyre }) => [name, front, rear, tyre]);
    this.tell?.({ serial, picked, slots });
  }

  #text(element, text) {
    if (element && element.textContent !== text) element.textContent = text;
  }

  #write() {
    const slot = this.slots[this.picked];
    const { meta, arrays } = this.table;
    for (const name of ["front", "rear"]) {
      const box = this.#sliders[name];
      if (box.input.value !== String(slot[name])) box.input.value = slot[name];
      this.#text(box.output, `${slot[name]}`);
      box.input.setAttribute("aria-valuetext", `${slot[name]} teeth`);
    }
    const { input, output } = this.#sliders.tyre;
    input.value = meta.tyres.indexOf(slot.tyre);
    const said = meta.tyre_known ? slot.tyre : "?";
    this.#text(output, said);
    input.setAttribute("aria-valuetext", said);
    for (const each of input.parentElement.querySelectorAll("input, button")) each.disabled = !meta.tyre_known;
    this.#slotButtons();
    const { row } = slot;
    this.root.classList.toggle("bn-waiting", row < 0);
    if (row < 0) return;
    for (const [index, name] of meta.tiles.entries()) {
      const tile = this.#tiles[name];
      if (!tile) continue;
      const [value, what] = meta.texts[row][index];
      // A range in brackets stands smaller behind its number.
      const range = value.indexOf("(");
      this.#text(tile.number, range < 0 ? value : value.slice(0, range));
      this.#text(tile.range, range < 0 ? "" : value.slice(range));
      this.#text(tile.what, what);
    }
    this.#text(this.part("verdict"), meta.verdicts[row]);
    this.root.dataset.chain = arrays.chain.at(row) >= 2 ? "no" : "maybe";
    this.#chips(slot, row);
  }

  #chips(slot, row) {
    const fitted = this.slots[0];
    const [less, more] = this.table.arrays.same_rear.at(row);
    const offers = {
      fitted: [fitted.front, fitted.rear, "fitted"],
      "front-1": [slot.front - 1, slot.rear, "−1 front"],
      "front+1": [slot.front + 1, slot.rear, "+1 front"],
      "same-1": [slot.front, less, `rear ${less} ≈ −1 front`],
      "same+1": [slot.front, more, `rear ${more} ≈ +1 front`],
    };
    for (const chip of this.root.querySelectorAll("[data-chip]")) {
      const [front, rear, text] = offers[chip.dataset.chip];
      this.#text(chip, text);
      chip.classList.toggle("bn-none", !rear); // keeps its place: nothing jumps
      chip.disabled = !this.has(front, rear);
      chip.onclick = () => this.set(front, rear);
    }
  }

  #slotButtons() {
    const place = this.part("slots");
    const buttons = place.querySelectorAll("[data-slot]");
    for (const button of buttons) {
      const index = Number(button.dataset.slot);
      const slot = this.slots[index];
      button.hidden = !slot;
      if (!slot) continue;
      button.setAttribute("aria-checked", String(index === this.picked));
      button.tabIndex = index === this.picked ? 0 : -1;
      this.#text(button.querySelector("[data-name]"), slot.name);
      this.#text(button.querySelector("[data-pair]"), `${slot.front}/${slot.rear}`);
    }
    this.root.style.setProperty("--bn-picked", `var(--bn-slot-${this.picked})`);
    place.querySelector("[data-add]").hidden = this.slots.length >= SLOTS;
    place.querySelector("[data-clear]").hidden = this.slots.length <= 2;
  }

  // --- Controls ----------------------------------------------------------------------------------

  #sliders = {};
  #tiles = {};

  #controls() {
    for (const box of this.root.querySelectorAll("[data-slider]")) {
      const name = box.dataset.slider;
      const input = box.querySelector("input");
      this.#sliders[name] = { input, output: box.querySelector("output") };
      const go = (value) => {
        if (name === "tyre") this.setTyre(value);
        else this.set(...["front", "rear"].map((each) =>
          each === name ? value : this.slots[this.picked][each]));
      };
      input.addEventListener("input", () => go(Number(input.value)));
      for (const step of box.querySelectorAll("[data-step]")) {
        step.addEventListener("click", () => {
          const value = Number(input.value) + Number(step.dataset.step);
          if (value >= Number(input.min) && value <= Number(input.max)) go(value);
        });
      }
      input.disabled = false;
    }
    for (const tile of this.root.querySelectorAll("[data-tile]")) {
      this.#tiles[tile.dataset.tile] = {
        number: tile.querySelector("[data-value] span"),
        range: tile.querySelector("[data-value] small"),
        what: tile.querySelector("[data-what]"),
      };
    }
    const place = this.part("slots");
    for (const button of place.querySelectorAll(".bn-none")) button.classList.remove("bn-none");
    place.addEventListener("click", (event) => {
      const button = event.target.closest("[data-slot]");
      if (button) this.#pickOrName(Number(button.dataset.slot));
      if (event.target.closest("[data-clear]")) this.clearSlot(this.picked);
      if (event.target.closest("[data-add]")) this.addSlot("Third");
    });
    place.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowDown: 1, ArrowLeft: -1, ArrowUp: -1 }[event.key];
      if (!step || !event.target.matches("[data-slot]")) return;
      event.preventDefault();
      this.pick(this.picked + step);
      place.querySelector('[aria-checked="true"]').focus();
    });
  }

  #ranges() {
    const { sold, tyres } = this.table.meta;
    for (const name of ["front", "rear"]) {
      const { input } = this.#sliders[name];
      [input.min, input.max] = sold[name];
    }
    this.#sliders.tyre.input.max = tyres.length - 1;
  }

  #say(name, detail) {
    this.root.dispatchEvent(new CustomEvent(`bench:${name}`, { bubbles: true, detail }));
  }
}

// --- The kernel's side of a served page ----------------------------------------------------------

// Writes into the kernel's text field, once that is there; only the newest one waits.
function tellByField() {
  let newest = null;
  const send = () => {
    const field = document.querySelector(".bn-tell input");
    if (!field) return void setTimeout(send, 200);
    const text = JSON.stringify(newest);
    newest = null;
    return void enter(field, text);
  };
  return (said) => {
    const idle = newest === null;
    newest = said;
    if (idle) send();
  };
}

// Tables that the kernel sends later: each is newer than the last.
function takeTables(bench, first) {
  let mark = first;
  let reading = Promise.resolve();
  const look = () => {
    const found = document.querySelector(".bn-tables [data-table]");
    const text = found?.dataset.table;
    if (!text || found.dataset.mark === mark) return;
    mark = found.dataset.mark;
    reading = reading.then(async () => {
      // A newer one may have come while this one waited.
      if (found.dataset.mark === mark) bench.take(await readTable(text));
    });
  };
  const watch = new MutationObserver(look);
  const begin = () => {
    const place = document.querySelector(".bn-tables");
    if (!place) return void setTimeout(begin, 200);
    watch.observe(place, { childList: true, subtree: true, attributes: true });
    look();
    return undefined;
  };
  begin();
}

// A reload right after a move asks for an address that does not have it yet (page.js): the tab keeps
// the set-ups that were left, and the same bench opened anew takes them.
function keepWhatIsLeft(bench) {
  const place = `bench left on ${location.pathname}`;
  const now = () => {
    const slots = bench.slots.map(({ name, front, rear, tyre }) => ({ name, front, rear, tyre }));
    return JSON.stringify({ bike: bench.table.meta.bike, slots, picked: bench.picked });
  };
  let left = null;
  try {
    left = sessionStorage.getItem(place);
    sessionStorage.removeItem(place);
  } catch { /* a browser may refuse to store anything */ }
  const { type } = performance.getEntriesByType("navigation")[0];
  if (left && type !== "navigate" && left !== now()) bench.resume(JSON.parse(left));
  // Said by page.js before Voilà's own listener cuts the websocket.
  addEventListener("ge-leaving", () => bench.letGo());
  addEventListener("pagehide", () => {
    try { sessionStorage.setItem(place, now()); } catch { /* as above */ }
  });
}

// BokehJS is the largest thing that the page loads; the bench answers by its numbers until then.
async function drawWhenBokehIsThere(bench) {
  const described = JSON.parse(bench.root.querySelector("[data-figures]").textContent);
  while (!window.Bokeh) await new Promise((resolve) => { setTimeout(resolve, WAIT); });
  bench.draw(await Charts.make(bench, bench.root, described));
}

export async function startBench(root, tell = null) {
  const place = root.querySelector("[data-table]");
  const untouched = root.cloneNode(true);
  const bench = new Bench(root, await readTable(place.textContent), tell);
  root.bench = bench;
  root.dataset.state = "live";
  drawWhenBokehIsThere(bench);
  // On paper the page's own address brings the same bench back, and the charts are made smaller as
  // they are: Bokeh lays nothing out anew before the page is printed.
  addEventListener("beforeprint", () => {
    for (const plot of root.querySelectorAll(".bn-plot")) {
      const { clientWidth: w, clientHeight: h, style } = plot;
      if (!w || !h || matchMedia("print").matches) continue;
      style.setProperty("--bn-w", `${w}px`);
      style.setProperty("--bn-h", `${h}px`);
      style.setProperty("--bn-zoom", Math.min(ON_PAPER[0] / w, ON_PAPER[1] / h));
    }
    root.querySelector("[data-address]").textContent = `This bench again: ${location.href}`;
  });
  if (root.dataset.served) {
    takeTables(bench, place.dataset.mark);
    keepWhatIsLeft(bench);
    const enter = (known) => import(`./bench_ask.js`).then(({ ask }) => ask(known), () => {});
    if (location.hash === "#own") enter(0);
    document.addEventListener("click", ({ target }) => {
      if (target.closest?.("[data-ask]")) enter();
      const button = target.closest?.("[data-save]");
      if (button) import(`./bench_file.js`).then(({ save }) => save(bench, untouched, button), () => {});
    });
  }
  for (const name of ["touch", "run", "offers", "picture", "glide"]) {
    import(`./bench_${name}.js`).then(({ attach }) => attach(bench), () => {});
  }
  return bench;
}

// The page may still be on its way: it is sent in pieces, with the table last.
function begin() {
  const root = document.getElementById("bench");
  if (root?.querySelector("[data-table-end]")) startBench(root, root.dataset.served ? tellByField() : null);
  else setTimeout(begin, WAIT);
}
begin();
