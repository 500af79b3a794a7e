/* The keyboard under an engraving: the whole figure or a moment of it, and what sounds.
 *
 *   transposary.moments(data)        what is struck at once, in order: [{ onset, notes: [index] }]
 *   transposary.place(data, onset)   where that is: `bar 2, beat 1`
 *
 * It stands in the figure of the key that is shown, and wears the words that stand under the
 * notes, but for names: a key of the piano has its own, whatever instrument reads. A
 * press on a note of the engraving chooses its moment.
 */
(function () {
  "use strict";

  const { keyName, labelOf, on, remember, remembered } = transposary;
  const HANDS = { RH: "right hand", LH: "left hand" };
  const CLOSE = 1e-3;

  function moments(data) {
    const found = new Map();
    for (const { index, onset, tie, grace } of data.notes) {
      if (grace || tie === "continue" || tie === "stop") continue;
      found.set(onset, [...(found.get(onset) || []), index]);
    }
    return [...found].sort(([one], [other]) => one - other).map(([onset, notes]) => ({ onset, notes }));
  }

  function place(data, onset) {
    const bar = data.bars.findLast((one) => one.onset <= onset + CLOSE) || data.bars[0];
    const full = bar.number === 0 && data.bars[1] ? data.bars[1].duration : bar.duration;
    const beat = (onset - bar.onset + full - bar.duration) / bar.beat + 1;
    const whole = Math.floor(beat + CLOSE);
    return `bar ${bar.number}, ${beat - whole > CLOSE ? "after beat" : "beat"} ${whole}`;
  }

  function enhance(section, data) {
    const times = moments(data).map(({ onset }) => onset);
    const shown = () => transposary.shown(section);
    const box = section.querySelector(".tp-strip");
    const [frame, slider, told] = box.querySelectorAll("div, input, output");
    slider.max = times.length;
    box.open = remembered("keyboard") !== "closed";
    box.hidden = false;
    const { midi: first } = data.keys[shown()];
    const board = transposary.strip(frame, { name: "Keyboard", from: Math.min(...first), to: Math.max(...first) });
    box.addEventListener("toggle", () => remember("keyboard", box.open ? "open" : "closed"));

    function marks(indexes) {
      const slot = shown();
      const { midi, fifths } = data.keys[slot];
      const found = new Map();
      for (const index of indexes) {
        const { hand } = data.notes[index];
        const name = keyName(midi[index], fifths[index]);
        found.set(`${hand} ${midi[index]}`, { midi: midi[index], hand, name, text: labelOf(section, slot, index) });
      }
      return [...found.values()].sort((one, other) => one.midi - other.midi);
    }

    function words(found, hand) {
      const keys = found.filter((one) => one.hand === hand);
      const said = keys.map(({ name, text }) => (text && text !== name ? `${name} (${text})` : name));
      return keys.length ? `${HANDS[hand]} ${said.join(", ")}` : "";
    }

    function show(indexes) {
      const found = marks(indexes);
      board.show(found, Object.keys(HANDS).map((hand) => words(found, hand)).filter(Boolean).join("; "));
    }

    function chosen() {
      if (slider.value === "0") return data.notes.map(({ index }) => index);
      const onset = times[slider.value - 1];
      return data.notes
        .filter((note) => !note.grace && note.onset <= onset + CLOSE && note.onset + note.duration > onset + CLOSE)
        .map(({ index }) => index);
    }

    function refresh() {
      const { midi } = data.keys[shown()];
      const engraving = section.querySelector(`figure[data-slot="${shown()}"] .tp-engraving`);
      if (engraving && engraving.nextElementSibling !== box) engraving.after(box);
      board.range(Math.min(...midi), Math.max(...midi));
      told.value = slider.value === "0" ? "the whole figure" : place(data, times[slider.value - 1]);
      slider.setAttribute("aria-valuetext", told.value);
      show(chosen());
    }

    slider.addEventListener("input", refresh);
    section.addEventListener("click", (event) => {
      const struck = event.target.closest("[data-note]");
      if (!struck) return;
      const { onset } = data.notes[struck.dataset.note];
      slider.value = times.findLastIndex((time) => time <= onset + CLOSE) + 1;
      refresh();
    });
    on("key", refresh, section);
    on("labels", refresh);
    on("part", refresh);
    on("sounding", ({ notes }) => show(notes), section);
    on("stopped", refresh, section);
    refresh();
  }

  Object.assign(transposary, { moments, place });
  transposary.devices(enhance);
})();
