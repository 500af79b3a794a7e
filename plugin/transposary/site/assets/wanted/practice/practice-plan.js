/* What to play next, from what has been played: pure functions of a record and a date.
 *
 *   transposary.practice.quality(tempo, slips, goal)      0 to 5
 *   transposary.practice.answer(state, quality, date)     SM-2, one answer
 *   transposary.practice.stateOf(takes, goal)             where a device in a key stands
 *   transposary.practice.keysOf(device, order)            its keys in the order in which to learn them
 *   transposary.practice.plan(pool, takes, today, wishes) the lines to play
 *
 * A take is { device, slot, at, tempo, slips }: `at` is local time, `2026-03-14T18:05:09.000`; tempo in
 * beats a minute. A device of the pool is { slug, level, home, keys, goal, until }: `keys` are the slots
 * asked for, `goal` a tempo, `until` the date by which it is wanted, or null. Dates are `2026-03-14`.
 * Wishes are { minutes, order, fresh }: of new devices all, or those alone that name `fresh` in `among`.
 *
 * The dates come from SM-2 (Wozniak, Optimization of learning, 1990). The variant is the published one:
 * an answer under 3 begins the intervals again and leaves the factor alone; fractions of a day are
 * rounded up. Ours are three things that it leaves open. The first take of a day is the answer; what
 * follows on that day is the repetition that it asks for below 4. What is right before its day moves
 * nothing. And the quality comes from the table below, not from the reader's opinion.
 */
(function () {
  "use strict";

  const FIRST_FACTOR = 2.5;
  const LEAST_FACTOR = 1.3;
  const HOLDS = 3; // from this quality on an answer is right
  const ENOUGH = 4; // below it something is repeated on the same day
  const LINE = 3; // minutes
  const NEW_DEVICES = 2; // begun at once, while others wait
  const MIDDLE_LEVEL = 3;
  const { SLOTS, modulo } = transposary;
  // Semitones from each key to the next.
  const CYCLES = { fourths: 5, fifths: 7, semitones: 1 };

  // Quality from the part of the goal that was reached (rows) and the slips (columns: 0, 1, 2 or 3,
  // 4 or more). Ours, a judgement and no measurement: seven tenths of the tempo with one slip holds.
  const QUALITY = [
    [1, [5, 4, 3, 2]],
    [0.9, [4, 4, 3, 1]],
    [0.7, [3, 3, 2, 1]],
    [0.5, [2, 2, 1, 0]],
    [0, [1, 1, 0, 0]],
  ];

  function quality(tempo, slips, goal) {
    const [, row] = QUALITY.find(([part]) => tempo >= Math.round(part * goal));
    return row[slips < 2 ? slips : slips < 4 ? 2 : 3];
  }

  const DAY = 86400000;
  const later = (date, days) => new Date(Date.parse(date) + days * DAY).toISOString().slice(0, 10);

  // One answer of SM-2. `state` is { right, factor, interval, due }, or null before the first.
  function answer(state, given, date) {
    const { right, factor, interval } = state || { right: 0, factor: FIRST_FACTOR, interval: 0 };
    if (given < HOLDS) return { right: 0, factor, interval: 1, due: later(date, 1) };
    // In hundredths, since binary fractions would round some whole products up.
    const hundredths = Math.round(factor * 100);
    const next = right === 0 ? 1 : right === 1 ? 6 : Math.ceil((interval * hundredths) / 100);
    const miss = 5 - given;
    const changed = Math.round(hundredths + 10 - miss * (8 + miss * 2)) / 100;
    return { right: right + 1, factor: Math.max(LEAST_FACTOR, changed), interval: next, due: later(date, next) };
  }

  const dayOf = ({ at }) => at.slice(0, 10);

  // Where a device in one key stands after its takes, which are in order: SM-2, and the last take.
  function stateOf(takes, goal) {
    let state = null;
    let day = "";
    for (const take of takes) {
      const given = quality(take.tempo, take.slips, goal);
      if (dayOf(take) !== day) {
        day = dayOf(take);
        const early = state && day < state.due && given >= HOLDS;
        if (!early) state = { ...state, ...answer(state, given, day) };
      }
      state = { ...state, date: day, tempo: take.tempo, slips: take.slips, quality: given };
    }
    return state;
  }

  // Tempos to play a line at, one after the other: up to a tenth over what has been reached cleanly.
  function stepsOf(state, goal) {
    const part = !state ? 0 : state.slips < 2 ? 1.1 : state.slips < 4 ? 1 : 0.85;
    const top = state ? Math.max(0.4 * goal, Math.min(goal, part * state.tempo)) : 0.7 * goal;
    return [0.8, 0.9, 1].map((share) => Math.round(share * top));
  }

  // A draw that is the same for the same words (mulberry32, seeded with a sum of their letters).
  function drawn(words) {
    let seed = 0;
    for (const letter of words) seed = (Math.imul(seed, 31) + letter.codePointAt(0)) | 0;
    return () => {
      seed = (seed + 0x6d2b79f5) | 0;
      let mixed = Math.imul(seed ^ (seed >>> 15), 1 | seed);
      mixed = (mixed + Math.imul(mixed ^ (mixed >>> 7), 61 | mixed)) ^ mixed;
      return ((mixed ^ (mixed >>> 14)) >>> 0) / 4294967296;
    };
  }

  function shuffled(slots, words) {
    const draw = drawn(words);
    const found = [...slots];
    for (let last = found.length - 1; last > 0; last--) {
      const other = Math.floor(draw() * (last + 1));
      [found[last], found[other]] = [found[other], found[last]];
    }
    return found;
  }

  // The keys of a device in the order in which they are learnt. All orders but `listed` begin at home.
  function keysOf(device, order) {
    if (order === "listed") return device.keys;
    const home = SLOTS.indexOf(device.home);
    const at = (semitones) => SLOTS[modulo(home + semitones, 12)];
    const places = [...SLOTS.keys()];
    const all =
      order === "random"
        ? [device.home, ...shuffled(SLOTS.filter((slot) => slot !== device.home), device.slug)]
        : order === "neighbours"
          ? places.map((place) => at((place % 2 ? 1 : -1) * Math.ceil(place / 2) * 7))
          : places.map((place) => at(place * CYCLES[order]));
    return all.filter((slot) => device.keys.includes(slot));
  }

  const compare = (one, other) => {
    const place = one.rank.findIndex((value, index) => value !== other.rank[index]);
    return place < 0 ? 0 : one.rank[place] < other.rank[place] ? -1 : 1;
  };

  const NEVER = "9999";

  // Everything that can be played, the most pressing first: what is due; then keys not played yet,
  // easy devices before hard ones, new devices a few at a time; then what comes before its day.
  function candidates(pool, before, today, wishes) {
    const played = (device) => before.filter((take) => take.device === device.slug);
    const states = new Map(
      pool.map((device) => {
        const mine = grouped(played(device));
        return [device, new Map([...mine].map(([slot, all]) => [slot, stateOf(all, device.goal)]))];
      }),
    );
    const begun = (device) => states.get(device).size > 0;
    const level = ({ level: given }) => given || MIDDLE_LEVEL;
    const fresh = pool
      .map((device, place) => ({ device, rank: [device.until || NEVER, wishes.order === "listed" ? 0 : level(device), place] }))
      .filter(({ device }) => !begun(device) && (!wishes.fresh || device.among.includes(wishes.fresh)))
      .sort(compare)
      .map(({ device }) => device);
    const found = [];
    pool.forEach((device, place) => {
      const known = states.get(device);
      const turn = fresh.indexOf(device);
      if (turn < 0 && !begun(device)) return;
      const wait = turn < NEW_DEVICES ? 0 : SLOTS.length;
      const common = [device.until || NEVER, turn < 0 ? level(device) : turn, place];
      let unplayed = 0;
      for (const slot of keysOf(device, wishes.order)) {
        const state = known.get(slot) || null;
        const line = { device, slot, state, steps: stepsOf(state, device.goal) };
        if (state && state.due <= today) found.push({ ...line, kind: "due", rank: [0, state.due, ...common] });
        else if (state) found.push({ ...line, kind: "early", rank: [2, state.due, ...common] });
        else {
          const kind = turn < 0 || unplayed > 0 ? "key" : "new";
          found.push({ ...line, kind, rank: [1, wait + unplayed, turn < 0 ? 0 : 1, ...common] });
          unplayed += 1;
        }
      }
    });
    return found.sort(compare);
  }

  function grouped(takes) {
    const found = new Map();
    for (const take of takes) found.set(take.slot, [...(found.get(take.slot) || []), take]);
    return found;
  }

  // The lines of a day. What was played on the day itself changes nothing, so that the list stays as
  // it is while it is played; more minutes only add lines. Never the same device twice in a row where
  // there are two, and each of its keys before any again.
  function plan(pool, takes, today, wishes) {
    const open = candidates(pool, takes.filter((take) => dayOf(take) < today), today, wishes);
    const uses = new Map(open.map((one) => [one, 0]));
    const several = new Set(open.map(({ device }) => device)).size > 1;
    const lines = [];
    while (open.length && lines.length < Math.max(1, Math.round(wishes.minutes / LINE))) {
      const last = lines.at(-1)?.device;
      const free = open.filter(({ device }) => !several || device !== last);
      const least = Math.min(...free.map((one) => uses.get(one)));
      const next = free.find((one) => uses.get(one) === least);
      lines.push({ ...next, minutes: LINE, time: least });
      uses.set(next, least + 1);
    }
    return lines;
  }

  // What did not hold today: played again on the same day until it is good enough.
  function again(pool, takes, today) {
    const found = [];
    for (const device of pool) {
      const mine = takes.filter((take) => take.device === device.slug && device.keys.includes(take.slot));
      for (const [slot, all] of grouped(mine)) {
        const state = stateOf(all, device.goal);
        if (state.date !== today || state.quality >= ENOUGH) continue;
        const line = { device, slot, state, steps: stepsOf(state, device.goal), kind: "again", minutes: LINE };
        found.push({ ...line, rank: [all.at(-1).at] });
      }
    }
    return found.sort(compare);
  }

  // Minutes since the last pause of ten minutes or more, as far as what was written down tells.
  function sittingOf(takes, now) {
    const times = takes.map(({ at }) => Date.parse(at)).filter((time) => time <= now);
    let from = now;
    for (const time of times.reverse()) {
      if (from - time >= 10 * 60000) break;
      from = time;
    }
    return from === now ? 0 : Math.round((now - from) / 60000) + LINE;
  }

  transposary.practice = {
    quality, answer, stateOf, stepsOf, keysOf, plan, again, sittingOf, dayOf, grouped, SLOTS, LINE,
  };
})();
