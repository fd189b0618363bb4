// One of Bokeh's figures on the bench: its named sources, its axes, and a canvas of its own above it.

const AXIS = 50; // px, an axis with its numbers and its name
const NEARBY = 70; // px from a place within which words still belong to it

const nice = (span, count) => {
  const rough = span / count;
  const power = 10 ** Math.floor(Math.log10(rough));
  return [1, 2, 2.5, 5, 10].map((step) => step * power).find((step) => step >= rough * 0.999);
};

export class Plot {
  // The figure as Bokeh's models, which can be filled before anything is drawn.
  constructor(figure, item, looks) {
    this.looks = looks;
    this.place = figure.querySelector(".bn-plot");
    this.font = `14px ${getComputedStyle(this.place).fontFamily}`;
    this.document = window.Bokeh.require("document").Document.from_json(item.doc);
    [this.model] = this.document.roots();
    const named = (name) => this.document.get_model_by_name(name);
    this.sources = Object.fromEntries(["ground", "lines", "marks", "pairs"].map((name) => [name, named(name)]));
    this.band = named("band");
    this.view = null;
    this.held = null;
    this.overlay = document.createElement("canvas");
    this.overlay.className = "bn-overlay";
    this.overlay.setAttribute("aria-hidden", "true");
    this.over = this.overlay.getContext("2d");
  }

  // In place of what the page came with. Bokeh lays a figure out anew when its axes change, so they
  // are held before.
  async show() {
    const still = [...this.place.children];
    const host = document.createElement("div");
    host.className = "bn-figure";
    this.place.append(host);
    const views = await window.Bokeh.embed.add_document_standalone(this.document, host);
    [this.view] = [...views];
    for (const each of still) each.remove();
    this.place.append(this.overlay);
  }

  // The overlay is as large as the figure.
  fit() {
    const { width, height } = this.place.getBoundingClientRect();
    const dense = window.devicePixelRatio || 1;
    const [w, h] = [Math.round(width * dense), Math.round(height * dense)];
    if (this.overlay.width === w && this.overlay.height === h) return;
    Object.assign(this.overlay, { width: w, height: h });
    this.over.setTransform(dense, 0, 0, dense, 0, 0);
  }

  // Inside the axes; before they are drawn about so much.
  get box() {
    if (!this.view) {
      const { clientWidth, clientHeight } = this.place;
      return { x: AXIS, y: 4, w: clientWidth - AXIS - 10, h: clientHeight - AXIS };
    }
    const { left, top, width, height } = this.view.frame.bbox;
    return { x: left, y: top, w: width, h: height };
  }

  laidAnew() {
    const { x, y, w, h } = this.box;
    const before = this.laid;
    this.laid = [x, y, w, h].join();
    // Numbers below a narrow chart would run into each other.
    this.model.below[0].ticker.desired_num_ticks = w < 260 ? 4 : 6;
    return this.laid !== before;
  }

  // By the axes as they have just been held: Bokeh's own scales follow when it draws.
  x = (value) => {
    const [start, end] = this.held;
    return this.box.x + ((value - start) / (end - start)) * this.box.w;
  };

  y = (value) => {
    const [, , bottom, top, down] = this.held;
    const share = (value - bottom) / (top - bottom);
    return this.box.y + (down ? share : 1 - share) * this.box.h;
  };

  shownAt = (pixel) => this.held[0] + ((pixel - this.box.x) / this.box.w) * (this.held[1] - this.held[0]);

  // Axes grow at once with what is shown, and shrink only when the hand rests.
  hold(wanted, moving, down = false) {
    const { held } = this;
    const within = held && wanted[0] >= held[0] && wanted[1] <= held[1]
      && wanted[2] >= held[2] && wanted[3] <= held[3] && held[4] === down;
    if (moving && within) return;
    const spread = (low, high) => {
      const step = nice(high - low, 8);
      return [Math.floor(low / step + 1e-9) * step, Math.ceil(high / step - 1e-9) * step];
    };
    const now = [...spread(wanted[0], wanted[1]), ...spread(wanted[2], wanted[3]), down];
    if (held && now.every((end, at) => end === held[at])) return;
    this.held = now;
    this.model.x_range.setv({ start: now[0], end: now[1] });
    this.model.y_range.setv(down ? { start: now[3], end: now[2] } : { start: now[2], end: now[3] });
  }

  name(x, y) {
    for (const [axis, text] of [[this.model.below[0], x], [this.model.left[0], y]]) {
      if (axis.axis_label !== text) axis.axis_label = text;
    }
  }

  begin() {
    this.curves = { xs: [], ys: [], colour: [], dash: [], width: [] };
    this.points = Object.fromEntries(["x", "y", ...Object.keys(this.looks.plain)].map((name) => [name, []]));
  }

  line(xs, ys, colour, dash, width) {
    for (const [name, cell] of Object.entries({ xs, ys, colour, dash, width })) {
      this.curves[name].push(cell);
    }
  }

  point(x, y, properties) {
    const row = { ...this.looks.plain, ...properties, x, y };
    for (const [name, column] of Object.entries(this.points)) column.push(row[name]);
  }

  // Words, each below its place or as near to it as they lie on nothing that is drawn so far; left out
  // where there is no such place.
  nearby(words) {
    if (!this.view) return;
    const { x: west, y: north, w, h } = this.box;
    const taken = this.#boxes();
    for (const { at: [x, y], text, colour, under } of words) {
      const wide = this.wide(text) + 4;
      const free = (left, middle) => taken.every(([from, to, above, below]) =>
        to < left - 2 || from > left + wide + 2 || below < middle - 8 || above > middle + 8);
      let found = { away: NEARBY };
      const highest = Math.max(north + 9, under ? y : y - NEARBY);
      for (let left = west + 4; left < west + w - wide - 4; left += 16) {
        for (let middle = Math.min(north + h - 9, y + NEARBY); middle >= highest; middle -= 3) {
          const away = Math.hypot((left + wide / 2 - x) / 3, middle - y - 12);
          if (away < found.away && free(left, middle)) found = { left, middle, away };
        }
      }
      const { left, middle } = found;
      if (left === undefined) continue;
      taken.push([left, left + wide, middle - 8, middle + 8]);
      const [start, , bottom] = this.held;
      this.point(start, bottom, { text, colour, dx: left - west, dy: middle - this.y(bottom) });
    }
  }

  wide(text) {
    this.over.font = this.font;
    return this.over.measureText(text).width;
  }

  // Left, right, top and bottom of each piece of a line, each mark and each word so far [px].
  #boxes() {
    const { x, y, size, text, align, dx, dy } = this.points;
    const marks = x.flatMap((each, at) => {
      const [px, py, half, wide] = [this.x(each), this.y(y[at]), size[at] / 2, this.wide(text[at])];
      const left = px + dx[at] - { left: 0, center: 0.5, right: 1 }[align[at]] * wide;
      return [...(half ? [[px - half, px + half, py - half, py + half]] : []),
        ...(wide ? [[left, left + wide, py + dy[at] - 7, py + dy[at] + 7]] : [])];
    });
    const lines = [this.curves, this.sources.ground.data].flatMap(({ xs, ys }) => xs.flatMap((each, at) =>
      Array.from(each, (value, place) => [this.x(value), this.y(ys[at][place])]).map(([px, py], place, all) => {
        const [ax, ay] = all[Math.max(place - 1, 0)];
        return [Math.min(ax, px), Math.max(ax, px), Math.min(ay, py), Math.max(ay, py)];
      })));
    return [...marks, ...lines];
  }

  end() {
    this.sources.lines.data = this.curves;
    this.sources.marks.data = this.points;
  }
}
