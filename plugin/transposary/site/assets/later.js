/* Figures that are fetched when the reader opens their details.
 *
 * Why a script: a page would be heavy with the engraving of every place where a device fits.
 * Without it the details say in words what has to change there, and link the device in its key.
 *
 * What it wants of the page:
 *   <details data-later="../walk-up/later/in-low-tide.js"> <summary>…</summary> … </details>
 * and of that file: an event `tp-later` at the document, its detail { glyphs, html }. The glyphs are
 * those that the figure uses; those that the page has already are left out.
 */
(function () {
  "use strict";

  const boxes = new Map();

  function shelf() {
    const found = document.getElementById("tp-later-glyphs");
    if (found) return found;
    const made = document.createElement("div");
    made.id = "tp-later-glyphs";
    // Out of the flow but not hidden: some browsers draw nothing from what is not displayed.
    made.style.cssText = "position:absolute;width:0;height:0";
    document.body.append(made);
    return made;
  }

  function addGlyphs(text) {
    const parsed = document.createElement("template");
    parsed.innerHTML = text;
    for (const glyph of parsed.content.querySelectorAll("[id]")) {
      if (document.getElementById(glyph.id)) glyph.remove();
    }
    shelf().append(parsed.content);
  }

  function put(box, html) {
    const figure = document.createElement("figure");
    figure.className = "tp-figure tp-later";
    figure.innerHTML = html;
    box.querySelector("summary").after(figure);
  }

  function load(box) {
    const script = document.createElement("script");
    script.src = box.dataset.later;
    delete box.dataset.later;
    boxes.set(script, box);
    script.addEventListener("error", () => put(box, '<p class="tp-note">The notes could not be loaded.</p>'));
    document.head.append(script);
  }

  // The file runs now, so that it is the current script.
  document.addEventListener("tp-later", ({ detail }) => {
    const box = boxes.get(document.currentScript);
    if (!box) return;
    addGlyphs(detail.glyphs);
    put(box, detail.html);
  });

  for (const box of document.querySelectorAll("details[data-later]")) {
    box.addEventListener("toggle", () => {
      if (box.open && "later" in box.dataset) load(box);
    });
  }
})();
