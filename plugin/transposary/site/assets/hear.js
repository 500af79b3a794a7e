/* The controls of the player on a device's page, and the marks on what sounds.
 *
 * What is a matter of habit (click, count-in, loudness, what comes after a round) is remembered;
 * tempo, bars and hands belong to the device at hand and begin anew on each page. The controls
 * stand in the page (tools.html.j2), as those of the other scripts of a device do.
 */
(function () {
  "use strict";

  const { SLOTS, beatsAMinute, button, group, hear, held, notes, on, say, tell } = transposary;
  const HABITS = { counted: true, click: true, then: "again", rounds: 1, step: 0, move: "5", volume: 60 };

  const habits = () => transposary.recalled("hear", HABITS);

  const valueOf = (control) => (control.type === "checkbox" ? control.checked : control.min ? held(control) : control.value);

  function clear(place) {
    for (const one of place.querySelectorAll(".tp-sounds")) one.classList.remove("tp-sounds");
  }

  function mark(place, figure, { notes: struck, symbol }) {
    clear(place);
    const found = struck.flatMap((index) => [...figure.querySelectorAll(`[data-note="${index}"]`)]);
    for (const one of found) one.classList.add("tp-sounds");
    figure.querySelector(`[data-symbol="${symbol}"]`)?.classList.add("tp-sounds");
    reveal(figure.querySelector(".tp-engraving"), found[0]);
  }

  // At once and not in a glide: nothing moves that the reader did not ask to move.
  function reveal(frame, element) {
    if (!element || frame.scrollWidth <= frame.clientWidth) return;
    const outer = frame.getBoundingClientRect();
    const { left, right } = element.getBoundingClientRect();
    if (left >= outer.left && right <= outer.right - outer.width / 5) return;
    frame.scrollLeft += left - outer.left - outer.width / 5;
  }

  // A version as played: one button, a bar counted and the notes once.
  function enhancePlayed(figure, data) {
    const mine = () => hear.playing() === figure;
    const name = () => (play.textContent = mine() ? "Stop" : "Play it as played");
    const play = button("", () => {
      if (mine()) return hear.stop();
      const { counted, click, volume } = habits();
      hear.volume((volume / 100) ** 2);
      hear.start({ section: figure, data, slot: Object.keys(data.keys)[0], options: { click }, counted });
      return name();
    }, { class: "tp-quiet" });
    on("sounding", (now) => mark(figure, figure, now), figure);
    on("stopped", () => {
      clear(figure);
      name();
    }, figure);
    figure.querySelector("figcaption").append(" ", play);
    name();
  }

  function enhance(section, data) {
    const habit = habits();
    const shown = () => transposary.shown(section);
    const figureOf = (slot) => section.querySelector(`figure[data-slot="${slot}"]`);
    // As the row of keys has it, where another instrument may read another key.
    const tonic = (slot) => section.querySelector(`.tp-picker a[href="#${slot}"]`).textContent;
    let moving = false;
    let sounding = null; // the slot

    const controls = group(section, "Hear");
    const { play, tempo, pace, tap, feel, first, last, under, click, then, rounds, step, move, volume } = controls;
    const { next } = group(section, "Keys");
    const after = rounds.closest("div");
    for (const name of Object.keys(HABITS)) {
      controls[name][controls[name].type === "checkbox" ? "checked" : "value"] = habit[name];
    }
    play.onclick = () => (sounding === null ? start(controls.counted.checked) : hear.stop());
    next.onclick = () => {
      tell("wanted", { section, slot: neighbour(shown()) });
      say(tonic(shown()));
    };

    const options = () => ({
      percent: Number(tempo.value),
      feel: feel.value,
      first: Math.min(first.value, last.value),
      last: Math.max(first.value, last.value),
      muted: ["RH", "LH"].filter((hand) => !controls[hand].checked).join(" "),
      under: under.value,
      click: click.checked,
    });

    const neighbour = (slot) => SLOTS[(SLOTS.indexOf(slot) + Number(move.value)) % 12];

    // What comes after a round; the controls are asked each time, so that a change counts at once.
    function following({ slot, options: before, round }) {
      if (then.value === "stop") return null;
      const turn = round % held(rounds) === 0;
      const faster = turn ? held(step) : 0;
      return {
        slot: turn && then.value === "next" ? neighbour(slot) : slot,
        options: { ...before, percent: Math.min(tempo.max, before.percent + faster) },
      };
    }

    function start(count) {
      hear.start({ section, data, slot: shown(), options: options(), counted: count, following });
      sounding = shown();
      refresh();
    }

    function refresh() {
      const mine = sounding !== null;
      play.textContent = mine ? "Stop" : `Play in ${tonic(shown())}`;
      play.classList.toggle("tp-playing", mine);
      pace.value = `${Math.round(beatsAMinute(data, tempo.value))} beats a minute, ${tempo.value} %`;
      tempo.setAttribute("aria-valuetext", pace.value);
      after.hidden = then.value === "stop";
      hear.volume((volume.value / 100) ** 2);
    }

    function keep() {
      const values = Object.keys(HABITS).map((name) => [name, valueOf(controls[name])]);
      transposary.remember("hear", JSON.stringify(Object.fromEntries(values)));
    }

    // A pause of two seconds begins a new count; the last four beats tell the tempo.
    let taps = [];
    tap.addEventListener("click", ({ timeStamp: now }) => {
      if (taps.length && now - taps.at(-1) > 2000) taps = [];
      taps = [...taps, now].slice(-5);
      if (taps.length < 2) return;
      const beat = (taps.at(-1) - taps[0]) / (taps.length - 1);
      tempo.value = (60000 / beat / beatsAMinute(data, 100)) * 100;
      changed({ target: tempo });
    });

    // A habit counts from the next round on, but for the click.
    function changed({ target }) {
      keep();
      refresh();
      if (sounding !== null && (target === click || !(target.name in HABITS))) hear.change(options());
    }

    const box = play.closest("fieldset");
    box.addEventListener("input", refresh);
    box.addEventListener("change", changed);
    // A press begins before it is a click, and the first audio of a browser may need 100 ms.
    box.addEventListener("mousedown", hear.audio);

    // The row of keys is written anew by a script that hears of it later.
    on("part", () => queueMicrotask(refresh));
    document.addEventListener("DOMContentLoaded", refresh);
    on("round", (now) => {
      sounding = now.slot;
      tempo.value = now.options.percent;
      if (now.slot !== shown()) {
        moving = true;
        tell("wanted", { section, slot: now.slot });
        moving = false;
        say(`Now in ${tonic(now.slot)}`);
      }
      refresh();
    }, section);
    on("sounding", (now) => mark(section, figureOf(now.slot), now), section);
    on("stopped", () => {
      sounding = null;
      clear(section);
      refresh();
    }, section);
    on("key", ({ slot }) => {
      if (sounding !== null && !moving && slot !== sounding) start(false);
      refresh();
    }, section);
    refresh();
  }

  transposary.devices(enhance);
  for (const figure of document.querySelectorAll("[data-applied] figure:has(.tp-notes-data)")) {
    enhancePlayed(figure, notes(figure));
  }
})();
