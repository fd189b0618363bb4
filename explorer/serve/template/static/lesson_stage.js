// The lesson's stage. "Run it" is the bench's own player, with the runs that the page gives; another
// step, and another stage of it, bring themselves into view.

import { attach } from "./bench_run.js";

function begin(root) {
  root.dataset.state = "live";
  const { times, firings, runs, distance, colours } = JSON.parse(root.dataset.runs);
  attach({
    root,
    slots: runs,
    picked: 1, // whose engine note is heard
    run: (index) => runs[index],
    table: { meta: { run_times: times, distance, firings } },
    charts: { looks: { colours }, drawOverlays() {} },
    get reducedMotion() {
      return matchMedia("(prefers-reduced-motion: reduce)").matches;
    },
  });
  // A moved sprocket puts other runs in its place: these stop, and their note with them.
  new MutationObserver((_, watch) => {
    if (root.isConnected) return;
    watch.disconnect();
    root.dispatchEvent(new CustomEvent("bench:row", { detail: { moving: true } }));
  }).observe(document.body, { childList: true, subtree: true });
}

// Which step and stage stand there, in the stage's own words.
const now = (stage) => ["h2", ".ge-stage-now"]
  .map((each) => stage.querySelector(each)?.textContent).join("|");

function follow(stage) {
  let last = now(stage);
  stage.dataset.followed = "yes";
  new MutationObserver(() => {
    const here = now(stage);
    if (here === last) return;
    last = here;
    // What a link opens stands at its own place.
    if (navigator.userActivation?.hasBeenActive !== false) stage.scrollIntoView({ block: "start" });
  }).observe(stage, { childList: true, subtree: true, attributeFilter: ["class"] });
}

// Letters for the back row run over the edge of a phone: there they are small, and begin further left.
const NARROW = matchMedia("(max-width: 600px)");
const SMALL = 12, LEFT = 28; // px
const asMade = new WeakMap();
let fitted = new WeakSet();

function fit(model) {
  if (!asMade.has(model)) {
    const sizes = [...model].filter(({ attr }) => attr.endsWith("font_size"));
    asMade.set(model, sizes.map(({ attr }) => [attr, model[attr]?.value ?? model[attr]]));
  }
  for (const [attr, made] of asMade.get(model)) {
    const size = NARROW.matches ? `${Math.min(parseFloat(made), SMALL)}px` : made;
    // The kernel keeps what it has sent.
    model.setv({ [attr]: model[attr]?.value ? { value: size } : size }, { sync: false });
  }
}

function fitLetters() {
  const left = NARROW.matches ? LEFT : 0;
  for (const root of (window.Bokeh?.documents ?? []).flatMap((each) => each.roots())) {
    if (fitted.has(root)) continue;
    fitted.add(root);
    for (const model of root.references()) fit(model);
    root.title.setv({ offset: -left }, { sync: false });
    for (const legend of root.above.filter((each) => each.items)) {
      legend.setv({ location: left ? [-left, 0] : "left" }, { sync: false });
    }
  }
}
NARROW.addEventListener("change", () => { fitted = new WeakSet(); fitLetters(); });

function look() {
  fitLetters();
  document.querySelectorAll(".ge-run:not([data-state])").forEach(begin);
  document.querySelectorAll(".ge-stage:not([data-followed])").forEach(follow);
}
new MutationObserver(look).observe(document.documentElement, { childList: true, subtree: true });
look();
