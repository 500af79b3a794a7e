/* Figures that are fetched when the reader opens their details.
 *
 * Why a script: a page would be heavy with the engraving of every place where a device fits.
 * Without it the details say in words what has to change there, and link the device in its key.
 *
 * What it wants of the page:
 *   <details data-later="../walk-up/later/in-low-tide.js"> <summary>…</summary> … </details>
 * and of that file: an event `tp-later` at the document, its detail { fifths, glyphs, html }. The
 * glyphs are those that the figure uses; those that the page has already are left out. Tells `later`
 * { figure, fifths } with the names of its notes on the line of fifths.
 */
(function () {
  "use strict";

  const boxes = new Map();

  function put(box, html) {
    const figure = transposary.make("figure", { class: "tp-figure tp-later" });
    figure.innerHTML = html;
    box.querySelector("summary").after(figure);
    return figure;
  }

  function load(box) {
    const script = transposary.script(box.dataset.later);
    delete box.dataset.later;
    boxes.set(script, box);
    script.addEventListener("error", () => put(box, '<p class="tp-note">This could not be loaded.</p>'));
  }

  // The file runs now, so that it is the current script.
  document.addEventListener("tp-later", ({ detail }) => {
    const box = boxes.get(document.currentScript);
    if (!box) return;
    transposary.shelve(detail.glyphs);
    transposary.tell("later", { figure: put(box, detail.html), fifths: detail.fifths });
  });

  for (const box of document.querySelectorAll("details[data-later]")) {
    box.addEventListener("toggle", () => {
      if (box.open && "later" in box.dataset) load(box);
    });
  }
})();
