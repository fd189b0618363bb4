// "Run it": the full-throttle run of every set-up, from rest, in real time.
//
// What is played stands in the table: speed, distance and gear at given times. Here it is only read
// off between them. Marks climb the sawtooth and the pull curves, lanes show who is where, and, if
// switched on, an engine note follows the computed engine speed. It stops at once: by its button, by
// Escape, by any move of the bench, and when the page is out of sight.

const LOUD = 0.06;
const LATEST = 24; // s

// A value of a series between two of its times.
function between(times, values, time) {
  const step = times[1] - times[0];
  const at = Math.min(Math.floor(time / step), times.length - 2);
  return values[at] + ((time - times[at]) / step) * (values[at + 1] - values[at]);
}

// When a series that grows first has a value.
function timeOf(times, values, value) {
  const at = values.findIndex((each) => each >= value);
  if (at < 1) return at < 0 ? times[times.length - 1] : 0;
  const share = (value - values[at - 1]) / (values[at] - values[at - 1] || 1);
  return times[at - 1] + share * (times[at] - times[at - 1]);
}

class Note {
  constructor() {
    this.context = new AudioContext();
    this.tone = this.context.createOscillator();
    this.tone.type = "sawtooth";
    const soft = this.context.createBiquadFilter();
    soft.frequency.value = 900;
    this.gain = this.context.createGain();
    this.gain.gain.value = LOUD;
    this.tone.connect(soft).connect(this.gain).connect(this.context.destination);
    this.tone.start();
  }

  at(rpm, firings) {
    this.tone.frequency.setTargetAtTime((rpm / 60) * firings, this.context.currentTime, 0.02);
  }

  end() {
    this.context.close();
  }
}

class Run {
  constructor(bench, root) {
    Object.assign(this, { bench, root, frame: 0, time: 0, note: null });
    this.button = root.querySelector("[data-run]");
    this.button.classList.remove("bn-none");
    this.button.hidden = false; // in the lesson no place is kept for it
    this.button.addEventListener("click", () => (this.running ? this.stop() : this.start()));
    root.addEventListener("keydown", ({ key }) => key === "Escape" && this.stop());
    root.addEventListener("bench:row", ({ detail }) => detail.moving && this.stop());
    // The table of a tyre comes in two parts, the runs with the second.
    root.addEventListener("bench:table", () => {
      if (this.waiting) this.start();
      for (const each of this.runs ?? []) each.row = this.bench.slots[each.index]?.row ?? 0;
    });
    document.addEventListener("visibilitychange", () => document.hidden && this.stop());
    this.lanes = document.createElement("div");
    this.lanes.className = "bn-lanes";
    this.lanes.hidden = true;
    // Over the numbers of the hand: the charts are what is looked at.
    root.querySelector(".bn-answer, .bn-charts").append(this.lanes);
  }

  get running() {
    return this.runs !== undefined && this.runs !== null;
  }

  start() {
    this.runs = this.bench.slots
      .map((slot, index) => ({ ...slot, index, run: this.bench.run(index) }))
      .filter(({ run }) => run);
    this.waiting = !this.runs.length;
    if (this.waiting) {
      this.runs = null;
      return undefined;
    }
    this.times = this.bench.table.meta.run_times;
    this.button.textContent = "Stop";
    this.#layLanes();
    this.bench.drawOverlay = (name, ink) => this.#marks(name, ink);
    // Where motion is not wanted the end is shown at once.
    if (this.bench.reducedMotion) return this.#end();
    if (this.sound.checked) this.note = new Note();
    const begun = performance.now();
    const step = () => {
      const time = (performance.now() - begun) / 1000;
      if (time >= LATEST) return this.#end();
      this.#show(time);
      this.frame = requestAnimationFrame(step);
      return undefined;
    };
    step();
    return undefined;
  }

  // The end stays to be read until something is moved.
  #end() {
    this.#show(LATEST);
    this.#quiet();
    this.button.textContent = "Clear the run";
  }

  #quiet() {
    cancelAnimationFrame(this.frame);
    this.frame = 0;
    this.note?.end();
    this.note = null;
  }

  stop() {
    this.#quiet();
    if (!this.running) return;
    this.runs = null;
    this.lanes.hidden = true;
    this.button.textContent = "Run it";
    this.bench.drawOverlay = () => {};
    this.bench.charts?.drawOverlays();
  }

  #layLanes() {
    const make = (tag, text = "", css = "") => {
      const element = document.createElement(tag);
      element.textContent = text;
      element.className = css;
      return element;
    };
    const label = make("label", "", "bn-sound");
    this.sound ??= Object.assign(document.createElement("input"), { type: "checkbox" });
    this.sound.onchange = () => {
      this.note?.end();
      this.note = this.sound.checked && this.frame && this.running ? new Note() : null;
    };
    label.append(this.sound, " engine note");
    this.lanes.replaceChildren(...this.runs.map((each) => {
      const lane = make("div", "", "bn-lane");
      each.bar = make("i");
      each.bar.style.background = this.bench.charts.looks.colours[each.index];
      each.said = make("span");
      lane.append(make("b", each.name), each.bar, each.said);
      return lane;
    }), label);
    this.clock = make("b", "", "bn-clock");
    label.append(this.clock);
    this.lanes.hidden = false;
  }

  #show(time) {
    this.time = time;
    this.clock.textContent = `after ${time.toFixed(1)} s`;
    const { table, picked, charts } = this.bench;
    for (const each of this.runs) each.distance = between(this.times, each.run.distance, time);
    const first = this.runs.reduce((one, other) => (other.distance > one.distance ? other : one));
    const [perMetre, unit] = table.meta.distance;
    for (const each of this.runs) {
      each.bar.style.width = `${(50 * each.distance) / Math.max(first.distance, 1)}%`;
      const metres = (first.distance - each.distance) * perMetre;
      const seconds = time - timeOf(this.times, first.run.distance, each.distance);
      const place = `${(each.distance * perMetre).toFixed(0)} ${unit}`;
      each.said.textContent = each === first ? place
        : `${place}, ${metres.toFixed(1)} ${unit} and ${Math.max(seconds, 0).toFixed(2)} s behind`;
      if (each.index === picked) this.note?.at(between(this.times, each.run.rpm, time), this.bench.table.meta.firings);
    }
    charts.drawOverlays();
  }

  // Where each set-up is on the sawtooth and on the pull curves now.
  #marks(name, ink) {
    if (!this.running || name === "tradeoff") return;
    const { charts, table } = this.bench;
    const plot = charts[name];
    for (const each of this.runs) {
      const speed = between(this.times, each.run.speed, this.time);
      const y = name === "shift" ? between(this.times, each.run.rpm, this.time)
        : (charts.at(each.row, speed)?.pull ?? 0) * table.meta.force[0];
      ink.beginPath();
      ink.arc(plot.x(speed * table.meta.speed[0]), plot.y(y), 6, 0, 7);
      ink.fillStyle = charts.looks.colours[each.index];
      ink.strokeStyle = charts.looks.paper;
      ink.lineWidth = 2;
      ink.fill();
      ink.stroke();
    }
  }
}

export function attach(bench) {
  const begin = () => new Run(bench, bench.root);
  if (bench.charts) begin();
  else bench.root.addEventListener("bench:charts", begin, { once: true });
}
