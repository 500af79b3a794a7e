/* The page that finds devices by what they are.
 *
 * Why a script: it compares notes. find-queries.js reads what is asked, find-matching.js ranks;
 * here are the form, the address and the list.
 *
 * What it wants of the page: the form and the list of find.html.j2. The index and each engraving
 * are scripts that tell `index` and `engraving`; both are loaded when they are wanted, since from
 * the disk a page may load nothing else.
 */
(function () {
  "use strict";

  const form = document.querySelector("form.tp-seek");
  if (!form) return;
  const { button, count, draw: drawing, make, spelled } = transposary;
  const list = document.querySelector(".tp-found");
  const more = document.querySelector(".tp-more");
  const understood = form.querySelector("#tp-understood");
  const output = form.querySelector("output");
  const { of: field, as } = form.elements;
  const facets = [...form.querySelectorAll(".tp-facets select")];
  const controls = [field, as, ...facets];
  const STEP = 12;
  const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
  const wordsOf = (kind) => [...as.options].find(({ value }) => value === kind).text;
  // Two keys pressed closer than this, in milliseconds, are meant together.
  const TOGETHER = 45;

  let index = null;
  let found = [];
  let shown = STEP;

  const address = (slug) => {
    const { entry, slug: known } = form.dataset;
    const at = entry.lastIndexOf(known);
    return entry.slice(0, at) + slug + entry.slice(at + known.length);
  };

  /* Engravings, each when it comes into view. */

  const waiting = new Map();
  const drawn = new Map();

  const watcher = new IntersectionObserver((entries) => {
    for (const { isIntersecting, target } of entries) {
      if (!isIntersecting) continue;
      watcher.unobserve(target);
      const { slug } = target.dataset;
      waiting.set(slug, target);
      if (drawn.has(slug)) draw(slug);
      else transposary.script(form.dataset.index.replace(/index\.js$/, `${slug}.js`));
    }
  }, { rootMargin: "200px" });

  // A frame behind a head or a symbol, so that the match is told by more than its colour.
  function mark(svg, shape) {
    const head = shape.querySelector("use[href^='#glyph-E0A']") || shape.querySelector("use, text");
    if (!head) return;
    const { x, y, width, height } = head.getBBox();
    const room = 60;
    const sides = { x: x - room, y: y - room, width: width + 2 * room, height: height + 2 * room, rx: room };
    svg.prepend(drawing("rect", { ...sides, class: "tp-mark-frame" }));
  }

  function draw(slug) {
    const target = waiting.get(slug);
    target.innerHTML = drawn.get(slug);
    const svg = target.querySelector("svg");
    const match = found.find(({ device }) => device.slug === slug);
    if (!match) return;
    svg.setAttribute("aria-label", `Notation of ${match.device.title}, as its author wrote it`);
    for (const note of match.notes || []) svg.querySelectorAll(`[data-note="${note}"]`).forEach((one) => mark(svg, one));
    for (const symbol of match.symbols || []) svg.querySelectorAll(`[data-symbol="${symbol}"]`).forEach((one) => mark(svg, one));
    const first = svg.querySelector(".tp-mark-frame");
    // What matches stands in view where the figure is wider than the page.
    if (first) target.scrollLeft = first.getBoundingClientRect().left - target.getBoundingClientRect().left - 40;
    if (target.scrollWidth > target.clientWidth) target.tabIndex = 0;
  }

  transposary.on("engraving", ({ slug, svg, glyphs: shapes }) => {
    transposary.shelve(shapes);
    drawn.set(slug, svg);
    if (waiting.has(slug)) draw(slug);
  });

  /* The list */

  function item(match) {
    const { device, why, bar, shift } = match;
    const slot = index.slots[(device.home + (shift || 0)) % 12];
    const moved = ["notes", "chords"].includes(match.kind);
    const link = make("a", { href: address(device.slug) + (moved ? `#${slot}` : "") }, device.title);
    const text = make("span", { class: "tp-why" });
    if (why) {
      const place = bar === 0 ? "from the pickup" : `from bar ${bar}`;
      const key = moved ? `; at this pitch in ${spelled(slot)}` : "";
      text.textContent = `${why}, ${place}${key}`;
    }
    const name = { role: "group", "aria-label": `Notation of ${device.title}` };
    const figure = make("div", { class: "tp-engraving tp-small", "data-slug": device.slug, ...name });
    return make("li", {}, link, " ", text, figure);
  }

  function show(keep) {
    if (!keep) {
      watcher.disconnect();
      waiting.clear();
      list.replaceChildren();
      shown = STEP;
    }
    const lines = found.slice(list.children.length, shown).map(item);
    list.append(...lines);
    for (const line of lines) watcher.observe(line.querySelector(".tp-engraving"));
    more.hidden = found.length <= shown;
    return lines[0];
  }

  function tally(query) {
    if (!query) return count(found.length, "device");
    const exact = found.filter((match) => match.exact).length;
    if (!found.length) return "No device has this, or nearly.";
    const near = found.length - exact;
    return `${count(exact, "device")} exactly` + (near ? `, ${near} nearly` : "");
  }

  // What was understood, and what else it could have meant.
  function explain(query) {
    understood.textContent = query?.fault || "";
    understood.classList.toggle("tp-fault", Boolean(query?.fault));
    if (!query || query.fault) return;
    const any = ["notes", "chords"].includes(query.kind) ? ", in any key" : "";
    understood.append(`Read as ${wordsOf(query.kind)}${any}.`);
    for (const other of query.others) {
      const instead = button(`Read as ${wordsOf(other)} instead`, () => {
        as.value = other;
        ask();
        field.focus();
      });
      understood.append(" ", instead);
    }
  }

  function answer() {
    if (!index) return;
    const text = field.value.trim();
    const narrowed = facets.some(({ value }) => value);
    const asked = Object.fromEntries(facets.map(({ name, value }) => [name, value]));
    const among = transposary.find.having(index.devices, asked);
    const query = text ? transposary.find.read(text, as.value, index.suffixes) : null;
    const silent = query ? query.fault : !narrowed;
    explain(query);
    if (silent) found = [];
    else if (query) found = transposary.find.rank(among, query).map((match) => ({ ...match, kind: query.kind }));
    else found = among.map((device) => ({ device }));
    output.value = silent ? "" : tally(query);
    show(false);
  }

  function fromAddress() {
    transposary.fromAddress(controls);
    form.querySelector(".tp-narrow").open = facets.some(({ value }) => value);
    answer();
  }

  function ask() {
    transposary.toAddress(controls);
    answer();
  }

  /* Playing what one looks for */

  let last = 0;

  function played(midi, time) {
    const name = KEYS[midi % 12];
    const before = field.value.trim();
    // What is pressed on the page comes one by one, at no time that counts.
    const joined = Math.abs(time - last) < TOGETHER && before;
    last = time;
    if (joined) {
      const at = before.endsWith(")") ? before.lastIndexOf("(") : before.lastIndexOf(" ") + 1;
      field.value = `${before.slice(0, at)}(${before.slice(at).replace(/[()]/g, "")} ${name})`;
    } else field.value = `${before} ${name}`.trim();
    as.value = "notes";
    ask();
  }

  function play() {
    const place = form.querySelector(".tp-by-hand");
    const name = "Keyboard to ask by";
    transposary.strip(place.querySelector(".tp-touch"), { name, onPress: (note) => played(note, Infinity) });
    transposary.midi(place.querySelector(".tp-midi"), played);
    place.querySelector(".tp-undo").addEventListener("click", () => {
      field.value = field.value.trim().replace(/\s*(\([^()]*\)|\S+)$/, "");
      ask();
    });
    place.querySelector(".tp-clear").addEventListener("click", () => {
      field.value = "";
      as.value = "";
      ask();
      field.focus();
    });
    // On a phone what is found comes before a keyboard that few play there.
    place.open = !matchMedia("(max-width: 44.984375em)").matches;
    place.hidden = false;
  }

  let pause = 0;
  field.addEventListener("input", () => {
    clearTimeout(pause);
    pause = setTimeout(ask, 150);
  });
  form.addEventListener("change", (event) => event.target !== field && ask());
  form.addEventListener("submit", (event) => {
    event.preventDefault();
    clearTimeout(pause);
    ask();
  });
  form.addEventListener("reset", (event) => {
    event.preventDefault();
    for (const select of facets) select.value = "";
    ask();
  });
  form.querySelector(".tp-examples").addEventListener("click", (event) => {
    const example = event.target.closest("button");
    if (!example) return;
    field.value = example.dataset.text;
    as.value = "";
    ask();
  });
  more.addEventListener("click", () => {
    shown += STEP;
    show(true)?.querySelector("a").focus();
  });
  window.addEventListener("popstate", fromAddress);
  transposary.on("index", (content) => {
    index = content;
    fromAddress();
    transposary.find.ready(index.devices);
  });
  transposary.script(form.dataset.index);
  play();
  form.hidden = false;
})();
