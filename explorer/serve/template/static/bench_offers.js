// Two from real parts: a wish ("More pull?") opens two cards in place of the numbers, each one change
// of real sprockets. Touching one shades on all charts what it gains and what it loses against the
// fitted gearing; "Try it" puts it under the sliders.
//
// Every number of a card stands in the table (explorer/tasks/bench/offers.py), and so do the curves
// between which is shaded.

const STEP = 3; // px between two columns of the shading
const GAINED = "rgb(0 140 90)";
const LOST = "rgb(200 80 0)";
const PALE = 0.4;

function element(tag, text = "", css = "") {
  const made = document.createElement(tag);
  made.textContent = text;
  made.className = css;
  if (tag === "button") made.type = "button";
  return made;
}

class Offers {
  constructor(bench, root) {
    Object.assign(this, { bench, root, wish: null, shown: null });
    this.place = root.querySelector("[data-offers]");
    this.wishes = [...root.querySelectorAll("[data-wish]")];
    for (const button of this.wishes) {
      button.classList.remove("bn-none");
      button.addEventListener("click", () =>
        (this.wish === button.dataset.wish ? this.close() : this.open(button.dataset.wish)));
    }
    root.addEventListener("keydown", ({ key }) => {
      if (key !== "Escape" || !this.wish) return;
      const { wish } = this;
      this.close();
      root.querySelector(`[data-wish="${wish}"]`).focus();
    });
    root.addEventListener("bench:row", ({ detail }) => detail.moving && this.close());
    root.addEventListener("bench:table", () => this.wish && this.open(this.wish));
  }

  open(wish) {
    const cards = this.bench.table.meta.offers?.[wish] ?? [];
    this.wish = wish;
    this.#mark();
    const made = cards.map((card) => this.#card(card));
    if (!cards.length) made.push(element("p", "No such sprocket is sold for this bike."));
    const key = element("p", "", "bn-shades");
    key.append(element("span", "gained", "bn-gained"), element("span", "lost", "bn-lost"));
    const shut = element("button", "Close");
    shut.addEventListener("click", () => this.close());
    key.append(shut);
    this.place.replaceChildren(...made, key);
    this.place.hidden = false;
    this.shade(cards[0] ?? null);
  }

  close() {
    if (!this.wish) return;
    this.wish = null;
    this.place.hidden = true;
    this.#mark();
    this.shade(null);
  }

  #mark() {
    for (const button of this.wishes) {
      button.setAttribute("aria-expanded", String(button.dataset.wish === this.wish));
    }
  }

  #card(card) {
    const box = element("div", "", "bn-offer");
    const title = element("button", card.title);
    title.dataset.offer = `${card.front}/${card.rear}`;
    const take = element("button", "Try it");
    take.setAttribute("aria-label", `Try ${card.front}/${card.rear}`);
    take.addEventListener("click", (event) => {
      event.stopPropagation();
      this.bench.set(card.front, card.rear);
      this.close();
    });
    const lines = element("dl");
    for (const [name, value] of card.lines.filter(([, text]) => text)) {
      const line = element("div");
      line.append(element("dt", name), element("dd", value));
      lines.append(line);
    }
    box.append(title, take, lines);
    for (const touch of ["click", "pointerenter", "focusin"]) {
      box.addEventListener(touch, () => this.shade(card));
    }
    return box;
  }

  // Shade one card's change on every chart, or nothing.
  shade(card) {
    this.shown = card;
    for (const title of this.place.querySelectorAll("[data-offer]")) {
      title.setAttribute("aria-pressed", String(title.dataset.offer === `${card?.front}/${card?.rear}`));
    }
    const { rows } = this.bench.table;
    const row = card ? rows.get(card.front * 256 + card.rear) : undefined;
    this.bench.drawOverlay = row === undefined ? () => {} : (name, ink) => {
      if (name === "tradeoff") this.#legs(ink, row);
      else this.#between(name, ink, row);
    };
    this.bench.charts?.drawOverlays();
  }

  // Between the two curves: more pull is gained, and so are fewer revs at the same speed.
  #between(name, ink, row) {
    const { charts, table } = this.bench;
    const plot = charts[name];
    const [factor] = table.meta.speed;
    const height = name === "shift" ? (at) => plot.y(at?.rpm ?? 0)
      : (at) => plot.y((at?.pull ?? 0) * table.meta.force[0]);
    const { x: left, w } = plot.box;
    ink.globalAlpha = PALE;
    for (let x = left; x < left + w; x += STEP) {
      const speed = plot.shownAt(x + STEP / 2) / factor;
      const [before, after] = [0, row].map((each) => charts.at(each, speed));
      if ((!before || !after) && (name === "shift" || before === after)) continue;
      const [from, to] = [height(before), height(after)];
      const gained = name === "shift" ? to > from : to < from;
      ink.fillStyle = gained ? GAINED : LOST;
      // What is lost is striped, for eyes that do not tell the colours apart.
      if (gained || (x / STEP) % 2 < 1) ink.fillRect(x, Math.min(from, to), STEP, Math.abs(to - from));
    }
    ink.globalAlpha = 1;
  }

  // From the fitted pair along the top speed, then along the measure.
  #legs(ink, row) {
    const { charts, table } = this.bench;
    const { meta, arrays } = table;
    const plot = charts.tradeoff;
    const [[x0, y0], [x1, y1]] = [0, row].map((each) => [
      plot.x(arrays.top_speed.at(each) * meta.speed[0]),
      plot.y(arrays.measure.at(each) * meta.measure.factor),
    ]);
    if (![x0, y0, x1, y1].every(Number.isFinite)) return;
    // The axis of the measure points to the better upwards.
    for (const [from, to, gained] of [[[x0, y0], [x1, y0], x1 > x0], [[x1, y0], [x1, y1], y1 < y0]]) {
      ink.strokeStyle = gained ? GAINED : LOST;
      ink.lineWidth = 6;
      ink.setLineDash(gained ? [] : [4, 3]);
      ink.beginPath();
      ink.moveTo(...from);
      ink.lineTo(...to);
      ink.stroke();
    }
    ink.setLineDash([]);
    ink.lineWidth = 1;
  }
}

export function attach(bench) {
  const begin = () => new Offers(bench, bench.root);
  if (bench.charts) begin();
  else bench.root.addEventListener("bench:charts", begin, { once: true });
}
