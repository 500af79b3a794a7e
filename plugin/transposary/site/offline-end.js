/* Ends the offline copy of a site that no longer wants one, where a reader still has it. */
"use strict";

self.addEventListener("install", () => self.skipWaiting());
self.addEventListener("activate", (event) => {
  event.waitUntil(
    caches.keys().then(async (names) => {
      for (const name of names) {
        if (name.startsWith(`transposary ${self.registration.scope} `)) await caches.delete(name);
      }
      await self.registration.unregister();
    }),
  );
});
