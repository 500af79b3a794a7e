/* Frames that scroll, for readers without a mouse.
 *
 * Why: an engraving or a table that is wider than the page scrolls in its own frame. Where it
 * does, the frame becomes a stop of the Tab key, so that the arrow keys can move it; where it
 * does not, it stays out of the way.
 */
(function () {
  "use strict";

  const NAMES = {
    "tp-engraving": "Engraving, scrolls sideways",
    "tp-table": "Table, scrolls sideways",
    "tp-board-frame": "Keyboard, scrolls sideways",
  };

  function update(frame) {
    const name = Object.keys(NAMES).find((one) => frame.classList.contains(one));
    if (frame.scrollWidth > frame.clientWidth) {
      transposary.furnish(frame, { tabindex: 0, role: "group", "aria-label": NAMES[name] });
    } else {
      for (const attribute of ["tabindex", "role", "aria-label"]) frame.removeAttribute(attribute);
    }
  }

  const watch = new ResizeObserver((changes) => changes.forEach(({ target }) => update(target)));
  // Only then have the other scripts drawn their keyboards.
  document.addEventListener("DOMContentLoaded", () => {
    const frames = document.querySelectorAll(".tp-engraving, .tp-table, .tp-board-frame");
    // One with keys to press is reached through them.
    for (const frame of frames) if (!frame.querySelector("[role='button']")) watch.observe(frame);
  });
})();
