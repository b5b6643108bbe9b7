// Keeps the page's own files, so that it opens while the program is away. Browsers run this only on the
// program's own computer, or over HTTPS.

const FILES = ["@files@"];
const KEPT = "@version@";

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(KEPT).then((cache) => cache.addAll(["/", "/tally", ...FILES])).then(() => self.skipWaiting()));
});

self.addEventListener("activate", (event) => {
  const old = async () => Promise.all((await caches.keys()).filter((name) => name !== KEPT).map((name) => caches.delete(name)));
  event.waitUntil(old().then(() => self.clients.claim()));
});

/** The page itself from the program where it answers: it may be a newer one. */
async function page(request) {
  try {
    return await fetch(request);
  } catch {
    return caches.match(new URL(request.url).pathname === "/tally" ? "/tally" : "/");
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const { pathname } = new URL(request.url);
  if (request.method !== "GET" || pathname.startsWith("/api/")) return;
  if (request.mode === "navigate") event.respondWith(page(request));
  else if (FILES.includes(pathname)) event.respondWith(caches.match(request).then((kept) => kept ?? fetch(request)));
});
