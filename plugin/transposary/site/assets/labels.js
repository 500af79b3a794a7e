/* The words under the notes: degrees as engraved, or what the reader chooses. Remembered.
 *
 *   transposary.labelOf(section, slot, index, moved)   the word for a note by the present choice;
 *                                                      `moved` is what a part adds to its name
 *
 * Engravings wear degrees. `fingers`, where the notes of a key have them, are offered too. What a
 * part reads is moved by `transposary.written(section, slot)`, on the line of fifths.
 */
(function () {
  "use strict";

  const { remember, remembered, spell, on, tell, notes, group, make } = transposary;
  const GERMAN = ["F", "C", "G", "D", "A", "E", "H"];
  const SYLLABLES = { F: "fa", C: "do", G: "sol", D: "re", A: "la", E: "mi", B: "si" };
  const CHOICES = [
    ["degrees", "degrees"],
    ["english", "note names"],
    ["german", "note names, German (H, B)"],
    ["solfege", "note names, do re mi"],
    ["fingers", "fingering (suggested)"],
    ["nothing", "nothing"],
  ];

  // B natural is H and B flat is B; A and E drop the e of -es; a second flat adds -es.
  function german(fifths) {
    const alter = Math.floor((fifths + 1) / 7);
    const letter = GERMAN[fifths + 1 - 7 * alter];
    if (alter >= 0) return letter + "is".repeat(alter);
    if (letter === "H") return alter === -1 ? "B" : `H${"es".repeat(-alter)}`;
    return letter + ("AE".includes(letter) ? "s" : "es") + "es".repeat(-alter - 1);
  }

  function solfege(fifths) {
    const name = spell(fifths);
    return SYLLABLES[name[0]] + name.slice(1);
  }

  const NAMES = { english: spell, german, solfege };
  const pretty = (degree) => degree.replace(/b/g, "♭").replace(/#/g, "♯");
  const chosen = () => {
    const choice = remembered("labels");
    return CHOICES.some(([name]) => name === choice) ? choice : "degrees";
  };

  function labelOf(section, slot, index, moved = 0) {
    const data = notes(section);
    const key = data.keys[slot];
    const choice = chosen();
    if (choice in NAMES) return NAMES[choice](key.fifths[index] + moved);
    if (choice === "fingers" && key.fingers) return String(key.fingers[index] || "");
    return choice === "nothing" ? "" : pretty(data.notes[index].degree);
  }

  function write(section, figure) {
    const { slot } = figure.dataset;
    const moved = transposary.written?.(section, slot) || 0;
    for (const place of figure.querySelectorAll("[data-note] > text")) {
      place.dataset.size ||= place.getAttribute("font-size");
      const text = labelOf(section, slot, Number(place.parentNode.dataset.note), moved);
      place.textContent = text;
      const smaller = [1, 1, 0.92, 0.82][text.length] || 0.68;
      place.setAttribute("font-size", Math.round(place.dataset.size * smaller));
    }
  }

  function enhance(section) {
    const data = notes(section);
    const fingered = Object.values(data.keys).some(({ fingers }) => fingers);
    const offered = CHOICES.filter(([name]) => name !== "fingers" || fingered);
    const options = offered.map(([value, words]) => make("option", { value }, words));
    const select = make("select", {}, ...options);
    group(section, "Labels").append(make("label", { class: "tp-field" }, "Under the notes ", select));

    // Twelve engravings are many words: those that are shown are written, the rest when they are.
    function refresh() {
      select.value = chosen();
      if (select.selectedIndex < 0) select.value = "degrees";
      for (const figure of section.querySelectorAll("figure[data-slot]:not([hidden])")) {
        if (select.value !== "degrees" || figure.dataset.labels) write(section, figure);
        figure.dataset.labels = select.value;
      }
    }
    select.addEventListener("change", () => {
      remember("labels", select.value);
      tell("labels", { choice: select.value });
    });
    on("labels", refresh);
    on("part", refresh);
    on("key", (shown) => shown.section === section && refresh());
    refresh();
  }

  Object.assign(transposary, { labelOf, noteName: (fifths, choice) => (NAMES[choice] || spell)(fifths) });
  document.querySelectorAll("[data-device]").forEach((section) => {
    if (notes(section)) enhance(section);
  });
})();
