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
 *   labels    {choice}                   other words stand under the notes
 *   sounding  {section, notes, symbol}   these notes (by index) and this chord sound now
 *   stopped   {section}                  nothing sounds any more
 */
(function () {
  "use strict";

  const STORE = "transposary.";
  // Groups of controls under the row of keys, in this order.
  const GROUPS = ["Keys", "Hear", "Play", "Labels", "Instrument", "Hands"];
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

  // A note name from its place on the line of fifths: F is -1, C 0, G 1, B♭ -2.
  function spell(fifths) {
    const alter = Math.floor((fifths + 1) / 7);
    return "FCGDAEB"[fifths + 1 - 7 * alter] + (alter < 0 ? "♭" : "♯").repeat(Math.abs(alter));
  }

  // Says something to those who listen to the page. The same words twice are said twice.
  function say(text) {
    if (!region) {
      region = document.createElement("p");
      region.className = "tp-unseen";
      region.setAttribute("role", "status");
      (document.querySelector(".md-typeset") || document.body).append(region);
    }
    region.textContent = "";
    setTimeout(() => (region.textContent = text), 50);
  }

  function on(event, listen) {
    heard.set(event, [...(heard.get(event) || []), listen]);
  }

  function tell(event, detail) {
    for (const listen of heard.get(event) || []) listen(detail);
  }

  const read = new WeakMap();

  // The notes of a device from the block in its section, or null. site/pages/sounding.py says
  // what it holds; each note also gets its index and its hand.
  function notes(section) {
    const block = section.querySelector(".tp-notes-data");
    if (!block) return null;
    if (!read.has(block)) {
      const data = JSON.parse(block.textContent);
      data.notes.forEach((note, index) => Object.assign(note, { index, hand: note.voice.slice(0, 2) }));
      read.set(block, data);
    }
    return read.get(block);
  }

  // A named group among the controls of a device, made where it is missing.
  function group(section, name) {
    let tools = section.querySelector(".tp-tools");
    if (!tools) {
      tools = document.createElement("div");
      tools.className = "tp-tools";
      section.querySelector("figure[data-slot]").before(tools);
    }
    const place = GROUPS.indexOf(name);
    const groups = [...tools.children];
    const found = groups.find((one) => Number(one.dataset.place) === place);
    if (found) return found;
    const made = document.createElement("div");
    made.className = "tp-tool";
    made.dataset.place = place;
    made.setAttribute("role", "group");
    made.setAttribute("aria-label", name);
    tools.insertBefore(made, groups.find((one) => Number(one.dataset.place) > place) || null);
    return made;
  }

  // Makes an element: `make("button", { type: "button" }, "Play", …)`; `on…` names a listener.
  function make(tag, attributes, ...content) {
    const made = document.createElement(tag);
    for (const [name, value] of Object.entries(attributes || {})) {
      if (name.startsWith("on")) made.addEventListener(name.slice(2), value);
      else if (typeof value === "boolean") made.toggleAttribute(name, value);
      else made.setAttribute(name, value);
    }
    made.append(...content);
    return made;
  }

  // Moves a chord symbol or a key's name by semitones: `data-root` and `data-bass` say where it
  // lies on the line of fifths, the row what each semitone up adds there.
  function mover(place, row) {
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

  window.transposary = { remember, remembered, spell, say, on, tell, notes, group, make, mover };
})();
