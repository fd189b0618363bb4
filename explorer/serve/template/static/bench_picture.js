// The bench as one picture for a chat: bike, set-ups, verdict, the three charts, the link as a code.
//
// Drawn on white whatever the page's colours are, as it will be looked at elsewhere. The kernel makes
// the code (explorer/tasks/bench/picture.py): it is asked by a field and answers in a widget.

import { enter, isReady } from "./fields.js";

const WIDE = 1200; // px
const EDGE = 32;
const GAP = 20;
const LINE = 34;
const INK = "#1d2729";
const STILL = 1000; // ms after which a hand that rests has come to a stop
const PATIENCE = 8000; // ms, until the picture is drawn without a code
const FONT = "system-ui, sans-serif";

let asked = 0;

// The bench as it stands once the hand rests: before, the kernel has not heard of it.
function atRest(bench) {
  if (!bench.moving) return Promise.resolve();
  return new Promise((resolve) => {
    bench.root.addEventListener("bench:rest", resolve, { once: true });
  });
}

// The link of what is shown and its code. Without a kernel, or where it does not answer, the page's
// own address, and no code.
function codeOfLink() {
  const field = document.querySelector(".bn-picture-asked input");
  const place = document.querySelector(".bn-picture-code");
  const without = { link: location.href, svg: null };
  if (!field || !place) return Promise.resolve(without);
  asked += 1;
  const number = String(asked);
  return new Promise((resolve) => {
    const watch = new MutationObserver(() => {
      const found = place.querySelector(`[data-number="${number}"]`);
      if (!found) return;
      watch.disconnect();
      resolve({ link: found.dataset.link, svg: found.querySelector("svg") });
    });
    watch.observe(place, { childList: true, subtree: true });
    setTimeout(() => {
      watch.disconnect();
      resolve(without);
    }, PATIENCE);
    enter(field, `${number} ${location.origin}${location.pathname}`);
  });
}

async function imageOf(svg) {
  if (!svg) return null;
  const [, , width, height] = svg.getAttribute("viewBox").split(" ");
  const sized = svg.cloneNode(true);
  sized.setAttribute("width", width * 8);
  sized.setAttribute("height", height * 8);
  const image = new Image();
  image.src = `data:image/svg+xml,${encodeURIComponent(new XMLSerializer().serializeToString(sized))}`;
  await image.decode();
  return image;
}

function wrapped(pen, text, width) {
  const lines = [""];
  for (const word of text.split(/\s+/)) {
    const longer = `${lines.at(-1)} ${word}`.trim();
    if (pen.measureText(longer).width <= width) lines[lines.length - 1] = longer;
    else lines.push(word);
  }
  return lines;
}

// A chart as it stands, with its title.
function chartsOf(bench) {
  return [...bench.root.querySelectorAll("[data-chart]:not([data-asked])")].map((figure) => ({
    title: figure.querySelector("figcaption").textContent,
    canvas: bench.charts[figure.dataset.chart].view.export("png", true).canvas,
  }));
}

async function picture(bench) {
  const { link, svg } = await codeOfLink();
  const code = await imageOf(svg);
  const charts = chartsOf(bench);
  const half = (WIDE - 2 * EDGE - GAP) / 2;
  const tall = Math.max(...charts.map(({ canvas }) => (half * canvas.height) / canvas.width));
  const paper = document.createElement("canvas");
  const pen = paper.getContext("2d");
  const font = (weight, size) => { pen.font = `${weight} ${size}px ${FONT}`; };
  font(600, 26);
  const verdict = wrapped(pen, bench.part("verdict").textContent, WIDE - 2 * EDGE);
  const head = EDGE + 50 + LINE * (1 + verdict.length) + GAP;
  paper.width = WIDE;
  paper.height = Math.ceil(head + 2 * (tall + LINE + GAP) + EDGE);
  pen.fillStyle = "#fff";
  pen.fillRect(0, 0, paper.width, paper.height);
  pen.fillStyle = INK;
  pen.textBaseline = "top";
  font(700, 36);
  pen.fillText(bench.table.meta.bike, EDGE, EDGE);
  font(600, 24);
  let x = EDGE;
  for (const [index, { name, front, rear }] of bench.slots.entries()) {
    pen.fillStyle = bench.charts.looks.colours[index];
    pen.fillRect(x, EDGE + 53, 18, 18);
    pen.fillStyle = INK;
    const words = `${name} ${front}/${rear}`;
    pen.fillText(words, x + 26, EDGE + 50);
    x += pen.measureText(words).width + 60;
  }
  font(600, 26);
  for (const [index, text] of verdict.entries()) {
    pen.fillText(text, EDGE, EDGE + 50 + LINE * (1 + index));
  }
  for (const [index, { title, canvas }] of charts.entries()) {
    const left = EDGE + (index % 2) * (half + GAP);
    const top = head + Math.floor(index / 2) * (tall + LINE + GAP);
    font(600, 20);
    pen.fillText(title, left, top);
    pen.drawImage(canvas, left, top + LINE, half, (half * canvas.height) / canvas.width);
  }
  const [left, top] = [EDGE + half + GAP, head + tall + LINE + GAP];
  const side = Math.min(half, tall - 2 * LINE);
  if (code) pen.drawImage(code, left, top, side, side);
  font(400, 16);
  const below = top + (code ? side + 8 : 0);
  pen.fillText("Computed, not measured. Scan to open this bench.", left, below);
  pen.fillText(link.length > 60 ? `${link.slice(0, 59)}…` : link, left, below + 24);
  return new Promise((resolve) => { paper.toBlob(resolve, "image/png"); });
}

async function save(bench, button) {
  button.disabled = true;
  button.textContent = "Drawing …";
  await atRest(bench);
  const saved = document.createElement("a");
  saved.href = URL.createObjectURL(await picture(bench));
  saved.download = "bench.png";
  saved.click();
  setTimeout(() => URL.revokeObjectURL(saved.href), PATIENCE);
  button.disabled = false;
  button.textContent = "Picture";
  bench.part("live").textContent = "Saved as bench.png.";
}

// On paper the bench carries the code as well. It is fetched while the hand rests, for a page that is
// printed waits for nobody, and goes with the next move.
function codeForPaper(bench) {
  const place = bench.part("code");
  let waiting = 0;
  const clear = () => {
    clearTimeout(waiting);
    waiting = 0; // nor is a code that is on its way shown any more
    place.replaceChildren();
  };
  const fetchCode = () => {
    clear();
    waiting = setTimeout(async () => {
      if (!isReady()) return void fetchCode();
      const mine = waiting;
      const { svg } = await codeOfLink();
      if (svg && mine === waiting) place.replaceChildren(svg.cloneNode(true));
      return undefined;
    }, STILL);
  };
  bench.root.addEventListener("bench:row", ({ detail }) => detail.moving && clear());
  bench.root.addEventListener("bench:rest", fetchCode);
  addEventListener("beforeunload", () => clearTimeout(waiting));
  fetchCode();
}

export function attach(bench) {
  if (bench.root.dataset.served) codeForPaper(bench);
  const button = bench.part("picture");
  const begin = () => {
    button.classList.remove("bn-none");
    button.addEventListener("click", () => save(bench, button));
  };
  if (bench.charts) begin();
  else bench.root.addEventListener("bench:charts", begin, { once: true });
}
