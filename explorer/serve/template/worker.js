// Keeps the site on the device: what each page needs at once, a bike's tables when it is looked at.
const KEPT = "gearing-MARK";
const FILES = "FILES";

// What has come already is not asked for again; an address with a mark never changes its content.
async function keep(addresses) {
  const kept = await caches.open(KEPT);
  await Promise.all(addresses.map(async (address) => {
    if (await kept.match(address)) return;
    const answer = await fetch(address, { cache: address.includes("?v=") ? "force-cache" : "no-cache" });
    if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
    await kept.put(address, answer);
  }));
}

self.addEventListener("install", (event) => {
  event.waitUntil(keep(FILES).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  event.waitUntil(caches.keys()
    .then((names) => Promise.all(names
      .filter((name) => name.startsWith("gearing-") && name !== KEPT)
      .map((name) => caches.delete(name))))
    .then(() => self.clients.claim()));
});

self.addEventListener("message", (event) => {
  event.waitUntil(keep(event.data.keep).then(() => event.source.postMessage("kept")));
});

// Pages and tables change together, so what is kept is answered first; a new export is a new worker.
self.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !event.request.url.startsWith(self.registration.scope)) return;
  event.respondWith(caches.open(KEPT).then(async (kept) =>
    (await kept.match(event.request, { ignoreSearch: event.request.mode === "navigate" })) ??
      fetch(event.request)));
});
