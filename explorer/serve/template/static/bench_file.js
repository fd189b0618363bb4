// "Save this bench as a file": one page with its table, scripts and styles inside. It opens from a
// folder or a letter, asks nobody for anything, and is dragged as this one is.
const WAIT = 50; // ms between two looks whether the whole table is there
const KEPT = 60000; // ms until the browser has surely written the file

const own = (name) => new URL(name, import.meta.url).href;

async function text(address) {
  const answer = await fetch(address);
  if (!answer.ok) throw new Error(`${answer.status}`);
  return answer.text();
}

// A script that stands in a page ends at the first end tag in it, even inside a string.
const inside = (script) => script.replaceAll("</script", "<\\/script").replaceAll("<!--", "<\\!--");

// While the hand moves, some rows or their runs may still be on their way.
async function whole(bench) {
  const there = () => !bench.moving && bench.table.arrays.run_speed && bench.slots[bench.picked].row >= 0;
  while (!there()) await new Promise((resolve) => { setTimeout(resolve, WAIT); });
  return bench.table;
}

function secret() {
  return [...crypto.getRandomValues(new Uint8Array(16))].map((byte) => byte.toString(16).padStart(2, "0")).join("");
}

function skeleton(table, bench, untouched) {
  const main = document.querySelector("template[data-file]").content.firstElementChild.cloneNode(true);
  const root = untouched.cloneNode(true);
  const { meta } = table;
  root.dataset.served = "";
  Object.assign(root.querySelector("[data-table]"), { textContent: table.text });
  main.querySelector("[data-bench]").replaceWith(root);
  main.querySelector("[data-where]").textContent = meta.where;
  main.querySelector("[data-day]").textContent = new Date().toLocaleDateString("en-GB", { dateStyle: "long" });
  main.querySelector("[data-page]").href = location.href;
  const known = {
    tyres: [meta.tyre],
    grounds: [""],
    units: [""],
    shown: [0, 0, 0],
    slots: bench.slots.map(({ name, front, rear, tyre }) => ({ name, front, rear, tyre })),
    picked: bench.picked,
  };
  main.querySelector("#bench-site").textContent = JSON.stringify(known).replaceAll("<", "\\u003c");
  return main;
}

async function fileOf(bench, untouched) {
  const bokeh = document.querySelector('script[src$="/bokeh.min.js"]').src;
  const addresses = [own("explorer.css"), own("bench.css"), own("bench_whole.js"), bokeh];
  const [looks, bench_looks, ...scripts] = await Promise.all(addresses.map(text));
  const table = await whole(bench);
  const page = document.implementation.createHTMLDocument(`${table.meta.bike} · Bench`);
  const add = (place, name, fields, content = "") => {
    const part = place.appendChild(page.createElement(name));
    for (const [field, value] of Object.entries(fields)) part.setAttribute(field, value);
    part.textContent = content;
    return part;
  };
  const nonce = secret();
  page.documentElement.lang = "en";
  page.head.prepend(add(page.head, "meta", { charset: "utf-8" }));
  add(page.head, "meta", { name: "viewport", content: "width=device-width, initial-scale=1" });
  add(page.head, "meta", {
    "http-equiv": "Content-Security-Policy",
    content: `default-src 'none'; script-src 'nonce-${nonce}'; style-src 'unsafe-inline'; img-src data: blob:; font-src data:; base-uri 'none'; form-action 'none'`,
  });
  add(page.head, "style", {}, looks + bench_looks);
  page.body.className = "ge-app ge-bench";
  page.body.append(skeleton(table, bench, untouched));
  for (const script of scripts) add(page.body, "script", { nonce }, inside(script));
  const name = table.meta.bike.normalize("NFKD").toLowerCase().replace(/[^a-z0-9]+/g, "-");
  return { name: `bench-${name}.html`, text: `<!DOCTYPE html>\n${page.documentElement.outerHTML}\n` };
}

export async function save(bench, untouched, button) {
  const said = document.querySelector("[data-saved]");
  button.disabled = true;
  said.textContent = "Making the file…";
  try {
    const file = await fileOf(bench, untouched);
    const href = URL.createObjectURL(new Blob([file.text], { type: "text/html" }));
    Object.assign(document.createElement("a"), { href, download: file.name }).click();
    setTimeout(() => URL.revokeObjectURL(href), KEPT);
    said.textContent = `Saved as ${file.name}. It works without a server and without a signal.`;
  } catch {
    said.textContent = "The file could not be made: the server did not answer. Try again.";
  }
  button.disabled = false;
}
