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
  const list = document.querySelector(".tp-found");
  const more = document.querySelector(".tp-more");
  const understood = form.querySelector("#tp-understood");
  const output = form.querySelector("output");
  const { of: field, as } = form.elements;
  const facets = [...form.querySelectorAll(".tp-facets select")];
  const STEP = 12;
  const WORDS = {
    degrees: "degrees", notes: "note names", chords: "chords", numerals: "numerals", rhythm: "a counted rhythm",
  };
  const KEYS = ["C", "Db", "D", "Eb", "E", "F", "F#", "G", "Ab", "A", "Bb", "B"];
  // Two keys pressed closer than this, in milliseconds, are meant together.
  const TOGETHER = 45;

  let index = null;
  let found = [];
  let shown = STEP;

  function load(address) {
    const script = document.createElement("script");
    script.src = address;
    document.head.append(script);
  }

  const address = (slug) => {
    const { entry, slug: known } = form.dataset;
    const at = entry.lastIndexOf(known);
    return entry.slice(0, at) + slug + entry.slice(at + known.length);
  };

  /* Engravings, each when it comes into view. */

  const waiting = new Map();
  const drawn = new Map();
  const glyphs = new Set();

  const watcher = new IntersectionObserver((entries) => {
    for (const { isIntersecting, target } of entries) {
      if (!isIntersecting) continue;
      watcher.unobserve(target);
      const { slug } = target.dataset;
      waiting.set(slug, target);
      if (drawn.has(slug)) draw(slug);
      else load(form.dataset.index.replace(/index\.js$/, `${slug}.js`));
    }
  }, { rootMargin: "200px" });

  function share(text) {
    const holder = document.createElement("div");
    holder.innerHTML = text;
    for (const glyph of holder.querySelectorAll("defs > *")) if (glyphs.has(glyph.id)) glyph.remove();
    for (const glyph of holder.querySelectorAll("defs > *")) glyphs.add(glyph.id);
    document.querySelector(".tp-page").prepend(holder.firstElementChild);
  }

  // A frame behind a head or a symbol, so that the match is told by more than its colour.
  function mark(svg, shape) {
    const head = shape.querySelector("use[href^='#glyph-E0A']") || shape.querySelector("use, text");
    if (!head) return;
    const { x, y, width, height } = head.getBBox();
    const frame = document.createElementNS("http://www.w3.org/2000/svg", "rect");
    const room = 60;
    const sides = { x: x - room, y: y - room, width: width + 2 * room, height: height + 2 * room, rx: room };
    for (const [name, value] of Object.entries(sides)) frame.setAttribute(name, value);
    frame.setAttribute("class", "tp-mark-frame");
    svg.prepend(frame);
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
    share(shapes);
    drawn.set(slug, svg);
    if (waiting.has(slug)) draw(slug);
  });

  /* The list */

  const spelled = (slot) => slot.replace("b", "♭");

  function item(match) {
    const { device, why, bar, shift } = match;
    const line = document.createElement("li");
    const link = document.createElement("a");
    const slot = index.slots[(device.home + (shift || 0)) % 12];
    const moved = match.shift !== undefined && ["notes", "chords"].includes(match.kind);
    link.href = address(device.slug) + (moved ? `#${slot}` : "");
    link.textContent = device.title;
    const text = document.createElement("span");
    text.className = "tp-why";
    if (why) {
      const place = bar === 0 ? "from the pickup" : `from bar ${bar}`;
      const key = moved ? `; at this pitch in ${spelled(slot)}` : "";
      text.textContent = `${why}, ${place}${key}`;
    }
    const figure = document.createElement("div");
    figure.className = "tp-engraving tp-small";
    figure.dataset.slug = device.slug;
    figure.setAttribute("role", "group");
    figure.setAttribute("aria-label", `Notation of ${device.title}`);
    line.append(link, " ", text, figure);
    return line;
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

  const count = (number, noun) => `${number} ${noun}${number === 1 ? "" : "s"}`;

  function tally(query) {
    if (!query) return count(found.length, "device");
    const exact = found.filter((match) => match.exact).length;
    if (!found.length) return "No device has this, or nearly.";
    const near = found.length - exact;
    return `${count(exact, "device")} exactly${near ? `, ${near} nearly` : ""}`;
  }

  // What was understood, and what else it could have meant.
  function explain(query) {
    understood.replaceChildren();
    understood.classList.toggle("tp-fault", Boolean(query && query.fault));
    if (!query) return;
    if (query.fault) {
      understood.textContent = query.fault;
      return;
    }
    const any = ["notes", "chords"].includes(query.kind) ? ", in any key" : "";
    understood.append(`Read as ${WORDS[query.kind]}${any}.`);
    for (const other of query.others) {
      const button = document.createElement("button");
      button.type = "button";
      button.textContent = `Read as ${WORDS[other]} instead`;
      button.addEventListener("click", () => {
        as.value = other;
        ask();
        field.focus();
      });
      understood.append(" ", button);
    }
  }

  function answer() {
    if (!index) return;
    const text = field.value.trim();
    const asked = Object.fromEntries(facets.map(({ name, value }) => [name, value]));
    const among = transposary.find.having(index.devices, asked);
    const query = text ? transposary.find.read(text, as.value, index.suffixes) : null;
    explain(query);
    if (query && query.fault) found = [];
    else if (query) found = transposary.find.rank(among, query).map((match) => ({ ...match, kind: query.kind }));
    else if (facets.some(({ value }) => value)) found = among.map((device) => ({ device }));
    else found = [];
    const silent = (query && query.fault) || (!query && !found.length && !facets.some(({ value }) => value));
    output.value = silent ? "" : tally(query);
    show(false);
  }

  function toAddress() {
    const state = new URLSearchParams();
    for (const { name, value } of [field, as, ...facets]) if (value.trim()) state.set(name, value.trim());
    const query = state.toString();
    history.replaceState(null, "", (query ? `?${query}` : location.pathname) + location.hash);
  }

  function fromAddress() {
    const state = new URLSearchParams(location.search);
    field.value = state.get("of") || "";
    for (const select of [as, ...facets]) {
      select.value = state.get(select.name) || "";
      // An address may be old or mistyped: an unknown value asks for nothing.
      if (select.selectedIndex < 0) select.value = "";
    }
    form.querySelector(".tp-narrow").open = facets.some(({ value }) => value);
    answer();
  }

  function ask() {
    toAddress();
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
    const midi = place.querySelector(".tp-midi");
    const name = "Keyboard to ask by";
    transposary.strip(place.querySelector(".tp-touch"), { name, onPress: (note) => played(note, Infinity) });
    midi.hidden = !transposary.midi.there;
    midi.addEventListener("click", () => {
      transposary.midi.open(({ midi: note, on, time }) => on && played(note, time)).then(
        (names) => {
          midi.textContent = names.length ? `Listening to ${names.join(", ")}` : "No MIDI keyboard found: plug one in";
          transposary.say(midi.textContent);
        },
        () => transposary.say((midi.textContent = "The browser did not give leave to listen")),
      );
    });
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
    const button = event.target.closest("button");
    if (!button) return;
    field.value = button.dataset.text;
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
  });
  load(form.dataset.index);
  play();
  form.hidden = false;
})();
