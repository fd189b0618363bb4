// Touch on the bench: a thumb's horizontal drag moves a slider, a vertical swipe scrolls and moves
// nothing; tabs and swipes lead from chart to chart; on the trade-off the first tap shows a pair,
// the second takes it.

const REACH = 60; // px from a pair that a dragged set-up jumps to
const START = 8; // px before a touch counts as a drag

// --- Sliders --------------------------------------------------------------------------------
// The range inputs themselves take no touches (bench.css): a tap on their track would jump. The
// area over each takes them, with touch-action: pan-y, so the browser keeps vertical swipes.

function dragWithThumb(area) {
  const input = area.parentElement.querySelector("input[type=range]");
  let from = null;
  area.addEventListener("pointerdown", (event) => {
    if (event.pointerType === "mouse") return;
    from = { x: event.clientX, y: event.clientY, value: Number(input.value), dragging: false };
  });
  area.addEventListener("pointermove", (event) => {
    if (!from) return;
    const [dx, dy] = [event.clientX - from.x, event.clientY - from.y];
    if (!from.dragging) {
      if (Math.abs(dx) < START || Math.abs(dx) < Math.abs(dy)) return;
      from.dragging = true;
      area.setPointerCapture(event.pointerId);
    }
    const span = Number(input.max) - Number(input.min);
    const value = from.value + (dx / area.clientWidth) * span;
    const step = Number(input.step) || 1;
    const next = String(Math.round(value / step) * step);
    const before = input.value;
    input.value = next; // clamps to the ends
    if (input.value !== before) input.dispatchEvent(new Event("input", { bubbles: true }));
  });
  // The browser takes a vertical swipe over by pointercancel: nothing was moved.
  for (const end of ["pointerup", "pointercancel"]) {
    area.addEventListener(end, () => {
      if (from?.dragging) input.dispatchEvent(new Event("change", { bubbles: true }));
      from = null;
    });
  }
}

// --- From chart to chart --------------------------------------------------------------------

function chartTabs(root) {
  const charts = root.querySelector(".bn-charts");
  const tabs = [...root.querySelectorAll(".bn-tabs [role=tab]")];
  const figures = [...charts.querySelectorAll(".bn-chart")];
  const show = (index) => {
    const still = matchMedia("(prefers-reduced-motion: reduce)").matches;
    charts.scrollTo({ left: figures[index].offsetLeft - charts.offsetLeft, behavior: still ? "auto" : "smooth" });
  };
  tabs.forEach((tab, index) => {
    tab.addEventListener("click", () => show(index));
    tab.addEventListener("keydown", (event) => {
      const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
      if (!step) return;
      const next = (index + step + tabs.length) % tabs.length;
      tabs[next].focus();
      show(next);
    });
  });
  // In a wide window all three are seen; the first of those that are has its tab marked.
  const inView = new Set();
  const seen = new IntersectionObserver(
    (entries) => {
      for (const { target, isIntersecting } of entries) {
        if (isIntersecting) inView.add(target);
        else inView.delete(target);
      }
      const index = figures.findIndex((figure) => inView.has(figure));
      if (index < 0) return;
      tabs.forEach((tab, at) => {
        tab.setAttribute("aria-selected", at === index);
        tab.tabIndex = at === index ? 0 : -1;
      });
    },
    { root: charts, threshold: 0.6 },
  );
  figures.forEach((figure) => seen.observe(figure));
}

// --- Taps on the trade-off ------------------------------------------------------------------
// First tap: what the pair is, gains and costs. Second tap on the same pair, or the button: take it.

function tapsOnTradeoff(bench, root) {
  const figure = root.querySelector('[data-chart="tradeoff"]');
  const plot = figure.querySelector(".bn-plot");
  const card = document.createElement("div");
  card.className = "bn-card";
  card.hidden = true;
  card.setAttribute("role", "dialog");
  card.setAttribute("aria-label", "Pair on the chart");
  figure.append(card);
  let shown = null;
  let before = null;

  const hide = () => {
    shown = null;
    card.hidden = true;
    bench.preview(null);
  };
  const take = () => {
    before = { ...bench.slots[bench.picked] };
    bench.set(shown.front, shown.rear);
    hide();
    offerWayBack();
  };
  const line = (text, tag = "p") => {
    const element = document.createElement(tag);
    element.textContent = text;
    return element;
  };
  const button = (text, action) => {
    const element = line(text, "button");
    element.type = "button";
    element.addEventListener("click", action);
    return element;
  };

  // The card never lies on the pair, which a second tap takes.
  function show(pair, clientY) {
    const { top, height } = plot.getBoundingClientRect();
    card.style.inset = clientY > top + height / 2 ? "30px 8px auto" : "auto 8px 8px";
    const said = bench.preview(pair.front, pair.rear);
    if (!said) return;
    shown = pair;
    card.replaceChildren(line(said.title, "strong"), line(said.gains), line(said.chain));
    card.append(button(`Take ${pair.front}/${pair.rear}`, take), button("Close", hide));
    card.hidden = false;
  }

  function offerWayBack() {
    const { front, rear } = before;
    card.replaceChildren(button(`Back to ${front}/${rear}`, () => {
      bench.set(front, rear);
      card.hidden = true;
    }), button("Close", hide));
    card.hidden = false;
  }

  // With a mouse or a pen the set-up itself is dragged from pair to pair.
  let dragged = null;
  const same = (one, other) => one && one.front === other.front && one.rear === other.rear;
  plot.addEventListener("pointerdown", (event) => {
    const slot = bench.slots[bench.picked];
    const grabs = event.pointerType !== "touch"
      && bench.charts?.isAt(slot.row, event.clientX, event.clientY);
    dragged = grabs ? { ...slot, moved: false } : null;
    if (grabs) plot.setPointerCapture(event.pointerId);
  });
  plot.addEventListener("pointermove", (event) => {
    if (!dragged || !event.buttons) return;
    const pair = bench.pairAt(event.clientX, event.clientY, REACH);
    if (!pair || same(pair, bench.slots[bench.picked])) return;
    dragged.moved = true;
    bench.set(pair.front, pair.rear);
  });

  plot.addEventListener("click", (event) => {
    if (dragged?.moved) {
      before = dragged;
      dragged = null;
      return offerWayBack();
    }
    const pair = bench.pairAt(event.clientX, event.clientY);
    if (!pair) return hide();
    if (shown && pair.front === shown.front && pair.rear === shown.rear) return take();
    return show(pair, event.clientY);
  });
  root.addEventListener("keydown", (event) => {
    if (event.key === "Escape" && !card.hidden) hide();
  });
}

export function attach(bench) {
  const root = document.getElementById("bench");
  root.querySelectorAll(".bn-thumb-area").forEach(dragWithThumb);
  if (root.querySelector(".bn-tabs")) chartTabs(root);
  tapsOnTradeoff(bench, root);
  const more = root.querySelector("[data-more]");
  more?.addEventListener("click", () => {
    more.setAttribute("aria-expanded", root.classList.toggle("bn-more"));
  });
}
