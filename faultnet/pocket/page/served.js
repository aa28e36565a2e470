"use strict";
// Answers the page from the edition in use, and from nothing else: never a mixture of two. What
// is copied, and when, is for edition.js; here it is only said which edition is in use.

const HERE = new URL("./", self.location).href;
const OURS = `faultnet ${new URL(HERE).pathname}`;

let using = null;

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  address.search = address.hash = "";
  // What the page asks past all copies (the list of the office, files to be copied) goes out.
  if (request.method !== "GET" || request.cache === "no-store" || !address.href.startsWith(HERE)) return;
  event.respondWith(answered(request, address.href));
});

self.addEventListener("message", (event) => {
  if (event.data?.use) event.waitUntil(use(event));
});

async function answered(request, address) {
  const copy = await (using ??= copyInUse());
  if (!copy) return fetch(request);
  const found = await copy.match(address.endsWith("/") ? `${address}index.html` : address);
  return found ?? new Response("", { status: 404 });
}

async function copyInUse() {
  const said = await caches.match(`${HERE}in-use`, { cacheName: OURS });
  if (!said) return null;
  const name = `${OURS} ${(await said.json()).edition}`;
  return (await caches.has(name)) ? caches.open(name) : null;
}

// Takes an edition into use, unless another window of the page is open: it would get a mixture.
async function use({ data, source, ports: [port] }) {
  const windows = await self.clients.matchAll({ type: "window", includeUncontrolled: true });
  const others = windows.filter((each) => each.id !== source.id && each.url.startsWith(HERE));
  if (others.length && (await copyInUse())) {
    port.postMessage({ done: false });
    return;
  }
  const cache = await caches.open(OURS);
  await cache.put(`${HERE}in-use`, Response.json({ edition: data.use }));
  using = null;
  await self.clients.claim();
  port.postMessage({ done: true });
}
