/* Today: what to play now, in how many minutes, and what came of it.
 *
 * What it wants of the page: `<section data-practise="today">` (or `lesson`), and the devices in
 * elements `[data-practice]` with a link each. practice-plan.js says what is played; what was played
 * today only ticks lines off, so that a page opened again shows the same list.
 */
(function () {
  "use strict";

  const { button, count, field, hear, make, number, on, practice, record, remember, say, select } = transposary;
  const { words, local } = practice;
  const ORDERS = [
    ["fourths", "fourths"],
    ["fifths", "fifths"],
    ["semitones", "semitones"],
    ["neighbours", "the home key and its neighbours"],
    ["random", "no order"],
  ];
  const NEW = [
    ["", "from the whole book"],
    ["begun", "none"], // a name that no device has
  ];
  const MOST_MINUTES = 120;
  const LINES_BEFORE_REST = 8;
  const LONG = 25; // minutes

  const asked = (name) => ({ name, required: true });

  // What the address asks for comes before what this reader chose last.
  function wishesOf(lesson) {
    const wishes = transposary.recalled("practice-wishes", { minutes: 15, order: "fourths", new: "" });
    if (lesson) wishes.order = "listed";
    const address = new URLSearchParams(location.search);
    for (const name of ["minutes", "order", "new"]) if (address.has(name)) wishes[name] = address.get(name);
    const minutes = Math.round(Number(wishes.minutes)) || 15;
    const orders = [...ORDERS.map(([name]) => name), ...(lesson ? ["listed"] : [])];
    return {
      minutes: Math.min(MOST_MINUTES, Math.max(practice.LINE, minutes)),
      order: orders.includes(wishes.order) ? wishes.order : orders[0],
      new: lesson ? "" : wishes.new,
    };
  }

  function whyOf({ kind, state, device }, today) {
    const wanted = device.until ? `; ${device.until < today ? "was wanted" : "wanted"} by ${words(device.until)}` : "";
    if (kind === "new") return ["new to you", ...(device.level ? [`level ${device.level}`] : [])].join(", ") + wanted;
    if (kind === "key") return `a key that you have not played it in yet${wanted}`;
    const reached = `${state.tempo} with ${count(state.slips, "slip")}`;
    if (kind === "again") return `once more today: ${reached} does not hold yet`;
    const last = `last ${reached} on ${words(state.date)}`;
    if (kind === "early") return `planned for ${words(state.due)}, but there is time; ${last}`;
    const late = practice.daysBetween(state.due, today);
    return `${late ? `planned for ${words(state.due)}` : "planned for today"}; ${last}${wanted}`;
  }

  function enhance(section) {
    const lesson = section.dataset.practise === "lesson";
    const pool = practice.pool();
    const now = practice.named(pool);
    const wishes = wishesOf(lesson);
    const today = () => local(new Date()).slice(0, 10);

    const list = make("ol", { class: "tp-lines" });
    const rest = make("p", { class: "tp-rest", role: "status" });
    const ending = make("p", { class: "tp-note" });
    const minutes = number(wishes.minutes, practice.LINE, MOST_MINUTES, { ...asked("minutes"), step: practice.LINE });
    const order = select(lesson ? [["listed", "the order of the lesson"], ...ORDERS] : ORDERS, wishes.order);
    const among = [...new Set(pool.flatMap((device) => device.among))].sort().map((name) => [name, `only ${name}`]);
    const fresh = select([...NEW, ...among], wishes.new);
    const latest = make("p", { class: "tp-note" });
    const share = make("a", { class: "tp-quiet" }, "Link to this list");
    // A lesson comes to its notes sooner with the record folded.
    const shelf = lesson
      ? make("details", { class: "tp-record tp-details" }, make("summary", {}, "Your record"))
      : make("section", { class: "tp-record" }, make("h2", {}, "Your record"));

    function counting(line, tempo) {
      const [duration, beat] = line.device.bar;
      const data = {
        tempo, feel: "straight", unit: 8, notes: [], symbols: [],
        bars: [{ number: 1, onset: 0, duration, beat }],
        keys: { [line.slot]: { midi: [], roots: [], basses: [] } },
      };
      const following = (about) => about;
      return { section, data, slot: line.slot, options: { click: true }, counted: true, following };
    }

    function clicks(line) {
      return line.steps.map((tempo) => {
        const name = `${tempo}`;
        const clicking = button(name, () => {
          const mine = clicking.getAttribute("aria-pressed") === "true";
          hear.stop();
          if (mine) return;
          hear.volume(0.36);
          hear.start(counting(line, tempo));
          clicking.setAttribute("aria-pressed", "true");
        }, { "aria-pressed": "false", "aria-label": `Count in and click at ${name} beats a minute` });
        return clicking;
      });
    }

    function settle({ said }, done) {
      show();
      refresh();
      list.querySelector("details[open] summary")?.focus();
      say(said || done);
    }

    function form(line) {
      const tempo = number(line.steps.at(-1), 1, 400, asked("tempo"));
      const slips = number(0, 0, 99, asked("slips"));
      const made = make(
        "form",
        { class: "tp-fields" },
        field("Tempo reached", tempo),
        field("Slips", slips),
        make("button", { type: "submit", class: "tp-write" }, "Write it down"),
      );
      made.addEventListener("submit", (event) => {
        event.preventDefault();
        hear.stop();
        const take = { device: line.device.slug, slot: line.slot, at: local(new Date()) };
        settle(record.add([{ ...take, tempo: Number(tempo.value), slips: Number(slips.value) }]), "Written down.");
      });
      return made;
    }

    function tempos({ steps, device }) {
      const rest = steps.at(-1) < device.goal ? `, on the way to ${device.goal}` : "";
      return `${steps.join(", ")} beats a minute${rest}`;
    }

    // What was written down last today, with the way to take it back.
    function showLast(takes) {
      const take = takes.filter((one) => practice.dayOf(one) === today()).at(-1);
      latest.replaceChildren();
      if (!take) return;
      const back = button("Take it back", () => settle(record.undo(take.was), "Taken back."), { class: "tp-quiet" });
      const device = pool.find(({ slug }) => slug === take.device);
      const name = nameOf({ device, slot: take.slot });
      latest.append("Written down last: ", ...name, `, ${take.tempo} with ${count(take.slips, "slip")}. `, back);
    }

    const nameOf = ({ device, slot }) => [make("strong", {}, device.title), ` in ${device.called[slot]}`];

    function openLine(line, open) {
      const key = line.device.called[line.slot];
      return make(
        "li",
        {},
        make(
          "details",
          { class: "tp-line", open },
          make(
            "summary",
            {},
            make("span", { class: "tp-line-name" }, ...nameOf(line)),
            make("span", { class: "tp-reason" }, `${line.minutes} minutes at ${tempos(line)}: ${whyOf(line, today())}.`),
          ),
          make("div", { class: "tp-fields tp-clicks" }, "Click at ", ...clicks(line), make("a", { href: `${line.device.href}#${line.slot}` }, `Show the notes in ${key}`)),
          form(line),
        ),
      );
    }

    function doneLine(line, take, state) {
      const next = state.due > today() ? ` Planned again for ${words(state.due)}.` : "";
      const what = `${take.tempo} beats a minute, ${count(take.slips, "slip")}.${next}`;
      return make("li", { class: "tp-played" }, ...nameOf(line), make("p", { class: "tp-note" }, what));
    }

    function show() {
      const takes = now(record.read().takes);
      const chosen = { minutes: Number(minutes.value) || practice.LINE, order: order.value, fresh: fresh.value };
      const lines = practice.plan(pool, takes, today(), chosen);
      const playedOf = ({ device, slot }) => takes.filter((one) => one.device === device.slug && one.slot === slot);
      const done = (line) => playedOf(line).filter((take) => practice.dayOf(take) === today())[line.time];
      const waiting = lines.filter((line) => !done(line));
      const same = (one, other) => one.device === other.device && one.slot === other.slot;
      const more = practice.again(pool, takes, today()).filter((one) => !waiting.some((line) => same(line, one)));
      const first = waiting[0] || more[0];
      const rows = lines.flatMap((line, place) => {
        const take = done(line);
        const row = take ? doneLine(line, take, practice.stateOf(playedOf(line), line.device.goal)) : openLine(line, line === first);
        const pause = !take && place > 0 && place % LINES_BEFORE_REST === 0;
        return pause ? [make("li", { class: "tp-pause" }, "Rest your hands for five minutes."), row] : [row];
      });
      showLast(takes);
      rows.push(...more.map((line) => openLine(line, line === first)));
      // What is next stands first.
      list.replaceChildren(...rows.sort((one, other) => one.matches(".tp-played") - other.matches(".tp-played")));
      const sat = practice.sittingOf(takes, Date.now());
      rest.textContent = sat >= LONG ? `You have been playing for about ${sat} minutes. Rest your hands for five before you go on.` : "";
      ending.textContent = lines.length === 0
        ? "Nothing to play: allow new devices, or play something from the list below."
        : first ? "" : "All of it is played. More minutes give more lines; a night's sleep is as good.";
    }

    function keep() {
      const chosen = { minutes: Number(minutes.value) || practice.LINE, order: order.value, new: fresh.value };
      const query = new URLSearchParams({ minutes: chosen.minutes, order: chosen.order });
      if (lesson) share.href = `${location.pathname}?${query}#today`;
      else remember("practice-wishes", JSON.stringify(chosen));
    }

    on("stopped", ({ section: mine }) => {
      if (mine !== section) return;
      for (const one of section.querySelectorAll("[aria-pressed=true]")) one.setAttribute("aria-pressed", "false");
    });
    for (const one of [minutes, order, fresh]) {
      one.addEventListener("change", () => {
        keep();
        show();
      });
    }
    const choices = [field("Through the keys in", order)];
    if (!lesson) choices.push(field("New devices", fresh));
    const folded = make("details", {}, make("summary", {}, lesson ? "Order of keys" : "Order of keys, new devices"), make("div", { class: "tp-fields" }, ...choices));
    section.append(make("div", { class: "tp-fields" }, field("Minutes", minutes), folded), rest, list, latest, ending, shelf);
    if (lesson) section.append(make("p", {}, share));
    const refresh = practice.shelf(shelf, show);
    keep();
    show();
    section.hidden = false;
  }

  for (const section of document.querySelectorAll("[data-practise]")) enhance(section);
})();
