/* Clean pages to play from: a device in the keys chosen, or a hand-out, for the chosen part.
 *
 * Why a script: the browser prints what the page shows, and this shows the keys that are asked for
 * and nothing but them while it prints. print.css does the rest. The title at the foot of each page
 * comes from here, since a style sheet does not know it.
 *
 * What it wants of the page: a section [data-device] with a row of keys, or a list .tp-handout.
 */
(function () {
  "use strict";

  const { button, on, tell } = transposary;
  const foot = new CSSStyleSheet();
  document.adoptedStyleSheets = [...document.adoptedStyleSheets, foot];

  function reader() {
    const part = document.querySelector("form.tp-parts")?.elements.part;
    return part && part.selectedIndex > 0 ? `, for ${part.selectedOptions[0].text}` : "";
  }

  addEventListener("beforeprint", () => {
    const title = document.querySelector("h1")?.firstChild?.textContent.trim() || document.title;
    foot.replaceSync(`@page { @bottom-left { content: ${JSON.stringify(title + reader())}; } }`);
  });

  function sheet(before, after) {
    document.body.classList.add("tp-sheet");
    addEventListener(
      "afterprint",
      () => {
        document.body.classList.remove("tp-sheet");
        after();
      },
      { once: true },
    );
    before().then(() => print());
  }

  function keys(section) {
    const figures = [...section.querySelectorAll("figure[data-slot]")];
    const links = section.querySelectorAll(".tp-picker a");
    const panel = section.querySelector(".tp-print");
    const boxes = [...panel.querySelectorAll("input")];
    const [start, all, none] = panel.querySelectorAll("button");
    const wanted = () => boxes.filter(({ checked }) => checked).map(({ value }) => value);

    function refresh() {
      boxes.forEach((box, place) => (box.nextSibling.textContent = links[place].textContent));
      start.disabled = !wanted().length;
    }
    function tick(test) {
      for (const box of boxes) box.checked = test(box.value);
      refresh();
    }
    const changed = () => tell("key", { section, slot: section.dataset.shown });
    all.onclick = () => tick(() => true);
    none.onclick = () => tick(() => false);
    start.onclick = () => {
      const slots = wanted();
      const hidden = figures.map((figure) => figure.hidden);
      const lay = () => {
        for (const figure of figures) figure.hidden = !slots.includes(figure.dataset.slot);
        changed();
        return Promise.resolve(transposary.partsReady?.(section));
      };
      sheet(lay, () => {
        figures.forEach((figure, place) => (figure.hidden = hidden[place]));
        changed();
      });
    };
    panel.addEventListener("change", refresh);
    panel.addEventListener("toggle", () => {
      if (panel.open && wanted().length === 0) tick((slot) => slot === section.dataset.shown);
    });
    on("part", refresh);
    refresh();
  }

  function handout(list) {
    const sections = [...list.querySelectorAll("[data-device]")];
    const ready = () => Promise.all(sections.map((section) => transposary.partsReady?.(section)));
    list.before(button("Print", () => sheet(ready, () => {}), { class: "tp-quiet tp-print" }));
  }

  for (const section of document.querySelectorAll("[data-device]")) {
    if (section.querySelector(".tp-picker")) keys(section);
  }
  document.querySelectorAll(".tp-handout").forEach(handout);
})();
