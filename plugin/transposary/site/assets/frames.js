/* Frames that scroll, for readers without a mouse.
 *
 * Why: an engraving or a table that is wider than the page scrolls in its own frame. Where it
 * does, the frame becomes a stop of the Tab key, so that the arrow keys can move it; where it
 * does not, it stays out of the way.
 */
(function () {
  "use strict";

  const NAMES = { "tp-engraving": "Engraving, scrolls sideways", "tp-table": "Table, scrolls sideways" };

  function update(frame) {
    const name = Object.keys(NAMES).find((one) => frame.classList.contains(one));
    if (frame.scrollWidth > frame.clientWidth) {
      frame.tabIndex = 0;
      frame.setAttribute("role", "group");
      frame.setAttribute("aria-label", NAMES[name]);
    } else {
      frame.removeAttribute("tabindex");
      frame.removeAttribute("role");
      frame.removeAttribute("aria-label");
    }
  }

  const watch = new ResizeObserver((changes) => changes.forEach(({ target }) => update(target)));
  document.querySelectorAll(".tp-engraving, .tp-table").forEach((frame) => watch.observe(frame));
})();
