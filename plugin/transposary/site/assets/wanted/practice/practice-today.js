/* Today: what to play now, in how many minutes, and what came of it.
 *
 * What it wants of the page: `<section data-practise="today">` (or `lesson`) with what
 * practise.html.j2 writes into it, and the devices in elements `[data-practice]` with a link each.
 * practice-plan.js says what is played; what was played today only ticks lines off, so that a page
 * opened again shows the same list.
 */
(function () {
  "use strict";

  const { button, choose, count, hear, held, make, on, practice, record, remember, say } = transposary;
  const { words, local } = practice;
  const LINES_BEFORE_REST = 8;
  const LONG = 25; // minutes

  function whyOf({ kind, state, device }, today) {
    const wanted = device.until ? `; ${device.until < today ? "was wanted" : "wanted"} by ${words(device.until)}` : "";
    const level = device.level ? `, level ${device.level}` : "";
    if (kind === "new") return `new to you${level}${wanted}`;
    if (kind === "key") return `a key that you have not played it in yet${wanted}`;
    const reached = `${state.tempo} with ${count(state.slips, "slip")}`;
    if (kind === "again") return `once more today: ${reached} does not hold yet`;
    const last = `last ${reached} on ${words(state.date)}`;
    if (kind === "early") return `planned for ${words(state.due)}, but there is time; ${last}`;
    return `planned for ${state.due === today ? "today" : words(state.due)}; ${last}${wanted}`;
  }

  function enhance(section) {
    const lesson = section.dataset.practise === "lesson";
    const pool = practice.pool();
    const now = practice.named(pool);
    const today = () => local(new Date()).slice(0, 10);
    const list = section.querySelector("ol");
    const [rest, latest, ending] = section.querySelectorAll(":scope > p");
    const controls = section.querySelectorAll("[name]");
    const [minutes, order, fresh] = controls;
    const share = section.querySelector(".tp-share");

    // What the address asks for comes before what this reader chose last.
    function wish() {
      const wishes = transposary.recalled("practice-wishes", { minutes: 15, order: "fourths", new: "" });
      if (lesson) wishes.order = "listed";
      const address = new URLSearchParams(location.search);
      const among = [...new Set(pool.flatMap((device) => device.among))].sort();
      fresh?.append(...among.map((value) => make("option", { value }, `only ${value}`)));
      for (const control of controls) choose(control, address.get(control.name) ?? wishes[control.name]);
      minutes.value = minutes.value ? held(minutes) : minutes.defaultValue;
    }

    const chosen = () => ({ minutes: held(minutes), order: order.value });

    function counting(line, tempo) {
      const [duration, beat] = line.device.bar;
      const bars = [{ number: 1, onset: 0, duration, beat }];
      const data = { tempo, notes: [], symbols: [], bars, keys: { [line.slot]: {} } };
      const following = (about) => about;
      return { section, data, slot: line.slot, options: {}, counted: true, following };
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

    function entered(event, { device, slot }) {
      event.preventDefault();
      hear.stop();
      const { tempo, slips } = event.target.elements;
      const take = { device: device.slug, slot, at: local(new Date()), tempo: Number(tempo.value), slips: Number(slips.value) };
      settle(record.add([take]), "Written down.");
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
      const { device, slot, steps } = line;
      const made = section.querySelector("template").content.firstElementChild.cloneNode(true);
      const [name, reason] = made.querySelectorAll("span");
      const link = made.querySelector("a");
      const form = made.querySelector("form");
      made.firstChild.open = open;
      name.append(...nameOf(line));
      reason.textContent = `${line.minutes} minutes at ${tempos(line)}: ${whyOf(line, today())}.`;
      link.before(...clicks(line));
      link.href = `${device.href}#${slot}`;
      link.textContent = `Show the notes in ${device.called[slot]}`;
      form.elements.tempo.value = steps.at(-1);
      form.onsubmit = (event) => entered(event, line);
      return made;
    }

    function doneLine(line, take, state) {
      const next = state.due > today() ? ` Planned again for ${words(state.due)}.` : "";
      const what = `${take.tempo} beats a minute, ${count(take.slips, "slip")}.${next}`;
      return make("li", { class: "tp-played" }, ...nameOf(line), make("p", { class: "tp-note" }, what));
    }

    function show() {
      const takes = now(record.read().takes);
      const lines = practice.plan(pool, takes, today(), { ...chosen(), fresh: fresh?.value });
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
      if (lesson) share.href = `${location.pathname}?${new URLSearchParams(chosen())}#today`;
      else remember("practice-wishes", JSON.stringify({ ...chosen(), new: fresh.value }));
    }

    on("stopped", () => {
      for (const one of section.querySelectorAll("[aria-pressed=true]")) one.setAttribute("aria-pressed", "false");
    }, section);
    for (const one of controls) {
      one.addEventListener("change", () => {
        keep();
        show();
      });
    }
    const refresh = practice.shelf(section.querySelector(".tp-record"), show);
    wish();
    keep();
    show();
    section.hidden = false;
  }

  for (const section of document.querySelectorAll("[data-practise]")) enhance(section);
})();
