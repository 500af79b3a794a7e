/* Which devices are what was asked for, the best first.
 *
 * Why here: with the index in the page every letter typed is answered at once. All of it are
 * pure functions of the index and of a query as find-queries.js reads it.
 *
 * `transposary.find.rank(devices, query)` gives a list of
 *   {device, exact, why, bar, notes, symbols, shift}
 * with the notes and chord symbols that match by their index in the engraving, and how many
 * semitones above its home key the device has the very notes or chords asked for (0 for degrees,
 * numerals and rhythms, which are the same in every key). `transposary.find.ready(devices)` gets
 * them ready while nothing is asked, so that the first answer need not wait for it.
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
  const SLICE = 8; // milliseconds; longer would be felt

  // A line with its strikes as sets of degrees and of pitch classes, and its places by bars.
  function line(strikes, merged) {
    const found = { strikes, merged, degrees: [], pitches: [], bars: new Map() };
    for (const [bar, place, tonic, notes] of strikes) {
      let pitches = 0;
      for (let at = 1; at < notes.length; at += 2) pitches |= 1 << notes[at] % 12;
      found.pitches.push(pitches);
      found.degrees.push(turn(pitches, 12 - tonic));
      if (!found.bars.has(bar)) found.bars.set(bar, new Set());
      found.bars.get(bar).add(place);
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

  function ready(devices, from = 0) {
    const until = performance.now() + SLICE;
    let at = from;
    while (at < devices.length && performance.now() < until) prepare(devices[at++]);
    if (at < devices.length) setTimeout(ready, 0, devices, at);
  }

  /* The keys in which a query may be found from one place of a row, as bits: whole in the lower
   * twelve, with one edit in the higher. `agree(item, at)` gives the keys in which the two agree, or
   * nearly. All twelve are followed at once; what is left is looked at by `follow`.
   */
  function keysFrom(count, length, start, near, agree, light) {
    const keys = (item, at) => (at < length ? agree(item, at) : 0);
    let whole = 4095;
    let [other, less, more] = [0, 0, 0];
    for (let item = 0; item < count && (whole | other | less | more); item += 1) {
      const at = start + item;
      const edited = near && light(item) ? whole : 0;
      const here = keys(item, at);
      more = (more | (item ? edited : 0)) & keys(item, at + 1);
      other = (other & here) | edited;
      less = (less && less & keys(item, at - 1)) | edited;
      whole &= here;
    }
    return whole | ((other | less | more) << 12);
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
      const rest = Array.from({ length: count - from }, (_, later) => to + later);
      const distances = rest.map((place, later) => (place < length ? step(from + later, place) : NO));
      if (distances.some((one) => one === NO || (costly && one))) continue;
      return { edit, nearly: distances.reduce((sum, one) => sum + one, nearly), hits: [...before, ...gap, ...rest] };
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
    return !best || found?.rank < best.rank ? found : best;
  }

  // What is known of a query whatever the device: its items in each key, and how each stands to a set
  // of pitch classes, worked out when it is met: keys where they agree, and nearly in the higher bits.
  function asked({ kind, items }) {
    const anyKey = kind === "notes";
    const masks = Array.from({ length: anyKey ? 12 : 1 }, (_, shift) => items.map(({ mask }) => turn(mask, 12 - shift)));
    const known = items.map(() => new Int32Array(4096));
    function agreed(item, mask) {
      let bits = known[item][mask];
      if (bits) return bits;
      masks.forEach((turned, shift) => {
        const distance = noteStep(turned[item], mask);
        if (distance < NO) bits |= 1 << (shift + 12 * distance);
      });
      return (known[item][mask] = bits | (1 << 24));
    }
    const sizes = items.map(({ mask }) => SIZES[mask]);
    const plain = sizes.every((size) => size === 1);
    const near = sizes.reduce((sum, size) => sum + size, 0) >= (anyKey ? 4 : 3);
    return { kind, anyKey, masks, agreed, sizes, plain, near, light: (item) => sizes[item] === 1 };
  }

  function inLine(query, one) {
    const { kind, anyKey, masks, agreed, sizes, plain, light } = query;
    const count = sizes.length;
    const row = anyKey ? one.pitches : one.degrees;
    const some = row.length === count ? 0 : 1;
    const agree = (item, at) => {
      const bits = agreed(item, row[at]);
      return (bits | (bits >> 12)) & 4095;
    };
    let best = null;
    for (let start = 0; start < row.length; start += 1) {
      const near = query.near && !best?.exact;
      const keys = keysFrom(count, row.length, start, near, agree, light);
      for (let shift = 0; keys && shift < masks.length; shift += 1) {
        if (!(keys & (4097 << shift))) continue;
        const place = some + (shift ? 0.5 : 0) + start / 1000;
        // Of single notes none can be better than this; of chords some tones may be missing.
        if (plain && best?.rank <= place + (keys & (1 << shift) ? 0 : 1000)) continue;
        const step = (item, at) => {
          const bits = agreed(item, row[at]) >> shift;
          return bits & 1 ? 0 : bits & 4096 ? 1 : NO;
        };
        const followed = follow(count, row.length, step, start, near, true, light);
        if (!followed) continue;
        const extra = followed.hits.reduce((sum, at, item) => sum + (at < 0 ? 0 : SIZES[row[at]] - sizes[item]), 0);
        const exact = !followed.edit && !followed.nearly;
        const rank = (exact ? 0 : 1000) + (10 * extra) / count + place;
        best = better(best, { rank, exact, followed, shift, masks: masks[shift], one });
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

  function byNotes(query) {
    const known = asked(query);
    return (device) => {
      let best = null;
      for (const one of prepare(device).lines) {
        if (one.merged && known.plain) continue;
        best = better(best, inLine(known, one));
      }
      if (!best) return null;
      const first = best.followed.hits.find((at) => at >= 0);
      return { ...best, bar: best.one.strikes[first][0], notes: marked(best, known.anyKey), symbols: [] };
    };
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

  const any = () => true;

  const byChords = ({ kind, items }) => (device) => {
    const anyKey = kind === "chords";
    const { chords } = prepare(device);
    const count = items.length;
    // Two roots agree in one key.
    const agree = (item, at) => {
      const shift = (items[item].root - chords[at][3] + (anyKey ? 12 : chords[at][2] + 12)) % 12;
      return anyKey || !shift ? 1 << shift : 0;
    };
    let best = null;
    for (let start = 0; start < chords.length; start += 1) {
      const keys = keysFrom(count, chords.length, start, count > 2, agree, any);
      for (let shift = 0; keys && shift < 12; shift += 1) {
        if (!(keys & (4097 << shift))) continue;
        const step = (item, at) => chordStep(items[item], chords[at], shift, anyKey);
        const followed = follow(count, chords.length, step, start, true, false, any);
        if (!followed || (followed.edit && count < 3)) continue;
        const exact = !followed.edit && !followed.nearly;
        const whole = chords.length === count ? 0 : 1;
        const rank = (exact ? 0 : 1000) + (followed.edit ? 100 : 0) + 10 * followed.nearly + whole + start / 1000;
        best = better(best, { rank, exact, followed, shift });
      }
    }
    if (!best) return null;
    const struck = best.followed.hits.filter((at) => at >= 0).map((at) => chords[at]);
    const bar = struck[0][1];
    return { ...best, why: why(kind, best.followed), bar, notes: [], symbols: struck.map(([symbol]) => symbol) };
  };

  const NOTHING = new Set();

  function inBars(items, one) {
    let best = null;
    for (const bar of one.bars.keys()) {
      let missing = 0;
      let extra = 0;
      items.forEach((places, later) => {
        const there = one.bars.get(bar + later) || NOTHING;
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

  const byRhythm = ({ kind, items }) => (device) => {
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
  };

  const MATCHERS = { degrees: byNotes, notes: byNotes, chords: byChords, numerals: byChords, rhythm: byRhythm };

  function rank(devices, query) {
    const matcher = MATCHERS[query.kind](query);
    const found = [];
    for (const device of devices) {
      const match = matcher(device);
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

  transposary.find = { ...transposary.find, rank, having, ready };
})();
