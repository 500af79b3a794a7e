/* Scripts that one page needs, or one button.
 *
 * Why: every script beside this one is loaded by every page. What lies in the folder `wanted` is
 * loaded by who asks for it: a page by `data-scripts="midi.js find.js"` on an element, a script by
 * `transposary.want("midi.js listen.js")`, a promise. They run in the order in which they are named,
 * each once, after all the others.
 */
(function () {
  "use strict";

  const folder = document.currentScript.src.replace(/[^/]*$/, "wanted/");
  const asked = new Map();

  function load(name) {
    if (asked.has(name)) return asked.get(name);
    const arrived = new Promise((resolve, reject) => {
      const script = document.createElement("script");
      script.src = folder + name;
      script.async = false;
      script.addEventListener("load", resolve);
      script.addEventListener("error", () => reject(new Error(`${name} did not load`)));
      document.head.append(script);
    });
    asked.set(name, arrived);
    return arrived;
  }

  transposary.want = (names) => Promise.all(names.split(" ").map(load));

  for (const place of document.querySelectorAll("[data-scripts]")) transposary.want(place.dataset.scripts);
})();
