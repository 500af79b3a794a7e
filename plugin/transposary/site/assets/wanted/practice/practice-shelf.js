/* The reader's record as a page shows it: how much there is, and the files it leaves and enters by.
 *
 *   transposary.practice.pool()          the devices that the page names, by `data-practice`
 *   transposary.practice.named(pool)     gives the function that names the devices of takes as they
 *                                        are called now, and leaves out those that are gone; what a
 *                                      take was written down as is its `was`
 *   transposary.practice.shelf(place, changed)   the controls; `changed` hears of a record brought back
 *   transposary.practice.words(date)     `14 March`; with `"short"` behind the date `14 Mar`
 *   transposary.practice.local(moment)   `2026-03-14T18:05:09.000`, by the reader's clock
 */
(function () {
  "use strict";

  const { count, make, practice, record, say } = transposary;
  const PLAIN_TEMPO = 96; // as the player's, where an entry gives none

  function pool() {
    return [...document.querySelectorAll("[data-practice]")].map((place) => {
      const given = JSON.parse(place.dataset.practice);
      const { href, textContent: title } = place.querySelector("a[href]");
      return { ...given, title, href, goal: given.goal || PLAIN_TEMPO };
    });
  }

  // A lesson may ask for a device twice: its keys come together.
  function together(devices) {
    const found = new Map();
    for (const one of devices) {
      const before = found.get(one.slug);
      const keys = before ? [...new Set([...before.keys, ...one.keys])] : one.keys;
      found.set(one.slug, { ...(before || one), keys });
    }
    return [...found.values()];
  }

  const folded = (name) => name.toLowerCase().replace(/[\s_-]+/g, "");

  function named(devices) {
    const now = new Map(devices.flatMap(({ slug, names }) => names.map((name) => [folded(name), slug])));
    for (const { slug } of devices) now.set(folded(slug), slug);
    return (takes) =>
      takes.flatMap((take) => {
        const slug = now.get(folded(take.device));
        return slug ? [{ ...take, device: slug, was: take }] : [];
      });
  }

  const words = (date, month = "long") =>
    new Date(`${date}T12:00`).toLocaleDateString("en-GB", { day: "numeric", month });

  function local(moment) {
    return new Date(moment.getTime() - moment.getTimezoneOffset() * 60000).toISOString().slice(0, -1);
  }

  function save(name, type, text) {
    const address = URL.createObjectURL(new Blob([text], { type }));
    make("a", { href: address, download: name }).click();
    setTimeout(() => URL.revokeObjectURL(address), 1000);
  }

  // A name from somebody else's file is one value of one line, and no formula of a spreadsheet.
  const cell = (name) => name.replace(/^[=+@-]+|[",\p{C}]+/gu, "");

  function table(takes) {
    const rows = takes.map((take) => [cell(take.device), take.slot, practice.dayOf(take), take.tempo, take.slips]);
    return [["device", "slot", "date", "tempo", "slips"], ...rows].map((row) => `${row.join(",")}\n`).join("");
  }

  function shelf(place, changed) {
    const [told, fault] = place.querySelectorAll("p");
    const [json, csv] = place.querySelectorAll("button");
    const file = place.querySelector("input");

    function show() {
      const { takes, said } = record.read();
      const devices = new Set(takes.map(({ device }) => device)).size;
      told.textContent = takes.length
        ? `${count(takes.length, "take")} of ${count(devices, "device")}, kept in this browser and nowhere else.`
        : "Nothing yet. What you write down is kept in this browser and nowhere else.";
      fault.textContent = said;
    }

    file.addEventListener("change", async () => {
      const [chosen] = file.files;
      if (!chosen) return;
      const found = record.parse(await chosen.text());
      file.value = "";
      if (found.said) {
        fault.textContent = found.said;
        return;
      }
      const before = record.read().takes.length;
      const added = Math.max(0, record.add(found.takes).takes.length - before);
      show();
      changed();
      say(`${count(added, "take")} joined to your record.`);
      told.append(` ${count(added, "take")} came from the file.`);
    });

    json.onclick = () => save(`practice-${local(new Date()).slice(0, 10)}.json`, "application/json", record.write(record.read().all));
    csv.onclick = () => save("practice.csv", "text/csv", table(record.read().takes));
    show();
    return show;
  }

  Object.assign(practice, { pool: () => together(pool()), named, shelf, words, local });
})();
