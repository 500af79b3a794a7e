/* What other instruments read: a device's line, key names and chord symbols in the written key.
 *
 * Why a script: the page stands at concert pitch. Parts are files of their own, each a clef and a
 * written key, that are loaded when a reader wants them: `transposary.part(SLUG, NAME, part)`,
 * `transposary.glyphs(signs)`. site/parts.py says what they hold. One choice counts everywhere.
 *
 *   transposary.written(section, slot)   what a part adds to names there, on the line of fifths
 *   transposary.partsReady(section)      a promise: what is shown is there, ready to print
 *
 * What it wants of the page:
 *   <form class="tp-parts" hidden> a select `part`, its options with data-semitones, data-up,
 *     data-clef </form>
 *   <section data-device="SLUG" data-parts="parts" data-tonics="C D♭ … twelve">
 *     <figure data-slot="Eb" data-tonic="E♭"> <figcaption><a>E♭ major</a></figcaption> … </figure>
 *   <tr data-moves="[0, -5, … twelve]"> <span data-root="-3">E♭</span> … </tr>
 */
(function () {
  "use strict";

  const { SLOTS, choose, group, make, mover, notes, on, remember, remembered, shelve, tell } = transposary;
  const OCTAVES = ["", "an octave", "two octaves", "three octaves"];
  const form = document.querySelector("form.tp-parts");
  const chooser = (form || document.querySelector("form.tp-moving"))?.elements.part;
  const loaded = new Map();
  const sections = [...document.querySelectorAll("[data-device][data-parts]")];

  const chosen = () => {
    const option = [...(chooser?.options || [])].find(({ value }) => value === remembered("part")) || chooser?.options[0];
    const { semitones, up, clef } = option.dataset;
    return { slug: option.value, name: option.text, semitones: Number(semitones), up: Number(up), clef };
  };
  const tonicOf = (section, slot) => section.dataset.tonics.split(" ")[SLOTS.indexOf(slot)];
  const writtenSlot = (slot, { semitones }) => SLOTS[(SLOTS.indexOf(slot) + semitones) % 12];

  function fifths(name) {
    const alter = name.split("♯").length - name.split("♭").length;
    return "FCGDAEB".indexOf(name[0]) - 1 + 7 * alter;
  }

  function written(section, slot) {
    return fifths(tonicOf(section, writtenSlot(slot, chosen()))) - fifths(tonicOf(section, slot));
  }

  // A script file that hands over what it holds, once.
  function load(address) {
    if (!loaded.has(address)) {
      const wait = {};
      wait.promise = new Promise((resolve) => (wait.resolve = resolve));
      loaded.set(address, wait);
      transposary.script(address).addEventListener("error", () => wait.resolve(null));
    }
    return loaded.get(address).promise;
  }

  const address = (section, name) => `${section.dataset.parts}/${name}.js`;

  function part(slug, name, content) {
    for (const section of sections) {
      if (section.dataset.device === slug) loaded.get(address(section, name))?.resolve(content);
    }
  }

  function glyphs(signs) {
    shelve(`<svg width="0" height="0" aria-hidden="true"><defs>${Object.values(signs).join("")}</defs></svg>`);
  }

  const withName = (svg, name) => svg.replace("<svg ", `<svg aria-label="${name}" `);

  // What the reader hears beside what the page has at concert pitch, if it lies elsewhere.
  function register(section, slot, content, reader) {
    const said = [];
    const data = notes(section);
    if (data && content.first) {
      const [midi, index] = content.first;
      const octaves = Math.round((midi - reader.up - data.keys[slot].midi[index]) / 12);
      if (octaves) said.push(`This sounds ${OCTAVES[Math.abs(octaves)]} ${octaves > 0 ? "higher" : "lower"} than the piano plays it.`);
    }
    if (content.folded) said.push("Notes are moved by octaves, into its range.");
    return said.join(" ");
  }

  function drawn(section, slot, content, reader) {
    if (!content) return [make("p", { class: "tp-part tp-note" }, "This could not be loaded.")];
    const frame = make("div", { class: "tp-part tp-engraving" });
    const slashes = content.slashes && withName(content.slashes, "Its rhythm as slashes");
    frame.innerHTML = slashes + withName(content.svg, `Part for ${reader.name}, said in words below`);
    frame.horns = content.horns;
    const note = register(section, slot, content, reader);
    const words = content.words.map((line) => make("p", {}, line));
    const said = make("details", { class: "tp-part tp-words" }, make("summary", {}, "The notes in words"), ...words);
    return [frame, ...(note ? [make("p", { class: "tp-part tp-note" }, note)] : []), said];
  }

  // Pales the notes of the other horns.
  function share(section) {
    for (const frame of section.querySelectorAll(".tp-part.tp-engraving")) {
      const own = frame.horns[Number(remembered("horn") || 0)];
      for (const note of frame.querySelectorAll("svg:last-child [data-note]")) {
        note.classList.toggle("tp-others", own !== undefined && !own.includes(Number(note.dataset.note)));
      }
    }
  }

  // Writes a key into a link as the reader has it; `more` stands behind it where that is another.
  function rename(link, section, slot, tonic, reader, more = "") {
    link.dataset.concert ||= link.textContent;
    const { concert } = link.dataset;
    const name = tonicOf(section, writtenSlot(slot, reader));
    link.textContent = reader.semitones ? concert.replace(tonic, name) + more : concert;
  }

  function caption(section, figure, reader) {
    const link = figure.querySelector("figcaption a");
    const { slot, tonic } = figure.dataset;
    rename(link, section, slot, tonic, reader);
    figure.querySelector(".tp-concert")?.remove();
    const heard = reader.up === 12 ? ", written an octave above its sound" : `: concert ${tonic}`;
    if (reader.clef) link.after(make("span", { class: "tp-concert" }, ` for ${reader.name}${heard}`));
  }

  async function showFigure(section, figure, reader) {
    caption(section, figure, reader);
    const { slot } = figure.dataset;
    if (figure.dataset.part === reader.slug) return;
    figure.dataset.part = reader.slug;
    const old = () => figure.querySelectorAll(":scope > .tp-part").forEach((one) => one.remove());
    if (!reader.clef) {
      old();
      return;
    }
    const base = section.dataset.parts;
    load(`${base}/../../part-glyphs.js`);
    const content = await load(address(section, `${reader.clef}-${writtenSlot(slot, reader)}`));
    if (figure.dataset.part !== reader.slug) return;
    old();
    figure.querySelector("figcaption").after(...drawn(section, slot, content, reader));
    const horns = section.querySelector(".tp-horn");
    if (horns) horns.hidden = !content?.horns.length;
    share(section);
    tell("labels");
  }

  function show(section) {
    const reader = chosen();
    section.toggleAttribute("data-reads", Boolean(reader.clef));
    for (const link of section.querySelectorAll(".tp-picker a")) {
      const slot = link.hash.slice(1);
      link.textContent = tonicOf(section, writtenSlot(slot, reader));
      link.title = reader.semitones ? `concert ${tonicOf(section, slot)}` : "";
    }
    const horns = section.querySelector(".tp-horn");
    if (horns && !reader.clef) horns.hidden = true;
    const figures = [...section.querySelectorAll("figure[data-slot]:not([hidden])")];
    section.partsReady = Promise.all(figures.map((figure) => showFigure(section, figure, reader)));
  }

  // Keys that the page of a device names elsewhere.
  function sayKeys(reader) {
    for (const link of document.querySelectorAll(":is(.tp-facts, .tp-key, .tp-places) a[href^='#']")) {
      const slot = link.hash.slice(1);
      if (!SLOTS.includes(slot)) continue;
      const [tonic] = (link.dataset.concert || link.textContent).split(" ");
      rename(link, device, slot, tonic, reader, ` (concert ${tonic})`);
    }
  }

  // Engravings that stand at concert pitch only.
  function sayConcert(reader) {
    for (const place of document.querySelectorAll("[data-applied] figcaption, .tp-there > summary")) {
      place.querySelector(".tp-concert")?.remove();
      const said = make("span", { class: "tp-concert" }, " at concert pitch");
      if (reader.semitones) place.insertBefore(said, place.querySelector("button")?.previousSibling || null);
    }
  }

  function showAll() {
    if (form) {
      form.elements.part.value = chosen().slug;
      const moved = !device && chosen().semitones > 0;
      form.querySelector("output").value = moved ? "Chords and keys stand as written; titles and links name what sounds." : "";
    }
    sections.forEach(show);
    if (device) sayKeys(chosen());
    sayConcert(chosen());
    for (const move of movers) move(chosen().semitones);
  }

  const movers = [...document.querySelectorAll("[data-moves] [data-root]")].map((place) =>
    mover(place, JSON.parse(place.closest("[data-moves]").dataset.moves)),
  );
  Object.assign(transposary, { part, glyphs, written, partsReady: (section) => section.partsReady });
  if (!chooser) return;

  const device = sections.length === 1 && sections[0].querySelector(".tp-picker") ? sections[0] : null;
  if (device) {
    const { horn } = group(device, "Instrument");
    choose(horn, remembered("horn"));
    horn.addEventListener("change", () => {
      remember("horn", horn.value);
      share(device);
    });
  }
  if (form) {
    form.addEventListener("submit", (event) => event.preventDefault());
    form.addEventListener("change", () => {
      remember("part", form.elements.part.value);
      tell("part", { part: form.elements.part.value });
    });
    form.hidden = false;
  }
  on("part", showAll);
  on("key", ({ section }) => sections.includes(section) && show(section));
  showAll();
})();
