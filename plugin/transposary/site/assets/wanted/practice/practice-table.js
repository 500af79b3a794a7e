/* What has been played, key by key, from the reader's own record.
 *
 *   transposary.practice.coverage(pool, takes)   rows, keys from weak to strong, devices left at home
 *
 * What it wants of the page: `<section data-coverage>`, and the devices in elements `[data-practice]`.
 * practice/coverage.py makes the same tables of an author's file: a key is as strong as the part of
 * their goals that the devices begun have reached in it, and 0 counts for one not played there.
 */
(function () {
  "use strict";

  const { count, make, practice, record, spelled } = transposary;
  const mean = (values) => values.reduce((sum, value) => sum + value, 0) / values.length;

  function coverage(pool, takes) {
    const rows = pool.flatMap((device) => {
      const mine = practice.grouped(takes.filter((take) => take.device === device.slug));
      const cells = new Map([...mine].map(([slot, all]) => [slot, practice.stateOf(all, device.goal)]));
      return cells.size ? [{ device, cells }] : [];
    });
    const keys = practice.SLOTS.map((slot) => {
      const here = rows.flatMap(({ device, cells }) => (cells.has(slot) ? [{ device, ...cells.get(slot) }] : []));
      const parts = here.map(({ device, tempo }) => Math.min(1, tempo / device.goal));
      const strength = rows.length ? parts.reduce((sum, part) => sum + part, 0) / rows.length : 0;
      return { slot, devices: here.length, strength, slips: here.length ? mean(here.map(({ slips }) => slips)) : 0 };
    });
    keys.sort((one, other) => one.strength - other.strength || other.slips - one.slips);
    const atHome = rows.filter(({ device, cells }) => cells.size === 1 && cells.has(device.home));
    return { rows, keys, atHome: atHome.map(({ device }) => device) };
  }

  const link = ({ href, title }) => make("a", { href }, title);

  function cell(state) {
    if (!state) return make("td", {}, make("span", { class: "tp-unseen" }, "not yet"));
    const date = make("small", {}, new Date(`${state.date}T12:00`).toLocaleDateString("en-GB", { day: "numeric", month: "short" }));
    return make("td", {}, `${state.tempo} `, make("span", { class: "tp-slips" }, count(state.slips, "slip")), " ", date);
  }

  function table(rows) {
    const head = practice.SLOTS.map((slot) => make("th", { scope: "col" }, spelled(slot)));
    return make(
      "table",
      { class: "tp-covered" },
      make("caption", {}, "The last tempo in beats a minute, its slips and its day"),
      make("thead", {}, make("tr", {}, make("th", { scope: "col" }, "Device"), ...head)),
      make(
        "tbody",
        {},
        ...rows.map(({ device, cells }) =>
          make("tr", {}, make("th", { scope: "row" }, link(device)), ...practice.SLOTS.map((slot) => cell(cells.get(slot)))),
        ),
      ),
    );
  }

  const inWords = ({ slot, devices, strength }, rows) =>
    `${spelled(slot)}: ${devices} of ${rows.length} played there, ${Math.round(100 * strength)} % of the tempos aimed at`;

  // Keys without anything come in one line: none of them is weaker than another.
  function weakest(keys, rows) {
    const empty = practice.SLOTS.filter((slot) => keys.some((one) => one.slot === slot && !one.devices));
    const some = keys.filter(({ devices }) => devices).slice(0, 3);
    const silent = empty.length ? [make("li", {}, `Nothing yet in ${empty.map(spelled).join(", ")}`)] : [];
    return make("ul", {}, ...silent, ...some.map((one) => make("li", {}, inWords(one, rows))));
  }

  function enhance(section) {
    const pool = practice.pool();
    const now = practice.named(pool);
    const shown = make("div", {});
    const shelf = make("section", { class: "tp-record" }, make("h2", {}, "Your record"));

    function show() {
      const all = record.read().takes;
      const takes = now(all);
      const { rows, keys, atHome } = coverage(pool, takes);
      const gone = all.length - takes.length;
      const parts = rows.length
        ? [
            make("div", { class: "tp-wide", tabindex: "0", role: "region", "aria-label": "Devices by keys" }, table(rows)),
            make("h2", {}, "Weakest keys"),
            weakest(keys, rows),
            make("h2", {}, "Never out of the home key"),
            atHome.length
              ? make("ul", {}, ...atHome.map((device) => make("li", {}, link(device), ` (${device.called[device.home]})`)))
              : make("p", {}, "None: every device that you have begun has been somewhere else."),
          ]
        : [make("p", {}, "Nothing is written down yet.")];
      if (gone) parts.push(make("p", { class: "tp-note" }, `${count(gone, "take")} of devices that this book does not have; they are kept.`));
      shown.replaceChildren(...parts);
    }

    section.append(shown, shelf);
    practice.shelf(shelf, show);
    show();
    section.hidden = false;
  }

  practice.coverage = coverage;
  for (const section of document.querySelectorAll("[data-coverage]")) enhance(section);
})();
