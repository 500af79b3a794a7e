/* The words under the notes: degrees as engraved, or what the reader chooses. Remembered.
 *
 *   transposary.labelOf(section, slot, index, moved)   the word for a note by the present choice;
 *                                                      `moved` is what a part adds to its name
 *
 * Engravings wear degrees. `fingers`, where the notes of a key have them, are offered too; where
 * none is known, as in a version as played, degrees stay. What a part reads is moved by
 * `transposary.written(section, slot)`, on the line of fifths.
 */
(function () {
  "use strict";

  const { choose, group, named, notes, on, remember, remembered, spell, tell } = transposary;
  const SYLLABLES = { F: "fa", C: "do", G: "sol", D: "re", A: "la", E: "mi", B: "si" };
  // B natural is H and B flat is B; A and E drop the e of -es; a second flat adds -es.
  function german(fifths) {
    const { letter, alter } = named(fifths);
    if (letter === "B") return alter === -1 ? "B" : `H${(alter < 0 ? "es" : "is").repeat(Math.abs(alter))}`;
    if (alter >= 0) return letter + "is".repeat(alter);
    return letter + ("AE".includes(letter) ? "s" : "es") + "es".repeat(-alter - 1);
  }

  function solfege(fifths) {
    return SYLLABLES[named(fifths).letter] + spell(fifths).slice(1);
  }

  const NAMES = { english: spell, german, solfege };
  const pretty = (degree) => degree.replace(/b/g, "♭").replace(/#/g, "♯");
  const chosen = () => remembered("labels") || "degrees";

  function word(fifths, degree, finger) {
    const choice = chosen();
    if (choice in NAMES) return NAMES[choice](fifths);
    if (choice === "fingers" && finger !== undefined) return String(finger || "");
    return choice === "nothing" ? "" : pretty(degree);
  }

  function labelOf(section, slot, index, moved = 0) {
    const data = notes(section);
    const { fifths, fingers } = data.keys[slot];
    const known = fingers?.some(Boolean);
    return word(fifths[index] + moved, data.notes[index].degree, known ? fingers[index] : undefined);
  }

  // Writes the words of an engraving; `wordOf` gives that of a note by its index and what was engraved.
  function write(figure, attribute, wordOf) {
    for (const place of figure.querySelectorAll(`[data-${attribute}] > text`)) {
      place.dataset.size ||= place.getAttribute("font-size");
      place.dataset.word ||= place.textContent;
      const text = wordOf(place.parentNode.dataset[attribute], place.dataset.word);
      place.textContent = text;
      const smaller = [1, 1, 0.92, 0.82][text.length] || 0.68;
      place.setAttribute("font-size", Math.round(place.dataset.size * smaller));
    }
  }

  function follow(refresh) {
    on("labels", refresh);
    refresh();
  }

  function enhance(section) {
    const { labels: select } = group(section, "Labels");

    // Twelve engravings are many words: those that are shown are written, the rest when they are.
    function refresh() {
      choose(select, chosen());
      for (const figure of section.querySelectorAll("figure[data-slot]:not([hidden])")) {
        const { slot } = figure.dataset;
        const moved = transposary.written?.(section, slot) || 0;
        if (select.value !== "degrees" || figure.dataset.labels) write(figure, "note", (index) => labelOf(section, slot, index, moved));
        figure.dataset.labels = select.value;
      }
    }
    select.addEventListener("change", () => {
      remember("labels", select.value);
      tell("labels");
    });
    on("part", refresh);
    on("key", refresh, section);
    follow(refresh);
  }

  // A version as played, and the device itself above it: in the same engraving or in one before it.
  function compare(figure) {
    const { keys, own } = notes(figure);
    const [slot] = Object.keys(keys);
    const ofOwn = (index) => word(own.fifths[index], own.degree[index]);
    const before = figure.previousElementSibling;
    follow(() => {
      write(figure, "note", (index) => labelOf(figure, slot, index));
      write(figure, "above", ofOwn);
      if (before?.matches("figure")) write(before, "note", ofOwn);
    });
  }

  // A device carried over to a song, as it comes: its degrees are those that are engraved.
  on("later", ({ figure, fifths }) => {
    follow(() => write(figure, "note", (index, degree) => word(fifths[index], degree)));
  });

  Object.assign(transposary, { labelOf, noteName: (fifths, choice) => (NAMES[choice] || spell)(fifths) });
  transposary.devices(enhance);
  document.querySelectorAll("[data-applied] figure:has(.tp-notes-data)").forEach(compare);
})();
