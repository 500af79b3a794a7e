/* Which devices are what was asked for, the best first.
 *
 * Why here: with the index in the page every letter typed is answered at once. All of it are
 * pure functions of the index and of a query as find-queries.js reads it.
 *
 * `transposary.find.rank(devices, query)` gives a list of
 *   {device, exact, why, bar, notes, symbols, shift}
 * with the notes and chord symbols that match by their index in the engraving, and how many
 * semitones above its home key the device has the very notes or chords asked for (0 for degrees,
 * numerals and rhythms, which are the same in every key).
 * Near is one note, chord or stroke more, less or other, where enough of the query remains to
 * tell; and chords on the right roots with other tones.
 */
(function () {
  "use strict";

  const SIZES = Uint8Array.from({ length: 4096 }, (_, mask) => mask.toString(2).replaceAll("0", "").length);
  const NO = 9;
  const EDITS = { other: "different", less: "missing" };
  const NAMES = { degrees: "note", notes: "note", chords: "chord", numerals: "chord", rhythm: "stroke" };

  const turn = (mask, by) => ((mask << by) | (mask >> (12 - by))) & 4095;
  const prepared = new WeakMap();

  // A line with its strikes as sets of degrees and of pitch classes.
  function line(strikes, merged) {
    const found = { strikes, merged, degrees: [], pitches: [] };
    for (const [, , tonic, notes] of strikes) {
      let pitches = 0;
      for (let at = 1; at < notes.length; at += 2) pitches |= 1 << notes[at] % 12;
      found.pitches.push(pitches);
      found.degrees.push(turn(pitches, 12 - tonic));
    }
    return found;
  }

  // All voices struck together.
  function together(lines) {
    const moments = new Map();
    for (const [bar, place, tonic, notes] of lines.flat()) {
      const name = bar * 10000 + place;
      const there = moments.get(name);
      moments.set(name, [bar, place, tonic, there ? [...there[3], ...notes] : notes]);
    }
    return [...moments].sort(([one], [other]) => one - other).map(([, strike]) => strike);
  }

  function prepare(device) {
    let ready = prepared.get(device);
    if (ready) return ready;
    const lines = device.lines.map((strikes) => line(strikes, false));
    if (lines.length > 1) lines.push(line(together(device.lines), true));
    // A chord that is written again holds on.
    const chords = device.chords.filter((chord, at, all) => {
      const before = all[at - 1];
      return !before || [3, 4, 5].some((place) => chord[place] !== before[place]);
    });
    ready = { lines, chords };
    prepared.set(device, ready);
    return ready;
  }

  /* Follows a query from one place of a row, with at most one edit.
   * `step(item, place)` says 0 where they agree, 1 where nearly, NO where not; `costly` tells
   * whether nearly is the one edit. Gives {edit, nearly, hits} or null; a hit is the place of
   * each item, -1 for one that is missing. An item that is not `light` is more than one note and
   * is never given up.
   */
  function follow(count, length, step, start, near, costly, light) {
    const hits = [];
    let nearly = 0;
    let at = start;
    for (let item = 0; item < count; item += 1, at += 1) {
      const distance = at < length ? step(item, at) : NO;
      if (distance === NO) {
        const spent = !near || !light(item) || (costly && nearly);
        return spent ? null : edited(count, length, step, item, at, hits, nearly, costly);
      }
      nearly += distance;
      if (nearly && (!near || (costly && nearly > 1))) return null;
      hits.push(at);
    }
    return { edit: "", nearly, hits };
  }

  function edited(count, length, step, item, at, before, nearly, costly) {
    const ways = [["other", item + 1, at + 1, [-1]], ["less", item + 1, at, [-1]]];
    if (item > 0) ways.push(["more", item, at + 1, []]);
    for (const [edit, from, to, gap] of ways) {
      if (edit === "other" && at >= length) continue;
      const hits = [...before, ...gap];
      let place = to;
      let soft = nearly;
      let good = true;
      for (let rest = from; good && rest < count; rest += 1, place += 1) {
        const distance = place < length ? step(rest, place) : NO;
        good = distance !== NO && !(costly && distance);
        soft += distance;
        hits.push(place);
      }
      if (good) return { edit, nearly: soft, hits };
    }
    return null;
  }

  function noteStep(item, mask) {
    const size = SIZES[item];
    if (size === 1) return mask & item ? 0 : NO;
    const extra = SIZES[mask & ~item];
    const missing = SIZES[item & ~mask];
    if (extra + missing === 0) return 0;
    return extra < 2 && missing < 2 && missing < size - 1 ? 1 : NO;
  }

  function why(kind, followed) {
    if (followed.edit) return `one ${NAMES[kind]} ${EDITS[followed.edit] || followed.edit}`;
    if (!followed.nearly) return "exactly";
    return NAMES[kind] === "chord" ? "the same roots, other tones" : "a note of a chord differs";
  }

  // Best first: exact, then near; among them what is nothing but what was asked for.
  function better(best, found) {
    return !best || found.rank < best.rank ? found : best;
  }

  function inLine(kind, items, one, anyKey, near) {
    let best = null;
    const sizes = items.map(({ mask }) => SIZES[mask]);
    const length = one.strikes.length;
    const light = (item) => sizes[item] === 1;
    // Of single notes none can be better than this; of chords some tones may be missing.
    const plain = sizes.every((size) => size === 1);
    const second = (step, at) =>
      items.length > 1 && (step(1, at) < NO || (at + 1 < length && step(1, at + 1) < NO));
    for (let shift = 0; shift < (anyKey ? 12 : 1); shift += 1) {
      const masks = items.map(({ mask }) => turn(mask, (12 - shift) % 12));
      const row = anyKey ? one.pitches : one.degrees;
      const step = (item, at) => noteStep(masks[item], row[at]);
      for (let start = 0; start < row.length; start += 1) {
        // With one edit, where the first does not agree the second does, there or behind it.
        const begins = step(0, start) < NO;
        const nearby = near && !best?.exact;
        if (!begins && !(nearby && second(step, start))) continue;
        const least = (begins ? 0 : 1000) + (row.length === items.length ? 0 : 1) + (shift ? 0.5 : 0) + start / 1000;
        if (plain && best && best.rank <= least) continue;
        const followed = follow(items.length, row.length, step, start, nearby, true, light);
        if (!followed) continue;
        const extra = followed.hits.reduce((sum, at, item) => sum + (at < 0 ? 0 : SIZES[row[at]] - sizes[item]), 0);
        const whole = row.length === items.length ? 0 : 1;
        const exact = !followed.edit && !followed.nearly;
        const rank = (exact ? 0 : 1000) + (10 * extra) / items.length + whole + (shift ? 0.5 : 0) + start / 1000;
        if (!best || rank < best.rank) best = { rank, exact, followed, shift, masks, one };
      }
    }
    return best && { ...best, why: why(kind, best.followed) };
  }

  function marked({ one, followed, masks }, anyKey) {
    const notes = [];
    followed.hits.forEach((at, item) => {
      if (at < 0) return;
      const [, , tonic, struck] = one.strikes[at];
      for (let place = 0; place < struck.length; place += 2) {
        const degree = (struck[place + 1] - (anyKey ? 0 : tonic) + 12) % 12;
        if (masks[item] & (1 << degree)) notes.push(struck[place]);
      }
    });
    return notes;
  }

  function byNotes(device, { kind, items }) {
    const anyKey = kind === "notes";
    const sizes = items.reduce((sum, { mask }) => sum + SIZES[mask], 0);
    const near = sizes >= (anyKey ? 4 : 3);
    const chords = items.some(({ mask }) => SIZES[mask] > 1);
    let best = null;
    for (const one of prepare(device).lines) {
      if (one.merged && !chords) continue;
      const found = inLine(kind, items, one, anyKey, near);
      if (found) best = better(best, found);
    }
    if (!best) return null;
    const first = best.followed.hits.find((at) => at >= 0);
    return { ...best, bar: best.one.strikes[first][0], notes: marked(best, anyKey), symbols: [] };
  }

  // Third and seventh: what makes a chord major, minor or dominant.
  const core = (mask) => mask & (mask & 16 ? 0b110000010000 : 0b110000011000);

  function chordStep(item, [, , tonic, root, mask, bass], shift, anyKey) {
    const from = anyKey ? shift : 12 - tonic;
    if ((root + from) % 12 !== item.root) return NO;
    const under = bass < 0 ? null : (bass + from) % 12;
    if (item.mask === mask && item.bass === under) return 0;
    const alike = (item.mask & mask) === item.mask || (item.mask & mask) === mask || core(item.mask) === core(mask);
    return alike ? 1 : NO;
  }

  function byChords(device, { kind, items }) {
    const anyKey = kind === "chords";
    const { chords } = prepare(device);
    let best = null;
    for (let shift = 0; shift < (anyKey ? 12 : 1); shift += 1) {
      const step = (item, at) => chordStep(items[item], chords[at], shift, anyKey);
      for (let start = 0; start < chords.length; start += 1) {
        const followed = follow(items.length, chords.length, step, start, true, false, () => true);
        if (!followed || (followed.edit && items.length < 3)) continue;
        const exact = !followed.edit && !followed.nearly;
        const whole = chords.length === items.length ? 0 : 1;
        const rank = (exact ? 0 : 1000) + (followed.edit ? 100 : 0) + 10 * followed.nearly + whole + start / 1000;
        best = better(best, { rank, exact, followed, shift });
      }
    }
    if (!best) return null;
    const struck = best.followed.hits.filter((at) => at >= 0).map((at) => chords[at]);
    const bar = struck[0][1];
    return { ...best, why: why(kind, best.followed), bar, notes: [], symbols: struck.map(([symbol]) => symbol) };
  }

  function inBars(items, one) {
    const bars = new Map();
    for (const [bar, place] of one.strikes) bars.set(bar, (bars.get(bar) || new Set()).add(place));
    let best = null;
    for (const bar of bars.keys()) {
      let missing = 0;
      let extra = 0;
      items.forEach((places, later) => {
        const there = bars.get(bar + later) || new Set();
        const agreed = places.filter((place) => there.has(place)).length;
        missing += places.length - agreed;
        extra += there.size - agreed;
      });
      if (missing > 1 || extra > 1) continue;
      const edit = missing ? (extra ? "other" : "less") : extra ? "more" : "";
      best = better(best, { rank: (edit ? 1000 : 0) + (one.merged ? 0.5 : 0) + bar / 1000, edit, bar, one });
    }
    return best;
  }

  function byRhythm(device, { kind, items }) {
    const strokes = items.flat().length;
    let best = null;
    for (const one of prepare(device).lines) {
      const found = inBars(items, one);
      if (found && (strokes >= 3 || !found.edit)) best = better(best, found);
    }
    if (!best) return null;
    const notes = best.one.strikes
      .filter(([bar, place]) => items[bar - best.bar]?.includes(place))
      .flatMap(([, , , struck]) => struck.filter((_, place) => place % 2 === 0));
    return { ...best, exact: !best.edit, why: why(kind, { edit: best.edit, nearly: 0 }), shift: 0, notes, symbols: [] };
  }

  const MATCHERS = { degrees: byNotes, notes: byNotes, chords: byChords, numerals: byChords, rhythm: byRhythm };

  function rank(devices, query) {
    const found = [];
    for (const device of devices) {
      const match = MATCHERS[query.kind](device, query);
      if (!match) continue;
      const { rank: place, exact, bar, notes, symbols, shift } = match;
      found.push({ device, exact, why: match.why, bar, notes, symbols, shift, place });
    }
    return found.sort((one, other) => one.place - other.place || (one.device.title < other.device.title ? -1 : 1));
  }

  // The devices that have all the values asked for: {role: "bass", …}.
  function having(devices, asked) {
    const wanted = Object.entries(asked).filter(([, value]) => value);
    return devices.filter(({ facets }) => wanted.every(([name, value]) => facets[name]?.includes(value)));
  }

  transposary.find = { ...transposary.find, rank, having };
})();
