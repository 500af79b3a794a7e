/* Sends the reader on from an old address, with the key or the heading that the address names.
 *
 * Why a script: the refresh of a page forgets what stands behind the `#`.
 *
 * What it wants of the page, in its head:  <script src="…/moved.js" data-to="new-name.html"></script>
 */
(function () {
  "use strict";

  const to = document.currentScript?.dataset.to;
  if (to) location.replace(to + location.search + location.hash);
})();
