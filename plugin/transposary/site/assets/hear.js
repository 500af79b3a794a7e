/* The controls of the player on a device's page, and the marks on what sounds.
 *
 * What is a matter of habit (click, count-in, loudness, what comes after a round) is remembered;
 * tempo, bars and hands belong to the device at hand and begin anew on each page.
 */
(function () {
  "use strict";

  const { on, tell, say, notes, group, make, hear, beatsAMinute } = transposary;
  const SLOTS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"];
  const SLOWEST = 40;
  const FASTEST = 160;
  const FEELS = [
    ["written", "as the entry says"],
    ["straight", "straight"],
    ["swing", "swung"],
    ["shuffle", "shuffled"],
    ["half", "half time"],
    ["double", "double time"],
  ];
  const UNDERS = [
    ["", "nothing"],
    ["chords", "chords"],
    ["bass", "bass"],
    ["chords bass", "chords and bass"],
  ];
  const THENS = [
    ["stop", "stop"],
    ["again", "play it again"],
    ["next", "go to the next key"],
  ];
  const MOVES = [
    ["5", "fourths"],
    ["7", "fifths"],
    ["1", "semitones up"],
    ["11", "semitones down"],
  ];
  const HANDS = [
    ["RH", "Right hand"],
    ["LH", "Left hand"],
  ];
  const HABITS = { counted: true, click: true, then: "again", rounds: 1, step: 0, move: "5", volume: 60 };
  const CAUTION = "Keep the volume safe for your ears.";

  function habits() {
    try {
      return { ...HABITS, ...JSON.parse(transposary.remembered("hear")) };
    } catch {
      return { ...HABITS };
    }
  }

  const field = (words, control, ...after) => make("label", { class: "tp-field" }, `${words} `, control, ...after);
  const option = (name, words, selected) => make("option", { value: name, selected }, words);
  const select = (options, value = options[0][0]) =>
    make("select", {}, ...options.map(([name, words]) => option(name, words, name === value)));
  const tick = (checked) => make("input", { type: "checkbox", checked });
  const number = (value, min, max) => make("input", { type: "number", value, min, max, inputmode: "numeric" });
  const within = (value, low, high) => Math.min(high, Math.max(low, Math.round(Number(value)) || low));

  // A line of single notes in one hand: something can be put under it.
  function single(data) {
    const onsets = data.notes.filter(({ grace }) => !grace).map(({ onset }) => onset);
    return data.symbols.length > 0 && new Set(onsets).size === onsets.length;
  }

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
    const play = make("button", { type: "button", class: "tp-quiet" });
    const mine = () => hear.playing() === figure;
    const name = () => (play.textContent = mine() ? "Stop" : "Play it as played");
    play.addEventListener("click", () => {
      if (mine()) return hear.stop();
      const { counted, click, volume } = habits();
      hear.volume((volume / 100) ** 2);
      hear.start({ section: figure, data, slot: Object.keys(data.keys)[0], options: { click }, counted });
      return name();
    });
    on("sounding", (now) => now.section === figure && mark(figure, figure, now));
    on("stopped", (now) => {
      if (now.section !== figure) return;
      clear(figure);
      name();
    });
    figure.querySelector("figcaption").append(" ", play);
    name();
  }

  function enhance(section, data) {
    const habit = habits();
    const shown = () => section.dataset.shown || section.dataset.home;
    const figureOf = (slot) => section.querySelector(`figure[data-slot="${slot}"]`);
    // As the row of keys has it, where another instrument may read another key.
    const tonic = (slot) => section.querySelector(`.tp-picker a[href="#${slot}"]`).textContent;
    let moving = false;
    let sounding = null; // the slot

    const play = make("button", { type: "button", class: "tp-play" });
    const tempo = make("input", { type: "range", min: SLOWEST, max: FASTEST, value: 100 });
    const pace = make("output", {});
    const tap = make("button", { type: "button" }, "Tap the beat");
    const nextKey = make("button", { type: "button", class: "tp-quiet" }, "Next key");
    const feel = select(FEELS);
    const bars = data.bars.map(({ number: name }, index) => [String(index), String(name)]);
    const first = select(bars);
    const last = select(bars, String(data.bars.length - 1));
    const hands = HANDS.filter(([hand]) => data.notes.some((note) => note.hand === hand));
    const heard = hands.map(([hand, words]) => ({ hand, words, box: tick(true) }));
    const under = select(UNDERS);
    const counted = tick(habit.counted);
    const click = tick(habit.click);
    const then = select(THENS, habit.then);
    const rounds = number(habit.rounds, 1, 32);
    const step = number(habit.step, 0, 30);
    const move = select(MOVES, habit.move);
    const volume = make("input", { type: "range", min: 0, max: 100, value: habit.volume });

    const options = () => ({
      percent: Number(tempo.value),
      feel: feel.value,
      first: Math.min(first.value, last.value),
      last: Math.max(first.value, last.value),
      muted: heard.filter(({ box }) => !box.checked).map(({ hand }) => hand).join(" "),
      under: under.value,
      click: click.checked,
    });

    const neighbour = (slot) => SLOTS[(SLOTS.indexOf(slot) + Number(move.value)) % 12];

    // What comes after a round; the controls are asked each time, so that a change counts at once.
    function following({ slot, options: before, round }) {
      if (then.value === "stop") return null;
      const turn = round % within(rounds.value, 1, 32) === 0;
      const faster = turn ? within(step.value, 0, 30) : 0;
      return {
        slot: turn && then.value === "next" ? neighbour(slot) : slot,
        options: { ...before, percent: Math.min(FASTEST, before.percent + faster) },
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
      const now = { counted: counted.checked, click: click.checked, then: then.value, move: move.value };
      const numbers = { rounds: within(rounds.value, 1, 32), step: within(step.value, 0, 30) };
      transposary.remember("hear", JSON.stringify({ ...now, ...numbers, volume: Number(volume.value) }));
    }

    // A pause of two seconds begins a new count; the last four beats tell the tempo.
    let taps = [];
    tap.addEventListener("click", (event) => {
      const now = event.timeStamp;
      if (taps.length && now - taps.at(-1) > 2000) taps = [];
      taps = [...taps, now].slice(-5);
      if (taps.length < 2) return;
      const beat = (taps.at(-1) - taps[0]) / (taps.length - 1);
      tempo.value = within((60000 / beat / beatsAMinute(data, 100)) * 100, SLOWEST, FASTEST);
      changed();
    });

    function changed() {
      refresh();
      if (sounding !== null) hear.change(options());
    }

    play.addEventListener("click", () => (sounding === null ? start(counted.checked) : hear.stop()));
    nextKey.addEventListener("click", () => {
      tell("wanted", { section, slot: neighbour(shown()) });
      say(`${tonic(shown())}`);
    });
    tempo.addEventListener("input", refresh);
    volume.addEventListener("input", refresh);
    for (const one of [tempo, feel, first, last, under, click, ...heard.map(({ box }) => box)]) {
      one.addEventListener("change", changed);
    }
    for (const one of [counted, click, then, rounds, step, move, volume]) {
      one.addEventListener("change", () => {
        keep();
        refresh();
      });
    }

    const after = make(
      "div",
      { class: "tp-fields" },
      field("Rounds before a change", rounds),
      field("Faster each time by", step, " %"),
    );
    const more = make(
      "details",
      { class: "tp-how" },
      make("summary", {}, "How it is played"),
      make(
        "div",
        { class: "tp-fields" },
        field("Feel", feel),
        ...(bars.length > 1 ? [field("From bar", first), field("To bar", last)] : []),
        ...(heard.length > 1 ? heard.map(({ words, box }) => field(words, box)) : []),
        ...(single(data) ? [field("Under it", under)] : []),
        field("Count a bar first", counted),
        field("Click", click),
        tap,
      ),
      make("div", { class: "tp-fields" }, field("At the end", then), field("Keys in", move)),
      after,
      make("div", { class: "tp-fields" }, field("Volume", volume), make("span", { class: "tp-caution" }, CAUTION)),
    );
    const row = make("div", { class: "tp-fields" }, play, field("Tempo", tempo, " ", pace));
    group(section, "Keys").prepend(nextKey);
    group(section, "Hear").append(row, more);

    // The row of keys is written anew by a script that hears of it later.
    on("part", () => queueMicrotask(refresh));
    document.addEventListener("DOMContentLoaded", refresh);
    on("round", (now) => {
      if (now.section !== section) return;
      sounding = now.slot;
      tempo.value = now.options.percent;
      if (now.slot !== shown()) {
        moving = true;
        tell("wanted", { section, slot: now.slot });
        moving = false;
        say(`Now in ${tonic(now.slot)}`);
      }
      refresh();
    });
    on("sounding", (now) => now.section === section && mark(section, figureOf(now.slot), now));
    on("stopped", (now) => {
      if (now.section !== section) return;
      sounding = null;
      clear(section);
      refresh();
    });
    on("key", (now) => {
      if (now.section !== section) return;
      if (sounding !== null && !moving && now.slot !== sounding) start(false);
      refresh();
    });
    refresh();
  }

  for (const section of document.querySelectorAll("[data-device]")) {
    const data = notes(section);
    if (data && data.notes.length) enhance(section, data);
  }
  for (const figure of document.querySelectorAll("[data-applied] figure:has(.tp-notes-data)")) {
    enhancePlayed(figure, notes(figure));
  }
})();
