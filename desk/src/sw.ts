// Keeps the files of the static page, so that it works without a network after the first visit. The list and its mark are put
// in when the site is built.
declare const FILES: string[];
declare const MARK: string;

interface Worker {
  skipWaiting(): Promise<void>;
  clients: { claim(): Promise<void> };
  addEventListener(kind: "install" | "activate", act: (event: Event & { waitUntil(done: Promise<unknown>): void }) => void): void;
  addEventListener(kind: "fetch", act: (event: Event & { request: Request; respondWith(answer: Promise<Response>): void }) => void): void;
}
const worker = self as unknown as Worker;
const KEPT = `oaktag-${MARK}`;

worker.addEventListener("install", (event) => {
  event.waitUntil(caches.open(KEPT).then((kept) => kept.addAll(FILES)).then(() => worker.skipWaiting()));
});

worker.addEventListener("activate", (event) => {
  const old = caches.keys().then((names) => Promise.all(names.filter((name) => name.startsWith("oaktag-") && name !== KEPT).map((name) => caches.delete(name))));
  event.waitUntil(old.then(() => worker.clients.claim()));
});

worker.addEventListener("fetch", (event) => {
  if (event.request.method !== "GET" || !event.request.url.startsWith(new URL("./", self.location.href).href)) return;
  // Which draft is opened stands behind the question mark, and changes nothing of the page.
  event.respondWith(caches.open(KEPT).then(async (kept) =>
    (await kept.match(event.request, { ignoreSearch: true })) ?? fetch(event.request)));
});

export {};
