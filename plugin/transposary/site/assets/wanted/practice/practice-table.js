/* What has been played, key by key, from the reader's own record.
 *
 *   transposary.practice.coverage(pool, takes)   rows, keys from weak to strong, devices left at home
 *
 * What it wants of the page: `<section data-coverage>` of coverage.html.j2, and the devices in
 * elements `[data-practice]`.
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
    const date = make("small", {}, practice.words(state.date, "short"));
    return make("td", {}, `${state.tempo} `, make("span", { class: "tp-slips" }, count(state.slips, "slip")), " ", date);
  }

  const row = ({ device, cells }) =>
    make("tr", {}, make("th", { scope: "row" }, link(device)), ...practice.SLOTS.map((slot) => cell(cells.get(slot))));

  const inWords = ({ slot, devices, strength }, rows) =>
    `${spelled(slot)}: ${devices} of ${rows.length} played there, ${Math.round(100 * strength)} % of the tempos aimed at`;

  // Keys without anything come in one line: none of them is weaker than another.
  function weakest(keys, rows) {
    const empty = practice.SLOTS.filter((slot) => keys.some((one) => one.slot === slot && !one.devices));
    const some = keys.filter(({ devices }) => devices).slice(0, 3);
    const silent = empty.length ? [`Nothing yet in ${empty.map(spelled).join(", ")}`] : [];
    return [...silent, ...some.map((one) => inWords(one, rows))].map((words) => make("li", {}, words));
  }

  function enhance(section) {
    const pool = practice.pool();
    const now = practice.named(pool);
    const [weak, home] = section.querySelectorAll("ul");
    const [none, nothing, gone] = section.querySelectorAll("p");

    function show() {
      const all = record.read().takes;
      const takes = now(all);
      const { rows, keys, atHome } = coverage(pool, takes);
      const lost = all.length - takes.length;
      section.querySelector("div").hidden = !rows.length;
      nothing.hidden = rows.length;
      section.querySelector("tbody").replaceChildren(...rows.map(row));
      weak.replaceChildren(...weakest(keys, rows));
      home.replaceChildren(...atHome.map((device) => make("li", {}, link(device), ` (${device.called[device.home]})`)));
      home.hidden = !atHome.length;
      none.hidden = atHome.length;
      gone.textContent = lost ? `${count(lost, "take")} of devices that this book does not have; they are kept.` : "";
    }

    practice.shelf(section.querySelector(".tp-record"), show);
    show();
    section.hidden = false;
  }

  practice.coverage = coverage;
  for (const section of document.querySelectorAll("[data-coverage]")) enhance(section);
})();
