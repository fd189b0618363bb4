// The files of a ride stay in this tab, packed, as far as it has room for them: nothing is stored on
// the server, and who leaves the page and comes back has the ride again. ipywidgets keeps the file
// field of its button outside the document, so it is met where it is opened.
import { whenReady } from "./fields.js";

const BUTTON = "#ge-page .ge-ride-upload";
const KEY = `ride on ${location.pathname}`;
let brought = null;

const through = (blob, stream) => new Response(blob.stream().pipeThrough(stream)).blob();

function inLetters(blob) {
  return new Promise((resolve, reject) => {
    const reader = new FileReader();
    reader.onload = () => resolve(reader.result.split(",")[1]);
    reader.onerror = reject;
    reader.readAsDataURL(blob);
  });
}

function say(text) {
  document.querySelector(".ge-not-kept")?.remove();
  if (!text) return;
  const sentence = document.createElement("p");
  sentence.className = "ge-help ge-not-kept";
  sentence.setAttribute("role", "status");
  sentence.textContent = text;
  document.querySelector(BUTTON).after(sentence);
}

async function keep(event) {
  try {
    sessionStorage.removeItem(KEY);
    const kept = await Promise.all([...event.target.files].map(
      async (file) => [file.name, await inLetters(await through(file, new CompressionStream("gzip")))]));
    sessionStorage.setItem(KEY, JSON.stringify(kept));
    say("");
  } catch {
    say("This tab has no room to keep the ride: open its files again if you leave the page.");
  }
}

const click = HTMLInputElement.prototype.click;
HTMLInputElement.prototype.click = function open() {
  if (this.type !== "file" || !this.accept.includes(".gpx")) return click.call(this);
  this.addEventListener("change", keep);
  if (!brought) return click.call(this);
  this.files = brought;
  brought = null;
  return this.dispatchEvent(new Event("change"));
};

async function begin() {
  const kept = sessionStorage.getItem(KEY);
  if (!kept) return;
  const files = new DataTransfer();
  for (const [name, letters] of JSON.parse(kept)) {
    const bytes = Uint8Array.from(atob(letters), (letter) => letter.charCodeAt(0));
    const file = await through(new Blob([bytes]), new DecompressionStream("gzip"));
    files.items.add(new File([file], name));
  }
  brought = files.files;
  document.querySelector(BUTTON).click();
}

// A browser may refuse to store anything, or know no streams; the page works without.
whenReady(() => begin().catch(() => { brought = null; }));
