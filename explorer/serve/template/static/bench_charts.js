// The three charts of the bench on canvases of their own: shift chart, pull chart, trade-off.
//
// Only what the table holds is drawn, scaled to the reader's units. A repaint takes a few
// milliseconds, so nothing is kept between two but the axes, which hold still while a hand moves.

const DASHES = [[7, 4], [], [2, 3], [9, 3, 2, 3]]; // of the slots; a dash says what a colour says
const MARKS = ["square", "circle", "triangle", "diamond"];
const NEAR = 4; // teeth from the fitted pair within which a pair is drawn in full
const BEST = 5; // pairs that carry their teeth
const BLOCKED = 2; // first verdict of the chain that says "does not fit"

const nice = (span, count) => {
  const rough = span / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 2.5, 5, 10].map((step) => step * power).find((step) => step >= rough);
};

// --- One canvas with its axes --------------------------------------------------------------------

class Plot {
  constructor(figure, redraw) {
    this.place = figure.querySelector(".bn-plot");
    this.canvas = document.createElement("canvas");
    this.canvas.className = "bn-canvas";
    this.overlay = document.createElement("canvas");
    this.overlay.className = "bn-overlay";
    for (const each of [this.canvas, this.overlay]) each.setAttribute("aria-hidden", "true");
    this.place.replaceChildren(this.canvas, this.overlay);
    this.ink = this.canvas.getContext("2d");
    this.over = this.overlay.getContext("2d");
    this.held = null;
    new ResizeObserver(() => this.#fit() && redraw()).observe(this.place);
    this.#fit();
  }

  #fit() {
    const { width, height } = this.place.getBoundingClientRect();
    const dense = window.devicePixelRatio || 1;
    if (width === this.width && height === this.height && dense === this.dense) return false;
    Object.assign(this, { width, height, dense });
    for (const [each, ink] of [[this.canvas, this.ink], [this.overlay, this.over]]) {
      each.width = Math.round(width * dense);
      each.height = Math.round(height * dense);
      ink.setTransform(dense, 0, 0, dense, 0, 0);
    }
    return true;
  }

  // Axes grow with what is shown at once, and shrink only when the hand rests.
  hold(wanted, moving) {
    const held = this.held;
    const within = held && wanted[0] >= held[0] && wanted[1] <= held[1]
      && wanted[2] >= held[2] && wanted[3] <= held[3];
    if (!(moving && within)) {
      const spread = (low, high) => {
        const step = nice(high - low, 6);
        return [Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step];
      };
      this.held = [...spread(wanted[0], wanted[1]), ...spread(wanted[2], wanted[3])];
    }
    [this.left, this.right, this.bottom, this.up] = this.held;
  }

  begin(look, { xName, yName, down = false, yText = (value) => String(value) }) {
    const { ink, width, height } = this;
    ink.clearRect(0, 0, width, height);
    ink.font = look.font;
    ink.textBaseline = "middle";
    const yStep = nice(this.up - this.bottom, Math.max(2, height / 45));
    const xStep = nice(this.right - this.left, Math.max(2, width / 70));
    const marks = [];
    for (let at = Math.ceil(this.bottom / yStep - 1e-9); at * yStep <= this.up * (1 + 1e-9); at += 1) {
      marks.push(+(at * yStep).toPrecision(10));
    }
    const room = Math.max(...marks.map((mark) => ink.measureText(yText(mark)).width));
    this.box = { x: room + 8, y: 18, w: width - room - 16, h: height - 18 - 32 };
    this.down = down;
    ink.strokeStyle = look.grid;
    ink.fillStyle = look.quiet;
    ink.lineWidth = 1;
    ink.setLineDash([]);
    ink.beginPath();
    ink.textAlign = "right";
    for (const mark of marks) {
      const y = Math.round(this.y(mark)) + 0.5;
      ink.moveTo(this.box.x, y);
      ink.lineTo(this.box.x + this.box.w, y);
      ink.fillText(yText(mark), this.box.x - 4, y);
    }
    ink.textAlign = "center";
    for (let at = Math.ceil(this.left / xStep - 1e-9); at * xStep <= this.right * (1 + 1e-9); at += 1) {
      const x = Math.round(this.x(at * xStep)) + 0.5;
      ink.moveTo(x, this.box.y);
      ink.lineTo(x, this.box.y + this.box.h);
      ink.fillText(String(+(at * xStep).toPrecision(6)), x, this.box.y + this.box.h + 9);
    }
    ink.stroke();
    ink.textAlign = "left";
    ink.fillText(yName, 0, 8);
    ink.textAlign = "right";
    ink.fillText(xName, width - 4, height - 7);
  }

  x = (value) => this.box.x + ((value - this.left) / (this.right - this.left)) * this.box.w;
  y = (value) => {
    const share = (value - this.bottom) / (this.up - this.bottom);
    return this.box.y + (this.down ? share : 1 - share) * this.box.h;
  };

  line(points, colour, width, dash = []) {
    const { ink } = this;
    ink.strokeStyle = colour;
    ink.lineWidth = width;
    ink.setLineDash(dash);
    ink.lineJoin = "round";
    ink.beginPath();
    for (const [x, y] of points) ink.lineTo(this.x(x), this.y(y));
    ink.stroke();
  }

  // Words on a chart stand on a ground of their own, and never over words that are there already.
  label(text, x, y, colour, look, align = "left") {
    const { ink } = this;
    const wide = ink.measureText(text).width;
    const left = align === "right" ? x - wide : align === "center" ? x - wide / 2 : x;
    const kept = Math.min(Math.max(left, this.box.x), this.width - wide - 2);
    const hit = (place) => this.taken.some((other) => place.l < other.r && place.r > other.l
      && place.t < other.b && place.b > other.t);
    for (const shift of [0, -14, 14, -28, 28]) {
      const place = { l: kept - 2, r: kept + wide + 2, t: y + shift - 7, b: y + shift + 7 };
      if (place.t < 0 || place.b > this.height - 26 || hit(place)) continue;
      this.taken.push(place);
      ink.globalAlpha = 0.8;
      ink.fillStyle = look.ground;
      ink.fillRect(place.l, place.t, place.r - place.l, 14);
      ink.globalAlpha = 1;
      ink.fillStyle = colour;
      ink.textAlign = "left";
      ink.fillText(text, kept, y + shift);
      return true;
    }
    return false;
  }

  mark(shape, x, y, size, colour, look, filled = true) {
    const { ink } = this;
    ink.setLineDash([]);
    ink.beginPath();
    if (shape === "circle") ink.arc(x, y, size, 0, 7);
    else if (shape === "square") ink.rect(x - size, y - size, 2 * size, 2 * size);
    else {
      const corners = shape === "triangle" ? [[0, -1.2], [1.1, 0.8], [-1.1, 0.8]]
        : [[0, -1.3], [1.3, 0], [0, 1.3], [-1.3, 0]];
      for (const [dx, dy] of corners) ink.lineTo(x + dx * size, y + dy * size);
      ink.closePath();
    }
    ink.lineWidth = 1.5;
    ink.fillStyle = filled ? colour : look.ground;
    ink.strokeStyle = filled ? look.ground : colour;
    ink.fill();
    ink.stroke();
  }
}

// --- The three ------------------------------------------------------------------------------------

export class Charts {
  constructor(bench, root) {
    this.bench = bench;
    this.root = root;
    const redraw = () => bench.table && this.draw();
    for (const figure of root.querySelectorAll("[data-chart]")) {
      this[figure.dataset.chart] = new Plot(figure, redraw);
    }
    this.#look();
    matchMedia("(prefers-color-scheme: dark)").addEventListener("change", () => {
      this.#look();
      redraw();
    });
    for (const name of ["shift", "pull"]) {
      const plot = this[name];
      plot.speedAt = (pixel) => {
        const shown = plot.left + ((pixel - plot.box.x) / plot.box.w) * (plot.right - plot.left);
        return shown / bench.table.meta.speed[0];
      };
      plot.overlay.addEventListener("pointermove", (event) => {
        if (event.pointerType === "touch" && !event.buttons) return;
        bench.cursor(plot.speedAt(event.clientX - plot.place.getBoundingClientRect().left));
      });
      plot.overlay.addEventListener("pointerleave", () => bench.cursor(null));
    }
  }

  #look() {
    const style = getComputedStyle(this.root);
    const colour = (name, or) => style.getPropertyValue(`--bn-${name}`).trim() || or;
    this.look = {
      slots: ["#737373", "#0072b2", "#b34700", "#007a59"].map((or, at) => colour(`slot-${at}`, or)),
      ink: colour("ink", "#1f1f1f"),
      quiet: colour("quiet", "#4d4d4d"),
      grid: colour("grid", "#e8e8e8"),
      ground: colour("ground", "#ffffff"),
      band: colour("band", "#f0e44255"),
      blocked: colour("blocked", "#9aa5ad"),
      best: colour("best", "#007a59"),
      font: `12px ${style.fontFamily || "sans-serif"}`,
    };
  }

  forget() {
    this.tops = null;
  }

  settle() {
    this.draw();
  }

  // The picked slot is drawn last, above the others.
  #order() {
    const { slots, picked } = this.bench;
    return slots.map((slot, at) => ({ ...slot, at, picked: at === picked }))
      .filter(({ row }) => row >= 0)
      .sort((one, other) => one.picked - other.picked);
  }

  draw(names = ["shift", "pull", "tradeoff"]) {
    for (const name of names) {
      const plot = this[name];
      if (!plot || plot.width < 60 || plot.height < 60) continue; // hidden, as on a phone
      plot.taken = [];
      this[`draw_${name}`](plot);
    }
    this.drawOverlays();
  }

  #colour = (slot) => this.look.slots[slot.at];

  draw_shift(plot) {
    const { meta, arrays } = this.bench.table;
    const [factor, unit] = meta.speed;
    const order = this.#order();
    const fastest = Math.max(...order.map(({ row }) => Math.max(...arrays.limiter_speed.at(row))));
    plot.hold([0, fastest * factor, 0, meta.limiter * 1.04], this.bench.moving);
    plot.begin(this.look, { xName: `road speed, ${unit}`, yName: "engine speed, rpm" });
    const { ink, box } = plot;
    ink.fillStyle = this.look.band;
    const top = plot.y(meta.band[1]);
    ink.fillRect(box.x, top, box.w, plot.y(meta.band[0]) - top);
    plot.line([[plot.left, meta.limiter], [plot.right, meta.limiter]], this.look.quiet, 1, [3, 3]);
    for (const slot of order) {
      const colour = this.#colour(slot);
      const ends = arrays.limiter_speed.at(slot.row);
      const starts = arrays.idle_speed.at(slot.row);
      if (slot.picked) {
        ink.globalAlpha = 0.4;
        for (let gear = 0; gear < meta.gears; gear += 1) {
          plot.line([[starts[gear] * factor, meta.idle], [ends[gear] * factor, meta.limiter]], colour, 1.2);
        }
        ink.globalAlpha = 1;
      }
      const speeds = arrays.path_speed.at(slot.row);
      const rpms = arrays.path_rpm.at(slot.row);
      const path = Array.from(speeds, (speed, at) => [speed * factor, rpms[at]]);
      ink.globalAlpha = slot.picked ? 1 : 0.7;
      plot.line(path, colour, slot.picked ? 3 : 1.5, DASHES[slot.at]);
      ink.globalAlpha = 1;
      if (slot.picked) {
        for (let gear = 0; gear < meta.gears; gear += 1) {
          plot.label(`${gear + 1}`, plot.x(ends[gear] * factor), plot.y(meta.limiter) - 8, colour, this.look, "center");
        }
      }
    }
    this.#legend(plot, order);
    plot.label("power band", box.x + 4, (top + plot.y(meta.band[0])) / 2, this.look.quiet, this.look);
  }

  draw_pull(plot) {
    const { meta, arrays } = this.bench.table;
    const [factor, unit] = meta.speed;
    const [perForce, forceUnit] = meta.force;
    const order = this.#order();
    const most = Math.max(...order.map(({ row }) =>
      arrays.pull.at(row).reduce((sum, value) => Math.max(sum, value), 0)));
    const fastest = Math.max(...order.map(({ row }) => Math.max(...arrays.limiter_speed.at(row))));
    plot.hold([0, fastest * factor, 0, most * perForce * 1.05], this.bench.moving);
    plot.begin(this.look, { xName: `road speed, ${unit}`, yName: `pull at the tyre, ${forceUnit}` });
    const { ink } = plot;
    ink.save();
    ink.beginPath();
    ink.rect(plot.box.x, plot.box.y, plot.box.w, plot.box.h);
    ink.clip();
    for (const slot of order) {
      const colour = this.#colour(slot);
      const ends = arrays.limiter_speed.at(slot.row);
      const starts = arrays.idle_speed.at(slot.row);
      const pulls = arrays.pull.at(slot.row);
      const points = pulls.length / meta.gears;
      for (let gear = 0; gear < meta.gears; gear += 1) {
        const curve = Array.from({ length: points }, (_, at) => [
          (starts[gear] + (ends[gear] - starts[gear]) * (at / (points - 1))) * factor,
          pulls[gear * points + at] * perForce,
        ]);
        ink.globalAlpha = slot.picked ? 1 : 0.6;
        plot.line(curve, colour, slot.picked ? 2.5 : 1.2, DASHES[slot.at]);
      }
      ink.globalAlpha = 1;
    }
    const { speed, pull } = meta.resistance;
    plot.line(speed.map((value, at) => [value * factor, pull[at] * perForce]), this.look.ink, 1.5);
    ink.restore();
    for (const slot of order) {
      const top = arrays.top_speed.at(slot.row);
      if (!(top > 0)) continue;
      const y = plot.y(this.resistanceAt(top) * perForce);
      plot.mark(MARKS[slot.at], plot.x(top * factor), y, slot.picked ? 5 : 4, this.#colour(slot), this.look);
      if (slot.picked) {
        const limit = meta.limits[arrays.top_limit.at(slot.row)];
        plot.label(`top speed: ${limit}`, plot.x(top * factor), y - 14, this.#colour(slot), this.look, "right");
      }
    }
    for (const [name, value] of [["rear tyre spins", meta.grip], ["front wheel lifts", meta.lift]]) {
      if (value === null || value * perForce > plot.up) continue;
      plot.line([[plot.left, value * perForce], [plot.right, value * perForce]], this.look.quiet, 1, [9, 3, 2, 3]);
      plot.label(name, plot.width - 8, plot.y(value * perForce) - 8, this.look.quiet, this.look, "right");
    }
    this.#legend(plot, order);
    const last = speed.length - 1;
    plot.label("resistance", plot.x(speed[last] * factor) - 4, plot.y(pull[last] * perForce) - 10, this.look.ink, this.look, "right");
  }

  draw_tradeoff(plot) {
    const { bench, look } = this;
    const { meta, arrays } = bench.table;
    const [factor, unit] = meta.speed;
    const { measure } = meta;
    const [fronts, rears, tops, values, best, chain] = ["map_front", "map_rear", "map_top",
      "map_measure", "map_best", "map_chain"].map((name) => arrays[name].values);
    const fitted = bench.slots[0];
    const order = this.#order();
    const points = [];
    for (let at = 0; at < fronts.length; at += 1) {
      if (!(tops[at] > 0) || !Number.isFinite(values[at])) continue;
      const near = Math.abs(fronts[at] - fitted.front) + Math.abs(rears[at] - fitted.rear) / 3 <= NEAR;
      points.push({
        front: fronts[at], rear: rears[at], x: tops[at] * factor, y: values[at] * measure.factor,
        best: best[at] > 0, blocked: chain[at] >= BLOCKED, near,
      });
    }
    this.points = points;
    const slots = order.map((slot) => ({
      ...slot,
      x: arrays.top_speed.at(slot.row) * factor,
      y: arrays.measure.at(slot.row) * measure.factor,
    })).filter(({ x, y }) => x > 0 && Number.isFinite(y));
    const shown = [...points.filter(({ near, best: isBest }) => near || isBest), ...slots];
    if (!shown.length) return;
    const [xs, ys] = [shown.map(({ x }) => x), shown.map(({ y }) => y)];
    const room = (all) => Math.max((Math.max(...all) - Math.min(...all)) * 0.08, 0.01 * Math.max(...all));
    plot.hold([Math.min(...xs) - room(xs), Math.max(...xs) + room(xs),
      Math.min(...ys) - room(ys), Math.max(...ys) + room(ys)], bench.moving);
    const lower = measure.better === "lower";
    plot.begin(look, {
      xName: `top speed, ${unit} · faster →`,
      yName: `${measure.name}, ${measure.unit} · better ↑`,
      down: lower,
    });
    const { ink, box } = plot;
    ink.save();
    ink.beginPath();
    ink.rect(box.x - 6, box.y - 6, box.w + 12, box.h + 12);
    ink.clip();
    for (const point of points) {
      ink.globalAlpha = point.near ? 1 : 0.3;
      const [x, y] = [plot.x(point.x), plot.y(point.y)];
      if (point.blocked) {
        ink.strokeStyle = look.blocked;
        ink.lineWidth = 1;
        ink.setLineDash([]);
        ink.beginPath();
        ink.moveTo(x - 2.5, y - 2.5);
        ink.lineTo(x + 2.5, y + 2.5);
        ink.moveTo(x - 2.5, y + 2.5);
        ink.lineTo(x + 2.5, y - 2.5);
        ink.stroke();
      } else {
        ink.fillStyle = point.best ? look.best : look.quiet;
        ink.beginPath();
        ink.arc(x, y, point.best ? 3.5 : 2.5, 0, 7);
        ink.fill();
      }
    }
    ink.globalAlpha = 1;
    ink.restore();
    for (const slot of slots) {
      plot.mark(MARKS[slot.at], plot.x(slot.x), plot.y(slot.y), slot.picked ? 7 : 5, this.#colour(slot), look);
      plot.label(`${slot.front}/${slot.rear}`, plot.x(slot.x) + 9, plot.y(slot.y) - 9, this.#colour(slot), look);
    }
    if (bench.previewed) {
      const { front, rear } = bench.previewed;
      const point = points.find((each) => each.front === front && each.rear === rear);
      if (point) {
        plot.mark("circle", plot.x(point.x), plot.y(point.y), 8, look.ink, look, false);
        plot.label(`${front}/${rear}?`, plot.x(point.x) + 10, plot.y(point.y), look.ink, look);
      }
    }
    const marked = points.filter((point) => point.best && !point.blocked)
      .sort((one, other) => one.x - other.x);
    const step = Math.max(1, (marked.length - 1) / (BEST - 1));
    for (let at = 0; at < marked.length && at / step < BEST; at += 1) {
      const { front, rear, x, y } = marked[Math.min(marked.length - 1, Math.round(at * step))];
      plot.label(`${front}/${rear}`, plot.x(x) + 6, plot.y(y) + 9, look.best, look);
      if (Math.round((at + 1) * step) >= marked.length) break;
    }
  }

  #legend(plot, order) {
    const { ink, look } = { ink: plot.ink, look: this.look };
    let right = plot.width - 6;
    for (const slot of order.slice().sort((one, other) => other.at - one.at)) {
      const text = `${slot.name} ${slot.front}/${slot.rear}`;
      const wide = ink.measureText(text).width;
      ink.fillStyle = this.#colour(slot);
      ink.textAlign = "left";
      ink.fillText(text, right - wide, 8);
      ink.strokeStyle = this.#colour(slot);
      ink.lineWidth = slot.picked ? 3 : 1.5;
      ink.setLineDash(DASHES[slot.at]);
      ink.beginPath();
      ink.moveTo(right - wide - 22, 8);
      ink.lineTo(right - wide - 4, 8);
      ink.stroke();
      right -= wide + 32;
      if (right < plot.width * 0.45) break;
    }
    ink.fillStyle = look.quiet;
  }

  // --- Reading off the drawing -------------------------------------------------------------------

  resistanceAt(speed) {
    const { speed: speeds, pull } = this.bench.table.meta.resistance;
    const at = Math.min(Math.max(speeds.findIndex((value) => value >= speed), 1), speeds.length - 1);
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

  // Gear of the way through the gears at a speed, engine speed there, and pull above resistance;
  // nothing beyond its end.
  at(row, speed) {
    const { meta, arrays } = this.bench.table;
    const speeds = arrays.path_speed.at(row);
    if (speed > speeds[speeds.length - 1] || speed < 0) return null;
    const gear = Math.floor(speeds.findIndex((value) => value >= speed) / 3);
    const [start, end] = [arrays.idle_speed.at(row)[gear], arrays.limiter_speed.at(row)[gear]];
    const pulls = arrays.pull.at(row);
    const points = pulls.length / meta.gears;
    const place = Math.min(Math.max(((speed - start) / (end - start)) * (points - 1), 0), points - 1.001);
    const before = gear * points + Math.floor(place);
    const pull = pulls[before] + (place % 1) * (pulls[before + 1] - pulls[before]);
    return { gear, rpm: this.rpmIn(row, gear, speed), pull, reserve: pull - this.resistanceAt(speed) };
  }

  drawOverlays() {
    for (const name of ["shift", "pull", "tradeoff"]) {
      const plot = this[name];
      if (!plot?.box) continue;
      plot.over.clearRect(0, 0, plot.width, plot.height);
      if (this.bench.cursorSpeed !== null && name !== "tradeoff") this.#cursor(name, plot);
      this.bench.drawOverlay(name, plot.over);
    }
  }

  #cursor(name, plot) {
    const { meta } = this.bench.table;
    const speed = this.bench.cursorSpeed;
    const x = plot.x(speed * meta.speed[0]);
    if (x < plot.box.x || x > plot.box.x + plot.box.w) return;
    const { over: ink } = plot;
    ink.strokeStyle = this.look.quiet;
    ink.lineWidth = 1;
    ink.beginPath();
    ink.moveTo(x, plot.box.y);
    ink.lineTo(x, plot.box.y + plot.box.h);
    ink.stroke();
    const lines = [[`${Math.round(speed * meta.speed[0])} ${meta.speed[1]}`, this.look.ink]];
    for (const slot of this.#order().reverse()) {
      const here = this.at(slot.row, speed);
      if (!here) continue;
      const said = name === "shift"
        ? `gear ${here.gear + 1}, ${Math.round(here.rpm / 10) * 10} rpm`
        : `${Number((here.reserve * meta.force[0]).toPrecision(2))} ${meta.force[1]} in reserve`;
      lines.push([`${slot.name}: ${said}`, this.#colour(slot)]);
      const y = plot.y(name === "shift" ? here.rpm : here.pull * meta.force[0]);
      ink.fillStyle = this.#colour(slot);
      ink.beginPath();
      ink.arc(x, y, 4, 0, 7);
      ink.fill();
    }
    ink.font = this.look.font;
    ink.textBaseline = "middle";
    ink.textAlign = "left";
    const wide = Math.max(...lines.map(([text]) => ink.measureText(text).width));
    const left = x + 10 + wide > plot.width ? x - 12 - wide : x + 8;
    const top = plot.box.y + 6;
    ink.globalAlpha = 0.9;
    ink.fillStyle = this.look.ground;
    ink.fillRect(left - 3, top - 2, wide + 6, lines.length * 15 + 2);
    ink.globalAlpha = 1;
    for (const [at, [text, colour]] of lines.entries()) {
      ink.fillStyle = colour;
      ink.fillText(text, left, top + 6 + at * 15);
    }
  }

  // The drawn pair nearest to a place on the screen.
  pairAt(clientX, clientY) {
    const plot = this.tradeoff;
    if (!plot?.box || !this.points) return null;
    const box = plot.place.getBoundingClientRect();
    const reach = matchMedia("(pointer: coarse)").matches ? 24 : 16;
    let found = null;
    let nearest = reach;
    for (const point of this.points) {
      const away = Math.hypot(plot.x(point.x) - (clientX - box.left), plot.y(point.y) - (clientY - box.top));
      if (away < nearest) [found, nearest] = [{ front: point.front, rear: point.rear }, away];
    }
    return found;
  }
}
