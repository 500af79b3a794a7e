/* Keeps the site for readers without a connection: a service worker.
 *
 * It keeps every page and what pages load, all of one build; downloads it leaves to the network.
 * What it has kept it gives at once, so that pages open as fast in a cellar as at home. A new
 * build has another VERSION and so another worker: it takes over when it has kept everything,
 * and what has not changed since it copies from the build before.
 */
"use strict";

const VERSION = "%VERSION%";
// Digests by address from the site's root.
const FILES = "%FILES%";

const SCOPE = self.registration.scope;
// Several sites may lie on one host and share its store.
const FAMILY = `transposary ${SCOPE} `;
const NAME = FAMILY + VERSION;
const AT_ONCE = 8;
const LIST = `${SCOPE}offline-worker.js?files`;

async function kept() {
  const found = [];
  for (const name of await caches.keys()) {
    if (!name.startsWith(FAMILY) || name === NAME) continue;
    const cache = await caches.open(name);
    const list = await cache.match(LIST);
    if (list) found.push({ cache, files: await list.json() });
  }
  return found;
}

async function fetched(address) {
  const answer = await fetch(SCOPE + address, { cache: "reload" });
  if (!answer.ok) throw new Error(`${address}: ${answer.status}`);
  // A page may not be opened from an answer that was led elsewhere.
  return answer.redirected ? new Response(await answer.blob(), { headers: answer.headers }) : answer;
}

async function fill() {
  const cache = await caches.open(NAME);
  const before = await kept();
  async function keep([address, digest]) {
    const same = before.find(({ files }) => files[address] === digest);
    const copy = same && (await same.cache.match(SCOPE + address));
    await cache.put(SCOPE + address, copy || (await fetched(address)));
  }
  // Over a telephone's network a file costs its way there and back rather than its bytes.
  const wanted = Object.entries(FILES);
  while (wanted.length) await Promise.all(wanted.splice(0, AT_ONCE).map(keep));
  await cache.put(LIST, new Response(JSON.stringify(FILES)));
  await self.skipWaiting();
}

async function takeOver() {
  for (const name of await caches.keys()) {
    if (name.startsWith(FAMILY) && name !== NAME) await caches.delete(name);
  }
  await self.clients.claim();
}

self.addEventListener("install", (event) => event.waitUntil(fill()));
self.addEventListener("activate", (event) => event.waitUntil(takeOver()));
self.addEventListener("fetch", (event) => {
  const { method, url } = event.request;
  const path = url.split(/[?#]/)[0];
  if (method !== "GET" || !path.startsWith(SCOPE)) return;
  const address = path.slice(SCOPE.length).replace(/(^|\/)$/, "$1index.html");
  if (!(address in FILES)) return;
  const found = caches.open(NAME).then((cache) => cache.match(SCOPE + address));
  event.respondWith(found.then((answer) => answer || fetch(event.request)));
});
