/* Asks the browser to keep the site for times without a connection; not from the disk.
 *
 * Every page loads it, and only where mkdocs.yml says `offline_copy: true`.
 */
(function () {
  "use strict";

  const root = new URL("../../../", document.currentScript.src);
  if (!location.protocol.startsWith("http") || !("serviceWorker" in navigator)) return;
  // Leave is refused in some private windows: then the site needs its connection, as ever.
  navigator.serviceWorker.register(new URL("offline-worker.js", root), { scope: root.href }).catch(() => {});
})();
