/* What sounds when: the notes of a device, in a key, as events on a clock. Pure functions.
 *
 *   transposary.plan(data, slot, options)   one round, the repeats of the whole as they are played
 *   transposary.countIn(data, options)      the clicks before the first
 *   transposary.rounds(first, following)    rounds that follow each other without a gap
 *
 * `data` is what `transposary.notes` gives. A plan has `length` in seconds, `events` in order
 * (`kind` note, chord, bass or click; `time` and `length` in seconds; `midi`; `velocity` 1 to 127;
 * `accent` of a click), and `marks`: from when on which notes (by index) and which chord sound.
 *
 * Grace notes, staccato and loudness are as in the MIDI files that the site offers. What swings
 * is common practice: pairs of eighths (or sixteenths) become long and short, triplets stay. A
 * shuffle is long to short as 2 to 1. Swing is that up to 120 beats a minute and evens out above,
 * as players do (Friberg and Sundström, Swing ratios and ensemble timing in jazz performance,
 * Music Perception 19, 2002; the straight line between 2 at 120 and 1 at 320 is ours).
 */
(function () {
  "use strict";

  const { modulo } = transposary;
  const GRACE = 1 / 8; // quarter notes
  const PLAIN = 80;
  const ACCENTED = 104;
  const GHOST = 48;
  const UNDER = 50;
  const CLOSE = 1e-3; // quarter notes: nearer is at once
  const UNKNOWN_TEMPO = 96;
  const TIMES = { half: 2, double: 0.5 };
  // Lowest notes of chords and bass under a line: F3 and C2.
  const CHORDS_FROM = 53;
  const BASS_FROM = 36;
  const CHORD_TONES = 4;

  const DEFAULTS = { percent: 100, feel: "written", first: 0, last: Infinity, muted: "", under: "", click: true };

  const beatsAMinute = (data, percent) => ((data.tempo || UNKNOWN_TEMPO) * percent) / 100;

  // What the options mean for this device: seconds of a quarter, stretch of bars, feel.
  function setting(data, options) {
    const chosen = { ...DEFAULTS, ...options };
    const last = Math.min(chosen.last, data.bars.length - 1);
    const bars = data.bars.slice(Math.min(chosen.first, last), last + 1);
    const beat = data.bars[0].beat;
    const tempo = beatsAMinute(data, chosen.percent);
    const times = TIMES[chosen.feel] || 1;
    return {
      ...chosen,
      bars,
      beat,
      tempo,
      times,
      quarter: (60 / tempo / beat) * times,
      feel: chosen.feel === "written" || chosen.feel in TIMES ? data.feel : chosen.feel,
      start: bars[0].onset,
      end: bars.at(-1).onset + bars.at(-1).duration,
    };
  }

  // As it is played: each stretch in its turn. No tie leads from one into the next.
  function unfolded({ order, ...data }) {
    const made = { ...data, bars: [], notes: [], symbols: [] };
    let at = order[0][0];
    for (const [from, to] of order) {
      const within = ({ onset }) => onset > from - CLOSE && onset < to - CLOSE;
      const moved = (one) => ({ ...one, onset: one.onset + at - from });
      made.bars.push(...data.bars.filter(within).map(moved));
      for (const note of data.notes.filter(within)) {
        made.notes.push({ ...moved(note), tie: note.onset > from + CLOSE && note.tie });
      }
      data.symbols.forEach((symbol, place) => {
        const onset = place ? Math.max(symbol.onset, from) : from;
        const until = data.symbols[place + 1]?.onset ?? Infinity;
        if (onset < to - CLOSE && until > from + CLOSE) made.symbols.push(moved({ ...symbol, onset }));
      });
      at += to - from;
    }
    return made;
  }

  // Quarters of silence after a round, so that a pickup comes where it belongs when it comes again.
  function rest(data, at) {
    const [pickup, full] = at.bars;
    if (pickup.number !== 0 || !full) return 0;
    const missing = full.duration - pickup.duration;
    return at.bars.at(-1).duration === missing ? 0 : missing;
  }

  function ratio(feel, tempo) {
    if (feel === "shuffle") return 2;
    return feel === "swing" ? Math.min(2, Math.max(1, 2 - (tempo - 120) / 200)) : 1;
  }

  // Gives the function that moves a moment of a voice to where it is played.
  function swinging(data, at) {
    const compound = data.bars[0].beat === 1.5;
    const long = ratio(at.feel, at.tempo);
    if (long === 1 || (compound && data.unit === 8)) return (voice, moment) => moment;
    const pair = 8 / data.unit;
    const middle = long / (1 + long);
    const triplets = new Set();

    function placed(voice, moment) {
      const bar = data.bars.findLast(({ onset }) => onset <= moment + CLOSE) || data.bars[0];
      const anchor = bar.number === 0 ? bar.onset + bar.duration : bar.onset;
      const place = (moment - anchor) / pair;
      const whole = Math.floor(place + CLOSE);
      return { name: `${voice} ${anchor} ${whole}`, from: anchor + whole * pair, part: Math.max(0, place - whole) };
    }
    for (const { voice, onset } of data.notes) {
      const { name, part } = placed(voice, onset);
      if (Math.abs(part * 8 - Math.round(part * 8)) > 8 * CLOSE) triplets.add(name);
    }
    return (voice, moment) => {
      const { name, from, part } = placed(voice, moment);
      if (triplets.has(name)) return moment;
      const played = part < 0.5 ? part * 2 * middle : middle + (part - 0.5) * 2 * (1 - middle);
      return from + played * pair;
    };
  }

  // How many graces stand before each event, by voice and onset.
  function graceCounts(notes) {
    const counts = new Map();
    for (const { voice, onset, grace } of notes) {
      const name = `${voice} ${onset}`;
      if (grace) counts.set(name, Math.max(grace, counts.get(name) || 0));
    }
    return ({ voice, onset }) => counts.get(`${voice} ${onset}`) || 0;
  }

  // The written notes of the stretch as [begin, end] in quarters, as they are played.
  function played(data, at) {
    const swing = swinging(data, at);
    const graces = graceCounts(data.notes);
    const found = [];
    for (const note of data.notes) {
      if (note.onset < at.start - CLOSE || note.onset > at.end - CLOSE) {
        // A note held into the stretch sounds from its beginning.
        if (!(note.onset < at.start && note.onset + note.duration > at.start + CLOSE)) continue;
      }
      const count = graces(note);
      const onset = swing(note.voice, Math.max(note.onset, at.start));
      const begin = Math.max(onset - GRACE * count, at.start);
      if (note.grace) {
        const from = begin + GRACE * (count - note.grace);
        found.push({ note, begin: from, end: from + GRACE });
      } else {
        const end = Math.min(swing(note.voice, note.onset + note.duration), at.end);
        const from = begin + GRACE * count;
        found.push({ note, begin: from, end: end > from ? end : from + GRACE });
      }
    }
    return found;
  }

  function noteEvents(data, slot, at, spans) {
    const { midi } = data.keys[slot];
    const struck = [];
    for (const { note, begin, end } of spans) {
      const into = note.tie === "continue" || note.tie === "stop";
      const same = (one) => one.voice === note.voice && one.midi === midi[note.index];
      const before = into && struck.findLast((one) => same(one) && Math.abs(one.end - begin) < CLOSE);
      if (before) {
        before.end = end;
        continue;
      }
      const velocity = note.ghost ? GHOST : note.accent ? ACCENTED : PLAIN;
      struck.push({ voice: note.voice, midi: midi[note.index], begin, end, velocity, short: note.staccato });
    }
    return struck
      .filter(({ voice }) => !at.muted.split(" ").includes(voice.slice(0, 2)))
      .map((one) => ({ ...one, kind: "note", end: one.short ? (one.begin + one.end) / 2 : one.end }));
  }

  const pitchClass = (fifths) => modulo(fifths * 7, 12);
  const from = (low, number) => low + modulo(number - low, 12);

  // At most four tones say a chord: the fifth is missed least, then the root, which the bass has.
  function fewer(tones) {
    const kept = [...tones];
    for (const spare of [7, 0]) {
      if (kept.length > CHORD_TONES && kept.includes(spare)) kept.splice(kept.indexOf(spare), 1);
    }
    return kept.slice(0, CHORD_TONES);
  }

  // Chords and bass, struck where they change and again in each bar.
  function underEvents(data, slot, at) {
    const key = data.keys[slot];
    const found = [];
    data.symbols.forEach(({ onset, tones, index }, place) => {
      const until = Math.min(data.symbols[place + 1]?.onset ?? Infinity, at.end);
      const begun = Math.max(place ? onset : -Infinity, at.start);
      if (!tones || until < begun + CLOSE) return;
      const again = at.bars.map((bar) => bar.onset).filter((bar) => bar > begun + CLOSE && bar < until - CLOSE);
      const strikes = [begun, ...again];
      const root = pitchClass(key.roots[index]);
      const bass = key.basses[index] === null ? root : pitchClass(key.basses[index]);
      strikes.forEach((begin, place) => {
        const span = { begin, end: strikes[place + 1] ?? until, velocity: UNDER };
        if (at.under.includes("chords")) {
          for (const tone of fewer(tones)) {
            found.push({ ...span, kind: "chord", midi: from(CHORDS_FROM, root + tone) });
          }
        }
        if (at.under.includes("bass")) found.push({ ...span, kind: "bass", midi: from(BASS_FROM, bass) });
      });
    });
    return found;
  }

  // The click goes at the tempo, also where the notes go half or twice as fast.
  function clickEvents(at, end) {
    const step = at.beat / at.times;
    const first = at.bars.find((bar) => bar.number !== 0) || at.bars[0];
    const anchor = first.onset;
    const found = [];
    const click = (begin, accent) => found.push({ kind: "click", begin, end: begin, accent, velocity: PLAIN });
    const barAt = (moment) => at.bars.some((bar) => bar.number !== 0 && Math.abs(bar.onset - moment) < CLOSE);
    for (let place = Math.ceil((at.start - anchor) / step - CLOSE); anchor + place * step < end - CLOSE; place++) {
      click(anchor + place * step, barAt(anchor + place * step));
    }
    return found;
  }

  function marksOf(data, spans, at) {
    const edges = spans.flatMap(({ begin, end: stop }) => [begin, stop]);
    const changes = data.symbols.map(({ onset }) => onset);
    const holding = (moment) => data.symbols.findLast(({ onset }) => onset <= moment + CLOSE) || data.symbols[0];
    return [...new Set([at.start, at.end, ...edges, ...changes])]
      .filter((time) => time >= at.start - CLOSE && time <= at.end + CLOSE)
      .sort((one, other) => one - other)
      .map((begin) => ({
        begin,
        notes: spans
          .filter((one) => one.begin <= begin + CLOSE && one.end > begin + CLOSE)
          .map((one) => one.note.index),
        symbol: changes.length && begin < at.end - CLOSE ? holding(begin).index : -1,
      }));
  }

  function plan(data, slot, options = {}) {
    // Chosen bars are played once in a round.
    if (data.order && !options.first && !(options.last < data.bars.length - 1)) {
      return plan(unfolded(data), slot, { ...options, last: Infinity });
    }
    const at = setting(data, options);
    const end = at.end + rest(data, at);
    const spans = played(data, at);
    const seconds = (quarters) => (quarters - at.start) * at.quarter;
    const timed = ({ kind, midi, velocity, accent, begin, end }) => ({
      kind,
      time: seconds(begin),
      length: (end - begin) * at.quarter,
      midi,
      velocity,
      accent,
    });
    const events = [
      ...noteEvents(data, slot, at, spans),
      ...(at.under ? underEvents(data, slot, at) : []),
      ...(at.click ? clickEvents(at, end) : []),
    ];
    return {
      slot,
      length: seconds(end),
      events: events.map(timed).sort((one, other) => one.time - other.time),
      marks: marksOf(data, spans, at).map(({ begin, ...mark }) => ({ time: seconds(begin), ...mark })),
    };
  }

  // A bar is counted; before a pickup also the part of its bar that is not played.
  function countIn(data, options) {
    const at = setting(data, options);
    const beat = 60 / at.tempo;
    const [first, second] = at.bars;
    const upbeat = first.number === 0 && second ? first.duration : 0;
    const full = upbeat ? second.duration : first.duration;
    const bar = Math.round(full / at.beat);
    const length = bar * beat + (upbeat ? (full - upbeat) * at.quarter : 0);
    const downbeat = length + upbeat * at.quarter;
    const events = [];
    for (let before = Math.floor(downbeat / beat + CLOSE); before > 0; before--) {
      const time = Math.max(0, downbeat - before * beat);
      if (time > length - CLOSE) break;
      events.push({ kind: "click", time, length: 0, velocity: PLAIN, accent: before % bar === 0 });
    }
    return { length, events, marks: [] };
  }

  // Rounds on one line of time that begins at 0. `following(plan)` gives the next plan or null.
  // Each starts where the one before ends, so that nothing drifts.
  function rounds(first, following, skipped = 0) {
    const spans = [{ start: -skipped, plan: first }];
    let at = 0;
    let next = first.events.findIndex(({ time }) => time >= skipped - 1e-6);
    if (next < 0) next = first.events.length;
    let ended = Infinity;

    // Gives the events before a moment that have not been given yet, at their times on the line.
    function take(until) {
      const found = [];
      while (spans[at].start < until) {
        const { start, plan } = spans[at];
        while (next < plan.events.length && start + plan.events[next].time < until) {
          const event = plan.events[next++];
          found.push({ ...event, time: start + event.time });
        }
        if (next < plan.events.length || start + plan.length >= until || ended < Infinity) break;
        const more = following(plan);
        if (!more) ended = start + plan.length;
        else {
          spans.push({ start: start + plan.length, plan: more });
          at += 1;
          next = 0;
        }
      }
      return found;
    }

    const spanAt = (moment) => spans.findLast(({ start }) => start <= moment) || spans[0];
    return { take, spanAt, ended: (moment) => moment >= ended };
  }

  Object.assign(transposary, { plan, countIn, rounds, beatsAMinute });
})();
