// What becomes of a move, for the eye: where the hand began stays as a ghost, and the mark on the
// trade-off glides to its new place. The charts' own lines are at the new place at once; this is
// drawn above them, fades when the hand rests, and is left out where less motion is asked for.

const GLIDE = 180; // ms from one place to the next
const FADE = 900; // ms that a ghost is seen after the hand has come to rest

class Glide {
  constructor(bench) {
    Object.assign(this, { bench, from: null, last: 0, moved: 0, rested: 0, asked: false });
    this.#forget();
    bench.root.addEventListener("bench:row", () => this.#follow());
    bench.root.addEventListener("bench:table", () => this.#forget()); // its rows are others
    bench.root.addEventListener("bench:rest", () => {
      this.rested = performance.now();
      this.#ask();
    });
    bench.charts.drawMove = (name, plot) => this.#draw(name, plot);
  }

  #forget() {
    const { slots, picked } = this.bench;
    Object.assign(this, { from: null, picked, row: slots[picked].row });
  }

  #follow() {
    const { slots, picked } = this.bench;
    const { row } = slots[picked];
    if (picked !== this.picked || row < 0 || this.row < 0) return void this.#forget();
    if (row === this.row) return undefined;
    const begun = this.from === null || this.rested > this.moved;
    Object.assign(this, { from: begun ? this.row : this.from, last: this.row, row, moved: performance.now() });
    return undefined;
  }

  #ask() {
    if (this.asked || this.from === null) return;
    this.asked = true;
    requestAnimationFrame(() => {
      this.asked = false;
      if (this.rested > this.moved && performance.now() - this.rested > FADE) this.from = null;
      this.bench.charts.drawOverlays();
    });
  }

  #draw(name, plot) {
    if (this.from === null) return;
    const now = performance.now();
    const seen = this.rested > this.moved ? Math.max(1 - (now - this.rested) / FADE, 0) : 1;
    const ink = plot.over;
    ink.save();
    ink.strokeStyle = getComputedStyle(this.bench.root).getPropertyValue(`--bn-slot-${this.picked}`);
    ink.globalAlpha = 0.4 * seen;
    ink.lineWidth = 1.5;
    ink.beginPath();
    this[`${name}Ghost`](plot, ink, Math.min((now - this.moved) / GLIDE, 1));
    ink.stroke();
    ink.restore();
    if (this.rested > this.moved || now - this.moved < GLIDE) this.#ask();
  }

  shiftGhost(plot, ink) {
    const { meta, arrays } = this.bench.table;
    const rpm = arrays.path_rpm.at(this.from);
    for (const [at, speed] of arrays.path_speed.at(this.from).entries()) {
      ink.lineTo(plot.x(speed * meta.speed[0]), plot.y(rpm[at]));
    }
  }

  pullGhost(plot, ink) {
    for (const curve of this.bench.charts.pullCurves(this.from)) {
      for (const [at, x] of curve.xs.entries()) {
        if (at) ink.lineTo(plot.x(x), plot.y(curve.ys[at]));
        else ink.moveTo(plot.x(x), plot.y(curve.ys[at]));
      }
    }
  }

  tradeoffGhost(plot, ink, share) {
    const [from, last, now] = [this.from, this.last, this.row].map((row) => this.bench.charts.placeOf(row));
    if (![from, last, now].every(([x, y]) => x > 0 && Number.isFinite(y))) return;
    const [x, y] = [0, 1].map((at) => last[at] + share * (now[at] - last[at]));
    ink.arc(plot.x(from[0]), plot.y(from[1]), 6, 0, 7);
    ink.moveTo(plot.x(from[0]), plot.y(from[1]));
    ink.lineTo(plot.x(x), plot.y(y));
    if (share >= 1) return;
    ink.moveTo(plot.x(x) + 9, plot.y(y));
    ink.arc(plot.x(x), plot.y(y), 9, 0, 7);
  }
}

export function attach(bench) {
  if (bench.reducedMotion) return;
  const begin = () => new Glide(bench);
  if (bench.charts) begin();
  else bench.root.addEventListener("bench:charts", begin, { once: true });
}
