/* Scripts that one page needs, or one button.
 *
 * Why: every script beside this one is loaded by every page. What lies in the folder `wanted` is
 * loaded by who asks for it: a page by `data-scripts="find.js"` on an element, a script by
 * `transposary.want("listen.js")`, a promise. Each runs once, after all the others. What lies in a
 * folder of `wanted` is published as one file, in the order of its names.
 */
(function () {
  "use strict";

  const folder = document.currentScript.src.replace(/[^/]*$/, "wanted/");
  const asked = new Map();

  function load(name) {
    if (asked.has(name)) return asked.get(name);
    const arrived = new Promise((resolve, reject) => {
      const script = transposary.script(folder + name);
      script.addEventListener("load", resolve);
      script.addEventListener("error", () => reject(new Error(`${name} did not load`)));
    });
    asked.set(name, arrived);
    return arrived;
  }

  transposary.want = (names) => Promise.all(names.split(" ").map(load));

  for (const place of document.querySelectorAll("[data-scripts]")) transposary.want(place.dataset.scripts);
})();
