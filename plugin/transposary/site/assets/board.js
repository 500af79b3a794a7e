/* A keyboard, drawn: which keys, which hand, and as a means to enter notes.
 *
 *   const board = transposary.strip(element, { from, to, name, onPress });
 *   board.range(from, to)      MIDI numbers; widened to where a group of keys ends
 *   board.show(marks, words)   marks: [{ midi, hand, text }]; words say the same
 *
 * The right hand is a solid disc, the left an open square, and under the keys stands R or L: no
 * hand is told by its colour. With `onPress(midi)` each key is a button: one stop of the Tab
 * key, arrows walk by semitones, Enter or Space plays.
 */
(function () {
  "use strict";

  const { draw, make, named, spell } = transposary;
  const WHITE = 26;
  const BLACK = 16;
  const LONG = 96;
  const SHORT = 58;
  const LETTERS = 14; // room for the hands under the keys
  // Blacks stand over the crack between two whites, the outer ones of a group a little outwards.
  const LEAN = { 1: -2, 3: 2, 6: -3, 8: 0, 10: 3 };
  const STEPS = { ArrowLeft: -1, ArrowDown: -1, ArrowRight: 1, ArrowUp: 1 };
  const FIFTHS = [0, -5, 2, -3, 4, -1, 6, 1, -4, 3, -2, 5];

  const isBlack = (midi) => (midi % 12) in LEAN;

  // `E♭4`; with a place on the line of fifths it is spelled so: B♯3 and C4 are one key.
  function keyName(midi, fifths = FIFTHS[midi % 12]) {
    return spell(fifths) + (Math.floor((midi - named(fifths).alter) / 12) - 1);
  }

  // Groups of keys begin with C or F and end with E or B; a keyboard ends with A and C.
  function widened(from, to) {
    while (from > 21 && ![0, 5].includes(from % 12)) from--;
    while (to < 108 && ![4, 11].includes(to % 12)) to++;
    return [from, to];
  }

  function strip(element, { from = 48, to = 71, name = "Keyboard", onPress = null } = {}) {
    const svg = draw("svg", { class: "tp-board", role: onPress ? "group" : "img", "aria-label": name });
    const frame = make("div", { class: "tp-board-frame" }, svg);
    element.append(frame);
    let low = 0;
    let high = 0;
    let lefts = new Map();
    let marked = null;
    let waiting = 0;

    function keyAt(midi) {
      const black = isBlack(midi);
      return draw("rect", {
        x: lefts.get(midi),
        width: black ? BLACK : WHITE,
        height: black ? SHORT : LONG,
        class: black ? "tp-ebony" : "tp-ivory",
        "data-midi": midi,
        ...(onPress && { role: "button", tabindex: midi === low ? 0 : -1, "aria-label": keyName(midi) }),
      });
    }

    function octaveName(midi) {
      const place = { x: lefts.get(midi) + WHITE / 2, y: LONG - 5 };
      return draw("text", { ...place, class: "tp-octave", "aria-hidden": "true" }, keyName(midi));
    }

    function range(lowest, highest) {
      const [begin, end] = widened(lowest, highest);
      if (begin === low && end === high) return;
      [low, high] = [begin, end];
      lefts = new Map();
      let left = 1;
      for (let midi = low; midi <= high; midi++) {
        if (isBlack(midi)) lefts.set(midi, left - BLACK / 2 + LEAN[midi % 12]);
        else {
          lefts.set(midi, left);
          left += WHITE;
        }
      }
      const width = left + 1;
      const height = LONG + LETTERS + 2;
      svg.setAttribute("viewBox", `0 -1 ${width} ${height}`);
      svg.setAttribute("width", width);
      svg.setAttribute("height", height);
      const keys = [...lefts.keys()].sort((one, other) => isBlack(one) - isBlack(other) || one - other);
      const names = keys.filter((midi) => midi % 12 === 0).map(octaveName);
      marked = draw("g", { class: "tp-marks-on-keys", "aria-hidden": "true" });
      svg.replaceChildren(...keys.map(keyAt), ...names, marked);
    }

    const middle = (midi) => lefts.get(midi) + (isBlack(midi) ? BLACK : WHITE) / 2;

    // A key that both hands strike under one name has one mark: the disc within the square.
    function together(marks) {
      const found = [];
      for (const one of marks) {
        const last = found.at(-1);
        if (last?.midi === one.midi && last.hand !== one.hand && last.text === one.text) found.splice(-1, 1, { ...one, hand: "both" });
        else found.push(one);
      }
      return found;
    }

    function mark({ midi, hand, text }, lift) {
      const x = middle(midi);
      const y = (isBlack(midi) ? SHORT - 14 : LONG - 27) - lift;
      const right = hand !== "LH";
      const square = hand === "both" ? 11.5 : 9.5;
      const shapes = [];
      if (hand !== "RH") shapes.push(draw("rect", { x: x - square, y: y - square, width: 2 * square, height: 2 * square }));
      if (right) shapes.push(draw("circle", { cx: x, cy: y, r: hand === "both" ? 9.5 : 10.5 }));
      const words = text || (right ? "R" : "L");
      const size = words.length > 2 ? 8.5 : words.length > 1 ? 10 : 12;
      const label = draw("text", { x, y: y + size * 0.35, "font-size": size }, words);
      return draw("g", { class: right ? "tp-right" : "tp-left" }, ...shapes, label);
    }

    function show(marks, words) {
      const fitting = marks.filter(({ midi }) => lefts.has(midi));
      const letters = new Map();
      const shapes = together(fitting).map((one) => {
        const before = letters.get(one.midi) || "";
        letters.set(one.midi, before + ({ RH: "R", LH: "L" }[one.hand] || "LR"));
        return mark(one, before ? 22 : 0);
      });
      for (const [midi, text] of letters) {
        const small = text.length > 1 ? { style: "font-size: 8px" } : {};
        shapes.push(draw("text", { x: middle(midi), y: LONG + LETTERS - 2, class: "tp-hand", ...small }, text));
      }
      marked.replaceChildren(...shapes);
      svg.setAttribute("aria-label", words ? `${name}: ${words}` : name);
      if (fitting.length) reveal(fitting.map(({ midi }) => middle(midi)));
    }

    // Scrolls the frame where what is marked is out of sight. Once the page is painted: to ask for
    // places before that has the browser lay it out in between.
    function reveal(places) {
      cancelAnimationFrame(waiting);
      waiting = requestAnimationFrame(() => setTimeout(scroll, 0, places));
    }

    function scroll(places) {
      const begin = Math.min(...places) - WHITE;
      const end = Math.max(...places) + WHITE;
      const { scrollLeft, clientWidth } = frame;
      if (begin >= scrollLeft && end <= scrollLeft + clientWidth) return;
      // What is wider than the frame is shown from its lowest key, not from the gap between the hands.
      frame.scrollLeft = Math.max(0, Math.min(begin, (begin + end - clientWidth) / 2));
    }

    function focus(midi) {
      const key = svg.querySelector(`[data-midi="${midi}"]`);
      if (!key) return;
      svg.querySelector("[tabindex='0']")?.setAttribute("tabindex", "-1");
      key.setAttribute("tabindex", "0");
      key.focus();
    }

    if (onPress) {
      svg.addEventListener("pointerdown", (event) => {
        const midi = event.target.dataset.midi;
        if (midi && event.button === 0) onPress(Number(midi));
      });
      svg.addEventListener("keydown", (event) => {
        const midi = Number(event.target.dataset.midi);
        if (!midi || event.altKey || event.ctrlKey || event.metaKey) return;
        if (event.key === "Enter" || event.key === " ") {
          if (!event.repeat) onPress(midi);
        } else if (event.key in STEPS) focus(midi + STEPS[event.key]);
        else if (event.key === "Home") focus(low);
        else if (event.key === "End") focus(high);
        else return;
        event.preventDefault();
      });
    }
    range(from, to);
    return { svg, range, show };
  }

  Object.assign(transposary, { strip, keyName, FIFTHS });
})();
