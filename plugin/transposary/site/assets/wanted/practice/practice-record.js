/* The record of a reader's practice: kept in the browser, carried away and brought back as a file.
 *
 *   transposary.record.read()       { takes, all, said }, `said` being what the reader has to know
 *   transposary.record.add(takes)   joins takes to what is kept; gives the same
 *   transposary.record.undo(take)   takes one back; gives the same
 *   transposary.record.write(takes) the text of the file
 *   transposary.record.parse(text)  { takes } or { said }
 *   transposary.record.join(a, b)   both, each take once, in order
 *
 * The store is `transposary.practice.1`; 1 is the version of the format, and another version keeps its
 * own store. Takes are only ever joined: two tabs, two browsers and an old file lose nothing. So one
 * that is taken back stays in `all`, marked `undone`, and is gone wherever the record is joined to.
 */
(function () {
  "use strict";

  const FORMAT = 1;
  const STORE = `transposary.practice.${FORMAT}`;
  const FULL = "This browser keeps no more: what you play now is gone when you leave the page. Save your record as a file.";
  const OTHER = "is no practice record that this version of the book can read";
  const AT = /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d\.\d{3}$/;

  // What could not be kept lives as long as the page.
  let held = [];

  const whole = (value, low, high) => Number.isInteger(value) && value >= low && value <= high;

  function sound(take) {
    const { device, slot, at, tempo, slips } = take || {};
    const named = typeof device === "string" && transposary.SLOTS.includes(slot);
    const dated = typeof at === "string" && AT.test(at) && !Number.isNaN(Date.parse(at));
    return named && dated && whole(tempo, 1, 400) && whole(slips, 0, 999);
  }

  const plain = ({ device, slot, at, tempo, slips, undone }) => ({ device, slot, at, tempo, slips, ...(undone && { undone: true }) });
  const nameOf = ({ device, slot, at, tempo, slips }) => [at, device, slot, tempo, slips].join(" ");

  function join(...records) {
    const known = new Map();
    for (const take of records.flat()) if (!known.get(nameOf(take))?.undone) known.set(nameOf(take), plain(take));
    return [...known].sort(([one], [other]) => (one < other ? -1 : 1)).map(([, take]) => take);
  }

  const found = (all, said) => ({ takes: all.filter(({ undone }) => !undone), all, said });

  const write = (takes) => JSON.stringify({ format: FORMAT, takes });

  function parse(text) {
    let file = null;
    try {
      file = JSON.parse(text);
    } catch {
      return { said: `The file ${OTHER}.` };
    }
    if (file?.format !== FORMAT || !Array.isArray(file.takes) || !file.takes.every(sound)) {
      const number = Number.isInteger(file?.format) && file.format !== FORMAT ? ` Its format is ${file.format}, not ${FORMAT}.` : "";
      return { said: `The file ${OTHER}.${number}` };
    }
    return { takes: join(file.takes) };
  }

  // Puts aside what cannot be read, so that nothing is ever written over.
  function putAside(text) {
    const before = localStorage.getItem(`${STORE}.unread`);
    localStorage.setItem(`${STORE}.unread`, before ? `${before}\n${text}` : text);
    localStorage.removeItem(STORE);
  }

  function stored() {
    const text = localStorage.getItem(STORE);
    if (text === null) return [];
    const found = parse(text);
    if (found.takes) return found.takes;
    putAside(text);
    return [];
  }

  const read = () => add([]);

  function add(takes) {
    held = join(held, takes);
    let kept = [];
    try {
      kept = stored();
      const all = join(kept, held);
      if (held.length) localStorage.setItem(STORE, write(all));
      held = [];
      const aside = localStorage.getItem(`${STORE}.unread`) !== null;
      return found(all, aside ? "What this browser had kept could not be read and was put aside." : "");
    } catch {
      return found(join(kept, held), FULL);
    }
  }

  const undo = (take) => add([{ ...take, undone: true }]);

  transposary.record = { read, add, undo, write, parse, join };
})();
