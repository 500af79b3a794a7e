/* Notes an idea down: what is played on a MIDI keyboard or on the page becomes ABC and a draft entry.
 *
 * One by one, each note lasts as long as the reader has chosen. To a pulse, each begins on the nearest
 * place of the grid, counted from the first one, and lasts until the next or the end of its bar.
 */
(function () {
  "use strict";

  const form = document.querySelector("form.tp-jot");
  if (!form) return;
  // By semitones over the tonic: the sharp four, else flats.
  const { FIFTHS, modulo, named: name, say } = transposary;
  const DEGREES = ["1", "b2", "2", "b3", "3", "4", "#4", "5", "b6", "6", "b7", "7"];
  const SIGNS = { "-2": "__", "-1": "_", 0: "=", 1: "^", 2: "^^" };
  // Lengths that one note can have, in sixteenths.
  const LENGTHS = [16, 12, 8, 6, 4, 3, 2, 1];
  const TOGETHER = 45;
  const { tonic, mode, meter, tempo, way, grid } = form.elements;
  let struck = [];

  function strikes() {
    const step = Number(grid.value);
    const all = [];
    for (const { note, time } of struck) {
      const before = all.at(-1);
      if (before && Math.abs(time - before.time) < TOGETHER) before.notes.push(note);
      else all.push({ time, notes: [note] });
    }
    const sixteenth = 15000 / Math.max(20, Number(tempo.value) || 96);
    let last = -step;
    for (const one of all) {
      const free = Math.round((one.time - all[0].time) / sixteenth / step) * step;
      one.at = way.value === "pulse" ? Math.max(last + step, free) : last + step;
      last = one.at;
    }
    return all;
  }

  function spelled(note) {
    const home = Number(tonic.value);
    const place = modulo(note - home * 7, 12);
    return { ...name(home + FIFTHS[place]), degree: DEGREES[place], octave: 0, note };
  }

  function pitch({ letter, alter, note }, bar) {
    const natural = note - alter;
    const octave = Math.floor(natural / 12) - 1;
    const key = Number(tonic.value) + (mode.value === "minor" ? -3 : 0);
    const own = Math.floor((key - "FCGDAEB".indexOf(letter) + 5) / 7);
    const there = bar.get(letter + octave) ?? own;
    bar.set(letter + octave, alter);
    const sign = alter === there ? "" : SIGNS[alter];
    const high = octave >= 5;
    return sign + (high ? letter.toLowerCase() + "'".repeat(octave - 5) : letter + ",".repeat(4 - octave));
  }

  function written(notes, length, bar) {
    const heads = [...new Set(notes)].sort((one, other) => one - other).map((note) => pitch(spelled(note), bar));
    const parts = [];
    for (let rest = length; rest > 0; ) {
      const part = LENGTHS.find((one) => one <= rest);
      parts.push(part);
      rest -= part;
    }
    const bare = heads.map((head) => head.replace(/^[_^=]+/, ""));
    return parts.map((part, at) => {
      const own = at ? bare : heads;
      const text = own.length > 1 ? `[${own.join("")}]` : own[0];
      return text + (part > 1 ? part : "") + (at < parts.length - 1 ? "-" : "");
    }).join("");
  }

  function noted() {
    const [count, unit] = meter.value.split("/").map(Number);
    const size = (16 * count) / unit;
    const all = strikes();
    const bars = [];
    const degrees = [];
    all.forEach(({ at, notes }, order) => {
      const bar = Math.floor(at / size);
      while (bars.length <= bar) {
        bars.push({ text: [], seen: new Map() });
        degrees.push([]);
      }
      const lead = at - bar * size;
      if (!bars[bar].text.length && lead) bars[bar].text.push(`z${lead}`);
      const until = way.value === "pulse" || order === all.length - 1 || all[order + 1].at >= (bar + 1) * size
        ? Math.min(all[order + 1]?.at ?? Infinity, (bar + 1) * size)
        : all[order + 1].at;
      bars[bar].text.push(written(notes, until - at, bars[bar].seen));
      const said = [...new Set(notes)].sort((one, other) => one - other).map((note) => spelled(note).degree);
      degrees[bar].push(said.length > 1 ? `(${said.join(" ")})` : said[0]);
    });
    const body = bars.map(({ text }) => text.join(" ") || `z${size}`).join(" | ");
    return { body, degrees: degrees.map((bar) => bar.join(" ")).join(" | ") };
  }

  function show() {
    const abc = form.querySelector(".tp-abc");
    const entry = form.querySelector(".tp-entry");
    form.querySelector(".tp-noted").hidden = !struck.length;
    if (!struck.length) {
      abc.value = entry.value = "";
      return;
    }
    const { body, degrees } = noted();
    const mean = struck.reduce((sum, { note }) => sum + note, 0) / struck.length;
    const low = mean < 57;
    const { letter, alter } = name(Number(tonic.value));
    const key = letter + (alter < 0 ? "b" : "#").repeat(Math.abs(alter)) + (mode.value === "minor" ? "m" : "");
    const lines = [`M: ${meter.value}`, "L: 1/16", `K: ${key}${low ? " clef=bass" : ""}`, `${body} |`];
    abc.value = ["X: 1", "T: Idea", ...lines].join("\n");
    entry.value = [
      "---", 'title: "Idea"', 'summary: "Idea, in one sentence."', `role: ${low ? "bass" : "melody"}`,
      `hand: ${low ? "LH" : "RH"}`, `tempo: ${Number(tempo.value) || 96}`,
      `over: "${mode.value === "minor" ? "i" : "I"}"             # what a chart says where it can be played`, "status: draft",
      "notation: |", ...lines.map((line) => `  ${line}`), "theory:", `  degrees: "${degrees}"`, "---",
      "Say what it does to the music, and when you would play it.", "",
    ].join("\n");
  }

  function press(note, time) {
    struck = [...struck, { note, time }];
    show();
    say(`${transposary.keyName(note)} noted`);
  }

  transposary.strip(form.querySelector(".tp-touch"), {
    name: "Keyboard to note down by", from: 41, to: 71, onPress: (note) => press(note, performance.now()),
  });
  transposary.midi(form.querySelector(".tp-midi"), press);
  form.querySelector(".tp-undo").addEventListener("click", () => {
    struck = struck.slice(0, -1);
    show();
  });
  form.querySelector(".tp-clear").addEventListener("click", () => {
    struck = [];
    show();
  });
  for (const button of form.querySelectorAll("[data-copy]")) {
    button.addEventListener("click", () => {
      const area = form.querySelector(button.dataset.copy);
      area.select();
      // From the disk some browsers have no clipboard to write to: the text stays selected.
      navigator.clipboard?.writeText(area.value).then(() => say("Copied"), () => say("Selected: copy it with your keys"));
    });
  }
  form.addEventListener("change", show);
  form.addEventListener("submit", (event) => event.preventDefault());
  form.hidden = false;
})();
