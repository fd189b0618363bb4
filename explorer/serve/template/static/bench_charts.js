// The three charts of the bench: Bokeh's figures (explorer/charts/gearing/bench_figures.py), whose
// named sources are filled here from the table, scaled to the reader's units.
//
// While a hand moves only lines and marks of the set-ups change, each source at once; axes hold
// still until something leaves them, and nothing is laid out anew. The speed cursor and whatever
// else comes and goes is drawn on a canvas of its own above each figure.

import { Plot } from "./bench_plot.js";

const NAMES = ["shift", "pull", "tradeoff"];
const NEAR = [2, 4]; // front and rear teeth from the fitted pair within which one is drawn in full
const PALE = 8; // px that a pair drawn pale seems further away
const GRAB = 14; // px around a set-up's mark by which it is dragged
const BEST = 5; // pairs that carry their teeth
const [ANOTHER, BLOCKED] = [1, 2]; // only another chain goes round a pair, or none

// --- The three ------------------------------------------------------------------------------------

export class Charts {
  // Resolves when all three stand; before, the bench answers by its numbers alone.
  static async make(bench, root, { figures, looks }) {
    const charts = new Charts();
    Object.assign(charts, { bench, looks });
    for (const figure of root.querySelectorAll("[data-chart]")) {
      const name = figure.dataset.chart;
      charts[name] = new Plot(figure, figures[name], looks);
    }
    charts.ground();
    charts.draw();
    for (const name of NAMES) await charts[name].show();
    for (const name of ["shift", "pull"]) charts.#listen(charts[name]);
    // A window of another size: words are placed anew when Bokeh has laid its figures out.
    const sized = new ResizeObserver(() => requestAnimationFrame(() => requestAnimationFrame(() => charts.drawOverlays())));
    sized.observe(root.querySelector(".bn-charts"));
    return charts;
  }

  #listen(plot) {
    const { bench } = this;
    plot.speedAt = (pixel) => plot.shownAt(pixel) / bench.table.meta.speed[0];
    plot.place.addEventListener("pointermove", (event) => {
      if (event.pointerType === "touch" && !event.isPrimary) return;
      bench.cursor(plot.speedAt(event.clientX - plot.place.getBoundingClientRect().left));
    });
    plot.place.addEventListener("pointerleave", () => bench.cursor(null));
    // By keyboard the arrows move the cursor, by one unit of speed.
    plot.place.addEventListener("keydown", (event) => {
      const step = { ArrowLeft: -1, ArrowRight: 1 }[event.key];
      if (!step) return;
      event.preventDefault();
      const [factor] = bench.table.meta.speed;
      bench.cursor(Math.max(0, Math.round((bench.cursorSpeed ?? 0) * factor) + step) / factor);
    });
    plot.place.addEventListener("focusout", () => bench.cursor(null));
  }

  // Above the lines, where the hand came from (bench_glide.js).
  drawMove = () => {};

  // A new table: what does not change with a sprocket is drawn once.
  ground() {
    const { meta } = this.bench.table;
    const [factor, unit] = meta.speed;
    const [perForce, forceUnit] = meta.force;
    const { looks } = this;
    const ground = (plot, rows) => {
      const columns = { xs: [], ys: [], colour: [], dash: [], width: [] };
      for (const row of rows) {
        for (const [at, name] of Object.keys(columns).entries()) columns[name].push(row[at]);
      }
      plot.sources.ground.data = columns;
    };
    const far = meta.resistance.speed.at(-1) * factor * 2;
    this.shift.name(`Road speed, ${unit}`, "Engine speed, rpm");
    const [bottom, top] = meta.band ?? [0, 0];
    this.shift.band.setv({ bottom, top });
    ground(this.shift, [[[0, far], [meta.limiter, meta.limiter], looks.limit, "solid", 1.5]]);
    this.pull.name(`Road speed, ${unit}`, `Pull at the tyre, ${forceUnit}`);
    const { speed, pull } = meta.resistance;
    const limits = [[meta.grip, "9 3 2 3"], [meta.lift, "4 4"]].filter(([force]) => force !== null);
    ground(this.pull, [
      [speed.map((value) => value * factor), pull.map((value) => value * perForce), looks.resistance, "solid", 1.5],
      ...limits.map(([force, dash]) => [[0, far], [force * perForce, force * perForce], looks.limit, dash, 1.5]),
    ]);
    this.#pairs();
  }

  // The picked slot is drawn last, above the others.
  #order() {
    const { slots, picked } = this.bench;
    return slots.map((slot, at) => ({ ...slot, at, picked: at === picked, colour: this.looks.colours[at] }))
      .filter(({ row }) => row >= 0)
      .sort((one, other) => one.picked - other.picked);
  }

  draw(names = NAMES) {
    const order = this.#order();
    for (const name of names) {
      const plot = this[name];
      if (plot.view) plot.laidAnew(); // words are placed by the box as it is
      plot.begin();
      this[`draw_${name}`](plot, order);
      plot.end();
    }
    // Bokeh paints in the next frame; the overlay follows its axes.
    requestAnimationFrame(() => this.drawOverlays());
  }

  #fastest = (order) => {
    const { meta, arrays } = this.bench.table;
    return meta.speed[0] * Math.max(...order.map(({ row }) => arrays.limiter_speed.at(row)[meta.gears - 1]));
  };

  draw_shift(plot, order) {
    const { meta, arrays } = this.bench.table;
    const [factor] = meta.speed;
    plot.hold([0, this.#fastest(order), 0, meta.limiter * 1.15], this.bench.moving);
    const numbers = [];
    for (const { row, at, picked, colour } of order) {
      const ends = arrays.limiter_speed.at(row);
      const starts = arrays.idle_speed.at(row);
      if (picked) {
        for (let gear = 0; gear < meta.gears; gear += 1) {
          const x = ends[gear] * factor;
          numbers.push(plot.x(x));
          plot.line([starts[gear] * factor, x], [meta.idle, meta.limiter], colour, "1 3", 1.5);
          plot.point(x, meta.limiter, { text: `${gear + 1}`, colour, align: "center", dy: -10 });
        }
      }
      const speeds = Array.from(arrays.path_speed.at(row), (speed) => speed * factor);
      plot.line(speeds, Array.from(arrays.path_rpm.at(row)), colour, this.looks.dashes[at], picked ? 3.5 : 2);
    }
    // Beside the gears' numbers, at the left where the first leaves room.
    const { x: left, w } = plot.box;
    const free = (from, wide) => numbers.every((x) => x < from - 12 || x > from + wide + 8);
    const [text, place] = [["rev limit", 68, true], ["rev limit", 62, false], ["limit", 40, true]]
      .filter(([, wide, atLeft]) => free(atLeft ? left : left + w - wide, wide))
      .map(([said, , atLeft]) => [said, atLeft ? { x: 0, align: "left", dx: 3, dy: -8 } : { dy: -8 }])
      .concat([["limit", { x: 0, align: "left", dx: 3, dy: 10 }]])[0];
    this.#corner(plot, meta.limiter, text, this.looks.limit, place);
    if (meta.band) this.#corner(plot, meta.band[0], "power band", this.looks.ink_quiet, { dy: 9, ground: this.looks.veil });
  }

  #corner(plot, y, text, colour, more = {}) {
    plot.point(more.x ?? plot.held[1], y, { text, colour, align: "right", dx: -4, dy: -9, ...more });
  }

  draw_pull(plot, order) {
    const { meta, arrays } = this.bench.table;
    const [factor] = meta.speed;
    const [perForce] = meta.force;
    let most = 0;
    for (const { row } of order) for (const value of arrays.pull.at(row)) most = Math.max(most, value);
    // A limit that is nearly reached is in the picture with its name above it.
    const near = [meta.grip, meta.lift].filter((force) => force !== null && force < most * 1.25);
    const room = Math.max(1.08, plot.box.h / Math.max(plot.box.h - 20, 20));
    const highest = Math.max(most * 1.08, ...near.map((force) => force * room)) * perForce;
    plot.hold([0, this.#fastest(order), 0, highest], this.bench.moving);
    for (const { row, at, picked, colour } of order) {
      for (const { xs, ys } of this.pullCurves(row)) {
        plot.line(xs, ys, colour, this.looks.dashes[at], picked ? 3 : 1.5);
      }
    }
    for (const { row, at, picked, colour } of order) {
      const top = arrays.top_speed.at(row);
      if (!(top > 0)) continue;
      const [x, y] = [top * factor, this.resistanceAt(top) * perForce];
      plot.point(x, y, { marker: this.looks.markers[at], size: picked ? 11 : 8, fill: colour, line: this.looks.paper });
    }
    // Each above its line, or below it where there is no room.
    const words = [];
    let ceiling = plot.box.y;
    for (const [text, force] of [["rear tyre spins", meta.grip], ["front wheel lifts", meta.lift]]
      .filter(([, each]) => each !== null && each * perForce <= plot.held[3]).sort((one, other) => other[1] - one[1])) {
      const y = plot.y(force * perForce);
      if (y - 18 >= ceiling) this.#corner(plot, force * perForce, text, this.looks.limit);
      else words.push({ at: [plot.box.x + plot.box.w, y], text, colour: this.looks.limit, under: true });
      ceiling = y;
    }
    const placeOf = (speed) => [plot.x(speed * factor), plot.y(this.resistanceAt(speed) * perForce)];
    const { row, colour } = order.at(-1) ?? {};
    const top = row === undefined ? 0 : arrays.top_speed.at(row);
    plot.nearby([
      ...words,
      ...(top > 0 ? [{ at: placeOf(top), text: `top speed: ${meta.limits[arrays.top_limit.at(row)]}`, colour }] : []),
      { at: placeOf((plot.held[1] * 0.45) / factor), text: "resistance", colour: this.looks.ink, under: true },
    ]);
  }

  // Pull in each gear over road speed, as it is drawn.
  pullCurves(row) {
    const { meta, arrays } = this.bench.table;
    const [[factor], [perForce]] = [meta.speed, meta.force];
    const [ends, starts] = [arrays.limiter_speed.at(row), arrays.idle_speed.at(row)];
    const pulls = arrays.pull.at(row);
    const points = pulls.length / meta.gears;
    return Array.from({ length: meta.gears }, (_, gear) => {
      const step = ((ends[gear] - starts[gear]) * factor) / (points - 1);
      return {
        xs: Array.from({ length: points }, (_each, place) => starts[gear] * factor + step * place),
        ys: Array.from({ length: points }, (_each, place) => pulls[gear * points + place] * perForce),
      };
    });
  }

  // Where the ground sets the top speed, the trade-off shows what a gear still reaches.
  get #geared() {
    return this.bench.table.arrays.map_geared.at(0) > 0;
  }

  #speedOf(row) {
    const { meta, arrays } = this.bench.table;
    const top = Number(arrays.top_speed.at(row));
    return this.#geared && top > 0 ? arrays.limiter_speed.at(row)[meta.gears - 1] : top;
  }

  // Where a row stands on the trade-off.
  placeOf(row) {
    const { meta, arrays } = this.bench.table;
    return [this.#speedOf(row) * meta.speed[0], arrays.measure.at(row) * meta.measure.factor];
  }

  // Every pair that is near the fitted one or among the best; the others as small and pale.
  #pairs() {
    const { bench, looks, tradeoff: plot } = this;
    const { meta, arrays } = bench.table;
    const [fronts, rears, speeds, values, best, chain] = ["front", "rear", "speed", "measure", "best", "chain"]
      .map((name) => arrays[`map_${name}`].values);
    const [{ front, rear }] = bench.slots;
    this.points = [];
    for (let at = 0; at < fronts.length; at += 1) {
      if (!(speeds[at] > 0) || !Number.isFinite(values[at])) continue;
      this.points.push({
        front: fronts[at],
        rear: rears[at],
        x: speeds[at] * meta.speed[0],
        y: values[at] * meta.measure.factor,
        best: best[at] > 0,
        blocked: chain[at] === BLOCKED,
        another: chain[at] === ANOTHER,
        near: Math.abs(fronts[at] - front) <= NEAR[0] && Math.abs(rears[at] - rear) <= NEAR[1],
      });
    }
    const column = (of) => this.points.map(of);
    plot.sources.pairs.data = {
      x: column(({ x }) => x),
      y: column(({ y }) => y),
      size: column(({ best: isBest }) => (isBest ? 8 : 6)),
      marker: column(({ blocked }) => (blocked ? "x" : "circle")),
      // A ring needs another chain.
      fill: column(({ best: isBest, another }) => (another ? looks.paper : isBest ? looks.best : looks.pair)),
      line: column(({ best: isBest, blocked }) => (isBest && !blocked ? looks.best : looks.pair)),
      alpha: column(({ near, blocked }) => (near && !blocked ? 1 : 0.25)),
    };
    const marked = this.points.filter(({ best: isBest, blocked, near }) => isBest && !blocked && near)
      .sort((one, other) => one.x - other.x);
    const places = marked.length <= BEST ? marked.keys()
      : Array.from({ length: BEST }, (_, at) => Math.round((at * (marked.length - 1)) / (BEST - 1)));
    this.marked = Array.from(places, (at) => marked[at]);
  }

  draw_tradeoff(plot, order) {
    const { bench, looks, points } = this;
    const { meta, arrays } = bench.table;
    const slots = order.map((slot) => ({
      ...slot,
      ...Object.fromEntries(this.placeOf(slot.row).map((value, at) => ["xy"[at], value])),
    })).filter(({ x, y }) => x > 0 && Number.isFinite(y));
    const shown = [...points.filter(({ near, blocked }) => near && !blocked), ...slots];
    if (!shown.length) return;
    const ends = (values) => {
      const [low, high] = [Math.min(...values), Math.max(...values)];
      const room = Math.max((high - low) * 0.08, 0.01 * high);
      return [low - room, high + room];
    };
    const { name, unit, better } = meta.measure;
    // In a low chart the name takes several lines.
    const most = Math.max(Math.floor(plot.box.h / 6), 12);
    plot.name(`${this.#geared ? "Rev limit in top gear" : "Top speed"}, ${meta.speed[1]} (faster →)`,
      `${name}, ${unit}`.replace(new RegExp(`(.{1,${most}})( |$)`, "g"), "$1\n").trim());
    const down = better === "lower";
    plot.hold([...ends(shown.map(({ x }) => x)), ...ends(shown.map(({ y }) => y))], bench.moving, down);
    const taken = [];
    const take = (text, line) => {
      const wide = plot.wide(text);
      for (let from = 0; from < wide; from += 46) taken.push([plot.box.x + 4 + Math.min(from, wide - 46), line]);
    };
    const toBetter = `↑ ${meta.measure.way}`;
    take(toBetter, plot.box.y + 10);
    this.#corner(plot, plot.held[down ? 2 : 3], toBetter, looks.best,
      { x: plot.held[0], align: "left", dx: 4, dy: 10, ground: looks.veil });
    // What the marks say, where slow and weak pairs would be: there is none.
    const [west, east, south, north] = plot.held;
    const seen = points.filter(({ x, y }) => x >= west && x <= east && y >= south && y <= north);
    const marks = [
      ["pale: far from fitted", looks.ink_quiet, ({ near, blocked }) => !near && !blocked],
      ["× no chain", looks.ink_quiet, ({ blocked }) => blocked],
      ["○ another chain", looks.ink_quiet, ({ another }) => another],
      ["● best", looks.best, ({ best, another, blocked }) => best && !another && !blocked],
    ].filter(([, , drawn]) => seen.some(drawn));
    for (const [at, [text, colour]] of marks.entries()) {
      const dy = -10 - 16 * at;
      take(text, plot.box.y + plot.box.h + dy);
      this.#corner(plot, down ? north : south, text, colour,
        { x: west, align: "left", dx: 4, dy, ground: looks.veil });
    }
    // The picked one first, then the fitted.
    for (const slot of [...slots.slice(-1), ...slots.slice(0, -1)]) {
      const look = { text: `${slot.front}/${slot.rear}`, colour: slot.colour, ground: looks.veil };
      const placed = this.#beside(plot, taken, slots, slot, look);
      if (!placed && slot.picked) plot.point(slot.x, slot.y, { ...look, dx: 8, dy: -11 });
    }
    for (const pair of this.marked) {
      const { front, rear } = pair;
      if (slots.some((slot) => slot.front === front && slot.rear === rear)) continue;
      this.#beside(plot, taken, slots, pair, { text: `${front}/${rear}`, colour: looks.best, ground: looks.veil });
    }
    for (const slot of slots) {
      plot.point(slot.x, slot.y, {
        marker: looks.markers[slot.at], size: slot.picked ? 15 : 10, fill: slot.colour, line: looks.paper,
      });
    }
    const { previewed } = bench;
    const point = previewed && points.find(({ front, rear }) => front === previewed.front && rear === previewed.rear);
    if (point) plot.point(point.x, point.y, { size: 18, fill: looks.clear, line: looks.ink });
  }

  // Teeth beside a mark, where they fit on the chart, cover no others and no set-up's mark, and of the
  // pairs' the fewest; else left out.
  #beside(plot, taken, slots, { x, y }, look) {
    const [px, py, { x: left, y: top, w, h }] = [plot.x(x), plot.y(y), plot.box];
    const covered = (marks, from, middle) => marks.filter((each) =>
      Math.abs(plot.x(each.x) - from - 22) < 28 && Math.abs(plot.y(each.y) - middle) < 12).length;
    const drawn = this.points.filter(({ near, blocked }) => near && !blocked);
    const [best] = [["left", -11], ["right", -11], ["left", 12], ["right", 12]]
      .map(([align, dy]) => ({ align, dy, from: px + (align === "left" ? 8 : -56), middle: py + dy }))
      .filter(({ from, middle }) => from >= left && from + 48 <= left + w && middle - 8 >= top && middle + 8 <= top + h
        && !taken.some(([otherX, otherY]) => Math.abs(otherX - from) < 50 && Math.abs(otherY - middle) < 16)
        && !covered(slots, from, middle))
      .map((place) => ({ ...place, covers: covered(drawn, place.from, place.middle) }))
      .sort((one, other) => one.covers - other.covers);
    if (!best) return false;
    const { align, dy, from, middle } = best;
    taken.push([from, middle]);
    plot.point(x, y, { ...look, align, dx: align === "left" ? 8 : -8, dy });
    return true;
  }

  // --- Reading off the drawing -------------------------------------------------------------------

  resistanceAt(speed) {
    const { speed: speeds, pull } = this.bench.table.meta.resistance;
    const found = speeds.findIndex((value) => value >= speed);
    const at = found < 1 ? speeds.length - 1 : found;
    const share = (speed - speeds[at - 1]) / (speeds[at] - speeds[at - 1]);
    return pull[at - 1] + share * (pull[at] - pull[at - 1]);
  }

  // Along a gear's straight line; below it the clutch slips at the launch speed.
  rpmIn(row, gear, speed) {
    const { meta, arrays } = this.bench.table;
    const [start, end] = [arrays.idle_speed.at(row)[gear], arrays.limiter_speed.at(row)[gear]];
    const rpm = meta.idle + ((speed - start) / (end - start)) * (meta.limiter - meta.idle);
    return Math.max(rpm, meta.launch);
  }

  // Gear on the way through the gears at a speed, engine speed there, pull and what of it is left
  // above the resistance; nothing beyond the way's end.
  at(row, speed) {
    const { meta, arrays } = this.bench.table;
    const corner = arrays.path_speed.at(row).findIndex((value) => value >= speed);
    if (corner < 0 || speed < 0) return null;
    const gear = Math.floor(corner / 3);
    const [start, end] = [arrays.idle_speed.at(row)[gear], arrays.limiter_speed.at(row)[gear]];
    const pulls = arrays.pull.at(row);
    const points = pulls.length / meta.gears;
    const place = Math.min(Math.max(((speed - start) / (end - start)) * (points - 1), 0), points - 1.001);
    const before = gear * points + Math.floor(place);
    const pull = pulls[before] + (place % 1) * (pulls[before + 1] - pulls[before]);
    return { gear, rpm: this.rpmIn(row, gear, speed), pull, reserve: pull - this.resistanceAt(speed) };
  }

  drawOverlays() {
    let laidAnew = false;
    for (const name of NAMES) {
      const plot = this[name];
      if (!plot.view) continue;
      laidAnew = plot.laidAnew() || laidAnew;
      plot.fit();
      plot.over.clearRect(0, 0, plot.overlay.width, plot.overlay.height);
      this.drawMove(name, plot);
      if (this.bench.cursorSpeed !== null && name !== "tradeoff") this.#cursor(name, plot);
      this.bench.drawOverlay(name, plot.over);
    }
    // Words beside marks were placed by a box that is another now.
    if (laidAnew) this.draw();
  }

  // A line at a speed on shift and pull chart together, with what each set-up does there.
  #cursor(name, plot) {
    const { meta } = this.bench.table;
    const { looks } = this;
    const speed = this.bench.cursorSpeed;
    const [x, { x: left, y: top, w, h }] = [plot.x(speed * meta.speed[0]), plot.box];
    if (x < left || x > left + w) return;
    const { over: ink } = plot;
    ink.strokeStyle = looks.ink_quiet;
    ink.beginPath();
    ink.moveTo(x, top);
    ink.lineTo(x, top + h);
    ink.stroke();
    const lines = [[`${Math.round(speed * meta.speed[0])} ${meta.speed[1]}`, looks.ink]];
    for (const slot of this.#order().reverse()) {
      const here = this.at(slot.row, speed);
      if (!here) continue;
      const said = name === "shift"
        ? `gear ${here.gear + 1}, ${Math.round(here.rpm / 10) * 10} rpm`
        : `${Number((here.reserve * meta.force[0]).toPrecision(2))} ${meta.force[1]} in reserve`;
      lines.push([`${slot.name}: ${said}`, slot.colour]);
      ink.fillStyle = slot.colour;
      ink.beginPath();
      ink.arc(x, plot.y(name === "shift" ? here.rpm : here.pull * meta.force[0]), 4, 0, 7);
      ink.fill();
    }
    ink.font = `12px ${getComputedStyle(plot.place).fontFamily}`;
    ink.textBaseline = "middle";
    const wide = Math.max(...lines.map(([text]) => ink.measureText(text).width));
    const start = x + 11 + wide > left + w ? x - 11 - wide : x + 9;
    ink.fillStyle = looks.veil;
    ink.fillRect(start - 3, top + 4, wide + 6, lines.length * 15 + 2);
    for (const [at, [text, colour]] of lines.entries()) {
      ink.fillStyle = colour;
      ink.fillText(text, start, top + 13 + at * 15);
    }
  }

  // Whether the mark of a row is at a place on the screen.
  isAt(row, clientX, clientY) {
    const { meta, arrays } = this.bench.table;
    const plot = this.tradeoff;
    const { left, top } = plot.place.getBoundingClientRect();
    const x = plot.x(this.#speedOf(row) * meta.speed[0]) - (clientX - left);
    const y = plot.y(arrays.measure.at(row) * meta.measure.factor) - (clientY - top);
    return Math.hypot(x, y) < GRAB;
  }

  // The drawn pair nearest to a place on the screen.
  pairAt(clientX, clientY, reach) {
    const plot = this.tradeoff;
    const { left, top } = plot.place.getBoundingClientRect();
    let nearest = reach ?? (matchMedia("(pointer: coarse)").matches ? 24 : 16);
    let found = null;
    for (const { front, rear, x, y, near, blocked } of this.points) {
      // Of pairs in one place the one that is drawn in full.
      const pale = near && !blocked ? 0 : PALE;
      const away = pale + Math.hypot(plot.x(x) - (clientX - left), plot.y(y) - (clientY - top));
      if (away < nearest) [found, nearest] = [{ front, rear }, away];
    }
    return found;
  }
}
