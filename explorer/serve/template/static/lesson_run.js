// "Run it" on the lesson's stage: the bench's own player, with the runs that the page gives.

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
    reducedMotion: matchMedia("(prefers-reduced-motion: reduce)").matches,
  });
  // A moved sprocket puts other runs in its place: these stop, and their note with them.
  new MutationObserver((_, watch) => {
    if (root.isConnected) return;
    watch.disconnect();
    root.dispatchEvent(new CustomEvent("bench:row", { detail: { moving: true } }));
  }).observe(document.body, { childList: true, subtree: true });
}

const look = () => document.querySelectorAll(".ge-run:not([data-state])").forEach(begin);
new MutationObserver(look).observe(document.documentElement, { childList: true, subtree: true });
look();
