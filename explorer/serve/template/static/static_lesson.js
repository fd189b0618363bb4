// The lesson without a server: a demonstration is drawn when its lid is opened.
const WAIT = 30; // ms until it is looked again whether BokehJS is there

const figures = JSON.parse(document.getElementById("figures").textContent);

async function draw(place) {
  while (!window.Bokeh) await new Promise((resolve) => { setTimeout(resolve, WAIT); });
  await window.Bokeh.embed.embed_item(figures[place.dataset.figure], place);
  place.dataset.drawn = "yes";
}

for (const place of document.querySelectorAll("[data-figure]")) {
  const lid = place.closest("details");
  if (figures[place.dataset.figure]) lid.addEventListener("toggle", () => draw(place), { once: true });
}
