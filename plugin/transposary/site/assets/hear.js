/* The controls of the player on a device's page, and the marks on what sounds.
 *
 * What is a matter of habit (click, count-in, loudness, what comes after a round) is remembered;
 * tempo, bars and hands belong to the device at hand and begin anew on each page.
 */
(function () {
  "use strict";

  const { SLOTS, beatsAMinute, button, field, group, hear, make, notes, number, on, say, select, tell } = transposary;
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

  const habits = () => transposary.recalled("hear", HABITS);
  const tick = (checked) => make("input", { type: "checkbox", checked });
  const range = (value, min, max) => make("input", { type: "range", value, min, max });
  const fields = (...content) => make("div", { class: "tp-fields" }, ...content);
  const within = (value, low, high) => Math.min(high, Math.max(low, Math.round(Number(value)) || low));

  function valueOf({ type, checked, value, min, max }) {
    return type === "checkbox" ? checked : type === "select-one" ? value : within(value, min, max);
  }

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
    const mine = () => hear.playing() === figure;
    const name = () => (play.textContent = mine() ? "Stop" : "Play it as played");
    const play = button("", () => {
      if (mine()) return hear.stop();
      const { counted, click, volume } = habits();
      hear.volume((volume / 100) ** 2);
      hear.start({ section: figure, data, slot: Object.keys(data.keys)[0], options: { click }, counted });
      return name();
    }, { class: "tp-quiet" });
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
    const shown = () => transposary.shown(section);
    const figureOf = (slot) => section.querySelector(`figure[data-slot="${slot}"]`);
    // As the row of keys has it, where another instrument may read another key.
    const tonic = (slot) => section.querySelector(`.tp-picker a[href="#${slot}"]`).textContent;
    let moving = false;
    let sounding = null; // the slot

    const play = button("", () => (sounding === null ? start(counted.checked) : hear.stop()), { class: "tp-play" });
    const tempo = range(100, SLOWEST, FASTEST);
    const pace = make("output", {});
    const tap = button("Tap the beat");
    const nextKey = button("Next key", () => {
      tell("wanted", { section, slot: neighbour(shown()) });
      say(tonic(shown()));
    }, { class: "tp-quiet" });
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
    const volume = range(habit.volume, 0, 100);

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

    const kept = { counted, click, then, rounds, step, move, volume };

    function keep() {
      const values = Object.entries(kept).map(([name, control]) => [name, valueOf(control)]);
      transposary.remember("hear", JSON.stringify(Object.fromEntries(values)));
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

    tempo.addEventListener("input", refresh);
    volume.addEventListener("input", refresh);
    for (const one of [tempo, feel, first, last, under, click, ...heard.map(({ box }) => box)]) {
      one.addEventListener("change", changed);
    }
    for (const one of Object.values(kept)) {
      one.addEventListener("change", () => {
        keep();
        refresh();
      });
    }

    const after = fields(field("Rounds before a change", rounds), field("Faster each time by", step, " %"));
    const more = make(
      "details",
      { class: "tp-how" },
      make("summary", {}, "How it is played"),
      fields(
        field("Feel", feel),
        ...(bars.length > 1 ? [field("From bar", first), field("To bar", last)] : []),
        ...(heard.length > 1 ? heard.map(({ words, box }) => field(words, box)) : []),
        ...(single(data) ? [field("Under it", under)] : []),
        field("Count a bar first", counted),
        field("Click", click),
        tap,
      ),
      fields(field("At the end", then), field("Keys in", move)),
      after,
      fields(field("Volume", volume), make("span", { class: "tp-caution" }, CAUTION)),
    );
    const row = fields(play, field("Tempo", tempo, " ", pace));
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

  transposary.devices(enhance);
  for (const figure of document.querySelectorAll("[data-applied] figure:has(.tp-notes-data)")) {
    enhancePlayed(figure, notes(figure));
  }
})();
