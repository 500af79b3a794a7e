/* A name for the theme's search dialog.
 *
 * Why: the theme gives it the role of a dialog and no name, so that a screen reader would
 * announce a nameless one.
 */
(function () {
  "use strict";
  const dialog = document.querySelector(".md-search[role='dialog']:not([aria-label])");
  if (dialog) dialog.setAttribute("aria-label", "Search");
})();
