/* The service worker of the fieldbook: keeps the shell and its files, and nothing else. The line before this file, written
   by the server, sets self.fieldbook to {version, shell, files}; the version is made of what the files hold. */

const { version, shell, files } = self.fieldbook;
const KEPT = "reedcrew-fieldbook-";
const CACHE = KEPT + version;
const SHELL_PAGES = /^\/g\/[^/]+\/days\/(\d+\/)?field\/$/;

self.addEventListener("install", (event) => {
  event.waitUntil(
    caches
      .open(CACHE)
      .then((cache) => cache.addAll([shell, ...files].map((address) => new Request(address, { cache: "no-cache" }))))
      .then(() => self.skipWaiting()),
  );
});

self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches
      .keys()
      .then((names) => Promise.all(names.filter((name) => name.startsWith(KEPT) && name !== CACHE).map((name) => caches.delete(name))))
      .then(() => self.clients.claim()),
  );
});

async function fromCache(address, request) {
  const cache = await caches.open(CACHE);
  return (await cache.match(address)) ?? fetch(request);
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const address = new URL(request.url);
  if (request.method !== "GET" || address.origin !== self.location.origin) {
    return;
  }
  if (request.mode === "navigate" && SHELL_PAGES.test(address.pathname)) {
    event.respondWith(fromCache(shell, request));
  } else if (files.includes(address.pathname)) {
    event.respondWith(fromCache(address.pathname, request));
  }
});
