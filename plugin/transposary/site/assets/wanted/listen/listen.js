/* The page listens to the reader play a device: right, wrong and late, and what to repair.
 *
 * By a MIDI keyboard, or by the keyboard on the page, where only pitch is judged.
 */
(function () {
  "use strict";

  const { draw, judge, keyName, make, notes, on, place: where } = transposary;
  // A cross over a head that was not played, an arrowhead behind one that came late.
  function sign(head, word) {
    const { x, y, width, height } = (head.querySelector("use[href^='#glyph-E0A']") || head).getBBox();
    const cross = `M${x} ${y}l${width} ${height}m0 ${-height}l${-width} ${height}`;
    const arrow = `M${x + width + 50} ${y - 40}l110 ${height / 2 + 40}l-110 ${height / 2 + 40}`;
    head.append(draw("path", { class: "tp-verdict", d: word === "late" ? arrow : cross }));
  }

  transposary.listen = function (section, door) {
    const data = notes(section);
    const shown = () => transposary.shown(section);
    let presses = [];
    let wanted = [];
    const box = section.querySelector(".tp-listen");
    const [connect, again] = box.querySelectorAll("button");
    const [told, keys, repairs] = box.querySelectorAll("p, div, ul");
    again.onclick = begin;
    box.hidden = false;
    door.hidden = true;
    const board = transposary.strip(keys, { name: "Keyboard to play on", onPress: (note) => press(note, null) });

    function figure() {
      return section.querySelector(`figure[data-slot="${shown()}"]`);
    }

    function clear() {
      for (const one of section.querySelectorAll("[data-played]")) delete one.dataset.played;
      for (const one of section.querySelectorAll(".tp-verdict")) one.remove();
    }

    function spelled(number) {
      const at = data.keys[shown()].midi.indexOf(number);
      return at < 0 ? keyName(number) : keyName(number, data.keys[shown()].fifths[at]);
    }

    function verdict(state) {
      const missed = state.midi.filter((one) => !state.hit.has(one)).map(spelled);
      const said = [];
      if (state.wrong.length) said.push(`${state.wrong.map((one) => keyName(one)).join(", ")} does not belong here; it is ${state.midi.map(spelled).join(", ")}`);
      else if (missed.length) said.push(`${missed.join(", ")} was left out`);
      if (state.late) said.push(`late by ${state.late.toFixed(1)} of a beat`);
      return said.join("; ");
    }

    function show() {
      clear();
      const { states, at, done } = judge.follow(wanted, presses, data.bars[0].beat);
      for (const [place, state] of states.entries()) {
        if (place > at || (place === at && !state.hit.size && !state.wrong.length)) break;
        for (const [order, index] of state.notes.entries()) {
          const hit = state.hit.has(state.midi[order]);
          const word = hit ? (state.late ? "late" : state.wrong.length ? "wrong" : "right") : place < at || state.wrong.length ? "wrong" : "";
          if (!word) continue;
          for (const head of figure().querySelectorAll(`[data-note="${index}"]`)) {
            head.dataset.played = word;
            if (word !== "right") sign(head, word);
          }
        }
      }
      if (!done) {
        told.textContent = presses.length ? `${at} of ${states.length} played.` : `Play it in ${figure().dataset.tonic}, from ${where(data, wanted[0].onset)}.`;
        return;
      }
      const faults = states.filter((state) => verdict(state));
      const right = states.length - faults.length;
      told.textContent = faults.length ? `${right} of ${states.length} right. To repair:` : `All ${states.length} right.`;
      repairs.replaceChildren(...faults.map((state) => make("li", {}, `${where(data, state.onset)}: ${verdict(state)}`)));
    }

    function press(number, time) {
      if (judge.follow(wanted, presses).done) begin();
      presses = [...presses, { midi: number, time }];
      show();
    }

    function begin() {
      presses = [];
      wanted = judge.moments(data, shown());
      const all = wanted.flatMap((one) => one.midi);
      board.range(Math.min(...all) - 2, Math.max(...all) + 2);
      repairs.replaceChildren();
      show();
    }

    transposary.midi(connect, (number, time) => press(number, time / 1000));
    on("key", begin, section);
    begin();
    (connect.hidden ? again : connect).focus();
  };
})();
