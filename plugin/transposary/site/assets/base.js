/* What the scripts of the site share: memory, names of notes, messages, and the notes of a device.
 *
 * Why first: each of the other scripts does one thing on its own; they agree only by what stands
 * here, on the one global `transposary`. It loads first, since scripts load by their names.
 *
 * Messages (`on`, `tell`):
 *   key       {section, slot}            another key of a device is shown; which one also stands in
 *                                        the section's `data-shown`
 *   wanted    {section, slot}            a script wants another key to be shown
 *   part      {part}                     the reader reads another part
 *   labels                               other words stand under the notes
 *   later     {figure, fifths}           a figure was fetched; the names of its notes
 *   sounding  {section, notes, symbol}   these notes (by index) and this chord sound now
 *   stopped   {section}                  nothing sounds any more
 */
(function () {
  "use strict";

  const STORE = "transposary.";
  const heard = new Map();
  let region = null;

  // Storage may be missing or throw (private windows, some browsers on file://): then the page
  // still works and merely forgets.
  function remembered(name) {
    try {
      return localStorage.getItem(STORE + name);
    } catch {
      return null;
    }
  }

  function remember(name, text) {
    try {
      localStorage.setItem(STORE + name, text);
    } catch {
      /* forgotten, as said above */
    }
  }

  // What was remembered as JSON, over what holds where nothing was or another version wrote it.
  function recalled(name, otherwise) {
    try {
      return { ...otherwise, ...JSON.parse(remembered(name)) };
    } catch {
      return { ...otherwise };
    }
  }

  const modulo = (number, by) => ((number % by) + by) % by;

  // The letter and the sharps of a place on the line of fifths: F is -1, C 0, G 1, B♭ -2.
  function named(fifths) {
    const alter = Math.floor((fifths + 1) / 7);
    return { letter: "FCGDAEB"[fifths + 1 - 7 * alter], alter };
  }

  function spell(fifths) {
    const { letter, alter } = named(fifths);
    return letter + (alter < 0 ? "♭" : "♯").repeat(Math.abs(alter));
  }

  const spelled = (slot) => slot.replace("b", "♭");

  const count = (number, noun) => `${number} ${noun}${number === 1 ? "" : "s"}`;

  // Says something to those who listen to the page. The same words twice are said twice.
  function say(text) {
    if (!region) {
      region = make("p", { class: "tp-unseen", role: "status" });
      (document.querySelector(".md-typeset") || document.body).append(region);
    }
    region.textContent = "";
    setTimeout(() => (region.textContent = text), 50);
  }

  // Listens to what is told: to all of it, or only to what is told of one section.
  function on(event, listen, section) {
    const hear = (detail) => (!section || detail.section === section) && listen(detail);
    heard.set(event, [...(heard.get(event) || []), hear]);
  }

  function tell(event, detail) {
    for (const listen of heard.get(event) || []) listen(detail);
  }

  const read = new WeakMap();

  // The notes of a device from the block in its section, or null. site/pages/sounding.py says
  // what it holds; each note also gets its index and its hand, each symbol its index.
  function notes(section) {
    const block = section.querySelector(".tp-notes-data");
    if (!block) return null;
    if (!read.has(block)) {
      const data = JSON.parse(block.textContent);
      data.notes.forEach((note, index) => Object.assign(note, { index, hand: note.voice.slice(0, 2) }));
      data.symbols.forEach((symbol, index) => (symbol.index = index));
      read.set(block, data);
    }
    return read.get(block);
  }

  // The controls of a group on the page of a device, by their names; from now on it is in sight.
  function group(section, name) {
    const found = section.querySelector(`.tp-tool[aria-label=${name}]`);
    found.hidden = false;
    return found.elements;
  }

  // Gives an element its attributes, and content behind what it has.
  function furnish(made, attributes, ...content) {
    for (const [name, value] of Object.entries(attributes)) {
      if (typeof value === "boolean") made.toggleAttribute(name, value);
      else made.setAttribute(name, value);
    }
    made.append(...content);
    return made;
  }

  // Makes an element: `make("p", { class: "tp-note" }, "Play", …)`.
  const make = (tag, attributes, ...content) => furnish(document.createElement(tag), attributes, ...content);
  // The same within a drawing.
  const draw = (tag, attributes, ...content) =>
    furnish(document.createElementNS("http://www.w3.org/2000/svg", tag), attributes, ...content);

  function button(words, pressed, attributes) {
    const made = make("button", { type: "button", ...attributes }, words);
    made.onclick = pressed;
    return made;
  }

  // Loads a script file. They run in the order in which they are asked for.
  function script(src) {
    const made = make("script", { src });
    made.async = false;
    document.head.append(made);
    return made;
  }

  // Puts the signs of an engraving into the page, but for those that it has.
  function shelve(html) {
    const parsed = make("template", {});
    parsed.innerHTML = html;
    for (const sign of parsed.content.querySelectorAll("[id]")) if (document.getElementById(sign.id)) sign.remove();
    // Out of the flow but not hidden: some browsers draw nothing from what is not displayed.
    document.body.append(make("div", { class: "tp-glyphs" }, parsed.content));
  }

  // Sets a control to a value, and a select to its first where it does not offer that: what was
  // remembered or stands in an address may be old or mistyped.
  function choose(control, value) {
    control.value = value;
    if (control.selectedIndex < 0) control.selectedIndex = 0;
  }

  // The number in a control, held within what that offers.
  const held = ({ value, min, max }) => Math.min(max, Math.max(min, Math.round(value)));

  // What is chosen in controls, as the address of the page says it: to be sent to somebody.
  function toAddress(controls) {
    const state = new URLSearchParams();
    for (const { name, value } of controls) if (value.trim()) state.set(name, value.trim());
    const query = state.toString();
    history.replaceState(null, "", (query ? `?${query}` : location.pathname) + location.hash);
  }

  function fromAddress(controls) {
    const state = new URLSearchParams(location.search);
    for (const control of controls) choose(control, state.get(control.name) || "");
  }

  const shown = (section) => section.dataset.shown || section.dataset.home;

  // Calls `enhance(section, notes)` for each device of the page that has notes.
  function devices(enhance) {
    for (const section of document.querySelectorAll("[data-device]")) {
      if (notes(section)?.notes.length) enhance(section, notes(section));
    }
  }

  // Moves a chord symbol or a key's name by semitones: `data-root` and `data-bass` say where it
  // lies on the line of fifths, the row what each semitone up adds there. A chart has a row for
  // each of its keys, which `data-key` names around the place, the first if missing.
  function mover(place, rows) {
    const row = Array.isArray(rows[0]) ? rows[place.closest("[data-key]")?.dataset.key ?? 0] : rows;
    const root = Number(place.dataset.root);
    const bass = "bass" in place.dataset ? Number(place.dataset.bass) : null;
    const text = place.textContent;
    const end = text.length - (bass === null ? 0 : spell(bass).length);
    const middle = text.slice(spell(root).length, end);
    return (semitones) => {
      const under = bass === null ? "" : spell(bass + row[semitones]);
      place.textContent = spell(root + row[semitones]) + middle + under;
    };
  }

  const SLOTS = ["C", "Db", "D", "Eb", "E", "F", "Gb", "G", "Ab", "A", "Bb", "B"];

  window.transposary = {
    remember, remembered, recalled, modulo, named, spell, spelled, count, say, on, tell, notes, group, make, draw, furnish,
    choose, held, toAddress, fromAddress, button, script, shelve, shown, devices, mover, SLOTS,
  };
})();
